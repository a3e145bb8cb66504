"""One demo patient as the clinic handles them: every act through the same services."""

from datetime import date, datetime, timedelta
from random import Random
from zoneinfo import ZoneInfo

from clinician.demo.assess import LIMITS, answers_for, strength_request
from clinician.demo.cast import Care, Member
from clinician.demo.doses import Wanted, dose_of
from clinician.demo.phone import SimulatedPhone
from clinician.services.visits import visit_write
from homeprogram.calc.days import local_day
from homeprogram.selectors import record
from homeprogram.services import flag_acts, flags, holds, pairing, patients, programs, screenings
from homeprogram.services.stimulators import stimulator_set
from homeprogram.services.strength_tests import strength_test_record

# An address of the documentation range; pairing counts tries by address.
ROOM = "192.0.2.10"
STIMULATOR = "Portable, high output"


class Case:
    """The patient, their limbs' programs and their phone."""

    def __init__(self, *, member: Member, by: object, zone: ZoneInfo, today: date) -> None:
        self.member, self.by, self.zone, self.today = member, by, zone, today
        self.patient = None
        self.phone: SimulatedPhone | None = None
        self.revisions: dict[str, object] = {}

    def first_visit(self, at: datetime) -> None:
        """Consent, screening, supervised first bout, program; the phone is paired in the room."""
        member, day = self.member, local_day(at, self.zone)
        self.patient = patients.patient_add(
            by=self.by,
            name=member.name,
            now=at,
            born_on=member.born_on,
            telephone=member.telephone,
        )
        patients.consent_record(patient=self.patient, by=self.by, given_on=day, now=at)
        for care in member.cares:
            self._start(care, at)
        if member.has_phone:
            self._pair(at)

    def _start(self, care: Care, at: datetime) -> None:
        day = local_day(at, self.zone)
        episode = self._episode(care, at)
        operated = care.procedure if care.pathway == "post_operative" else ""
        screenings.screening_record(
            episode=episode,
            by=self.by,
            on=day,
            occasion="first",
            answers=answers_for(operated),
            now=at,
        )
        for told in LIMITS.get(operated, ()):
            screenings.surgeon_limit_record(
                episode=episode, by=self.by, now=at, **told.values(episode.surgery_on)
            )
        self.revisions[care.limb] = programs.program_assign(
            episode=episode,
            by=self.by,
            dose=dose_of(care.wanted),
            stimulator=self._stimulator(),
            first_day=day + timedelta(days=1),
            reason="First dose, as tolerated in the supervised bout.",
            now=at,
        )
        self.stimulator_set(care.limb, at)
        self.visit(care.limb, "clinic", "Supervised first bout, tolerated well.", at)

    def _episode(self, care: Care, at: datetime) -> object:
        surgery = None if care.surgery is None else self.today + timedelta(days=care.surgery)
        return patients.episode_add(
            patient=self.patient,
            limb=care.limb,
            pathway=care.pathway,
            procedure=care.procedure,
            surgery_on=surgery,
            surgeon_limits=care.surgeon_limits,
            starts_on=local_day(at, self.zone),
            now=at,
        )

    def _stimulator(self) -> object:
        """One that can deliver what the cast's doses ask for."""
        kinds = record.stimulators_of_clinic(clinic=self.patient.clinic)
        return next(one for one in kinds if one.name == STIMULATOR)

    def _pair(self, at: datetime) -> None:
        code = pairing.code_create(patient=self.patient, by=self.by, now=at)
        row, _ = pairing.phone_pair(secret=code.code, label="phone", address=ROOM, now=at)
        pairing.phone_confirm(phone=row, by=self.by, now=at)
        rng = Random(f"phone of {self.member.key}")  # noqa: S311  the same demo every time
        self.phone = SimulatedPhone(row=row, patient=self.patient, rng=rng)
        self.phone.sync(at)

    def visit(self, limb: str, kind: str, note: str, at: datetime) -> None:
        visit_write(
            episode=self.revisions[limb].program.episode,
            by=self.by,
            kind=kind,
            at=at,
            note=note,
            now=at,
        )

    def stimulator_set(self, limb: str, at: datetime) -> None:
        stimulator_set(revision=self.revisions[limb], by=self.by, now=at)

    def revise(self, limb: str, wanted: Wanted, reason: str, at: datetime) -> None:
        self.revisions[limb] = programs.revision_add(
            program=self.revisions[limb].program,
            by=self.by,
            dose=dose_of(wanted),
            stimulator=self._stimulator(),
            first_day=local_day(at, self.zone) + timedelta(days=1),
            reason=reason,
            now=at,
        )

    def test_strength(
        self, limb: str, involved: list[float], other: list[float], at: datetime, **measures: object
    ) -> None:
        """A maximal isometric test at 90 degrees, cleared four weeks after surgery."""
        episode, day = self.revisions[limb].program.episode, local_day(at, self.zone)
        since = (day - episode.starts_on).days // 7, (day - episode.surgery_on).days // 7
        strength_test_record(
            episode=episode,
            by=self.by,
            on=day,
            now=at,
            request=strength_request(involved, other, since),
            maximal=True,
            cleared_on=episode.surgery_on + timedelta(days=28),
            knee_angle_deg=90,
            measures=measures,
        )

    def see_contraction(self, limb: str, seen: str, at: datetime) -> None:
        """What stands in for a test where no maximal effort is cleared."""
        strength_test_record(
            episode=self.revisions[limb].program.episode,
            by=self.by,
            on=local_day(at, self.zone),
            now=at,
            request=None,
            maximal=False,
            observed_contraction=seen,
        )

    def pause(self, limb: str, reason: str, note: str, at: datetime) -> None:
        programs.program_pause(
            program=self.revisions[limb].program,
            by=self.by,
            reason=reason,
            note=note,
            safety=True,
            now=at,
        )

    def lift(self, reason: str, at: datetime) -> None:
        standing = record.standing_holds_of_patient(patient=self.patient)
        holds.hold_lift(patient=self.patient, by=self.by, holds=standing, reason=reason, now=at)

    def see(self, flag_reason: str, at: datetime) -> None:
        for flag in record.open_flags_of_patient(patient=self.patient):
            if flag.reason == flag_reason:
                flag_acts.flag_see(flag=flag, by=self.by, now=at)

    def close(self, flag_reason: str, reason: str, at: datetime, outcome: str = "acted_on") -> None:
        for flag in record.open_flags_of_patient(patient=self.patient):
            if flag.reason == flag_reason:
                flag_acts.flag_close(flag=flag, by=self.by, outcome=outcome, reason=reason, now=at)

    def patient_now(self) -> object:
        """Read anew: the log went on since the first visit."""
        return record.patient_of_clinic(clinic=self.by.clinic, patient_id=self.patient.id)

    def clock(self, at: datetime) -> None:
        """What the clock does every minute, once."""
        flags.patient_flags_refresh(patient_id=self.patient.id, now=at)
