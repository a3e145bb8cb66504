"""Reads behind a prescription: surgeon's limits, families."""

from uuid import UUID

from homeprogram.calc.surgeon_limits import SurgeonLimit as ToldLimit
from homeprogram.models import (
    Clinic,
    ClinicFamily,
    Episode,
    Patient,
    SurgeonLimit,
)


def limits_of_episode(*, episode: Episode) -> list[SurgeonLimit]:
    """Every limit ever told, the newest first; the days say which hold now."""
    limits = SurgeonLimit.objects.filter(episode=episode).select_related("recorded_by")
    return list(limits.order_by("-first_day", "-recorded_at"))


def limits_of_patient(*, patient: Patient) -> dict[UUID, list[SurgeonLimit]]:
    """By episode, the newest first."""
    by_episode: dict[UUID, list[SurgeonLimit]] = {}
    limits = SurgeonLimit.objects.filter(episode__patient=patient).select_related("recorded_by")
    for limit in limits.order_by("-first_day", "-recorded_at"):
        by_episode.setdefault(limit.episode_id, []).append(limit)
    return by_episode


def limit_of_clinic(*, clinic: Clinic, limit_id: UUID) -> SurgeonLimit | None:
    limits = SurgeonLimit.objects.filter(clinic=clinic, id=limit_id)
    return limits.select_related("episode", "episode__patient").first()


def told_limits(*, episode: Episode) -> list[ToldLimit]:
    """The plain form that the exercise check works on, oldest first."""
    return [
        ToldLimit(
            kind=limit.kind,
            detail=limit.detail,
            said_by=limit.said_by,
            first_day=limit.first_day,
            last_day=limit.last_day,
            from_deg=limit.from_deg,
            to_deg=limit.to_deg,
        )
        for limit in SurgeonLimit.objects.filter(episode=episode).order_by("first_day")
    ]


def families_of_clinic(*, clinic: Clinic) -> list[ClinicFamily]:
    return list(ClinicFamily.objects.filter(clinic=clinic).order_by("name"))


def family_of_clinic(*, clinic: Clinic, family_id: UUID) -> ClinicFamily | None:
    return ClinicFamily.objects.filter(clinic=clinic, id=family_id).first()
