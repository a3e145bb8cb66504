"""Reads of strength tests, and the weeks that a course has lasted."""

from collections.abc import Sequence
from datetime import date
from uuid import UUID

from homeprogram.models import Clinic, Episode, Patient, Revision, StrengthTest


def strength_tests_of_episode(*, episode: Episode) -> list[StrengthTest]:
    """Oldest first, as a chart draws them."""
    tests = StrengthTest.objects.filter(episode=episode).select_related("recorded_by")
    return list(tests.order_by("on", "recorded_at"))


def strength_tests_of_patient(*, patient: Patient) -> dict[UUID, list[StrengthTest]]:
    """By episode, oldest first."""
    by_episode: dict[UUID, list[StrengthTest]] = {}
    tests = StrengthTest.objects.filter(episode__patient=patient).select_related("recorded_by")
    for test in tests.order_by("on", "recorded_at"):
        by_episode.setdefault(test.episode_id, []).append(test)
    return by_episode


def strength_test_of_clinic(*, clinic: Clinic, test_id: UUID) -> StrengthTest | None:
    tests = StrengthTest.objects.filter(clinic=clinic, id=test_id)
    return tests.select_related("episode", "episode__patient").first()


def last_measured(tests: Sequence[StrengthTest]) -> StrengthTest | None:
    """The newest with trials of the involved limb."""
    measured = [test for test in tests if test.result.get("involved_mvic") is not None]
    return measured[-1] if measured else None


def newest_of_limb(*, episode: Episode) -> StrengthTest | None:
    """The newest test with figures of this patient's limb, in this episode or an earlier one."""
    tests = StrengthTest.objects.filter(
        episode__patient=episode.patient_id, episode__limb=episode.limb
    ).exclude(request={})
    return tests.order_by("-on", "-recorded_at").first()


def course_start(*, episode: Episode) -> date:
    """The first day of the home program; of the episode where there is none."""
    first = Revision.objects.filter(program__episode=episode).order_by("number").first()
    return first.first_day if first else episode.starts_on


def weeks_at(on: date, *, since: date | None) -> int | None:
    """Whole weeks that have passed; None before that day or without one."""
    return None if since is None or on < since else (on - since).days // 7
