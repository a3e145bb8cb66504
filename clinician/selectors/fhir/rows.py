"""Everything an export reads of one patient, in a fixed number of queries."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from clinician.models import Reminder, ReminderOutcome, SignedNote
from clinician.selectors.fhir.values import Part, concept, part_of, ref
from homeprogram.calc.readings import AMENDS, Reading, readings
from homeprogram.models import Clinician, Entry, Episode, Patient, Revision, Visit
from homeprogram.selectors.log import entries_of_patient, logged
from homeprogram.selectors.plans import Context, context_of
from homeprogram.selectors.visits import visits_of_patient

# Of a message that may have gone out the other system must hear too.
WENT_OUT = (ReminderOutcome.SENT, ReminderOutcome.UNKNOWN)
# What an entry becomes; flags name entries by id.
KINDS = {
    "bout": "Procedure",
    "not_done": "Procedure",
    "skin_check": "Observation",
    "morning_check": "Observation",
    "stop_report": "Observation",
    "note_to_clinic": "Communication",
}


@dataclass(frozen=True)
class Rows:
    context: Context
    entries: list[Entry]
    visits: list[Visit]  # every version
    notes: list[SignedNote]
    reminders: list[Reminder]
    people: dict[UUID, Clinician]

    @property
    def patient(self) -> Patient:
        return self.context.patient

    @property
    def subject(self) -> Part:
        return ref("Patient", self.patient.id)

    @property
    def clinic(self) -> Part:
        return ref("Organization", self.patient.clinic_id)

    @cached_property
    def by_id(self) -> dict[str, Entry]:
        return {str(entry.entry_id): entry for entry in self.entries}

    @cached_property
    def standing(self) -> list[Reading]:
        """What the log says now, in the order it arrived: as the desk counts it."""
        return readings(map(logged, self.entries))

    @cached_property
    def withdrawn(self) -> list[Entry]:
        stand = {one.original.id for one in self.standing}
        return [e for e in self.entries if e.kind not in AMENDS and str(e.entry_id) not in stand]

    @cached_property
    def revisions(self) -> dict[str, Revision]:
        return {str(one.id): one for one in self.context.every_revision}

    @cached_property
    def episodes(self) -> dict[UUID, Episode]:
        return {one.id: one for one in self.context.episodes}

    @property
    def visits_as_they_stand(self) -> list[Visit]:
        replaced = {visit.replaces_id for visit in self.visits}
        return [visit for visit in self.visits if visit.id not in replaced]

    def limb(self, episode_id: UUID | None) -> Part | None:
        episode = self.episodes.get(episode_id)
        return concept("limb", episode.limb, f"{episode.limb} leg") if episode else None

    def who(self, clinician_id: UUID | None, name: str = "") -> Part | None:
        """`name` = as they were called when they signed; else as they are called now."""
        if clinician_id is None:
            return None
        return ref("Practitioner", clinician_id, name or self.people[clinician_id].name)

    def key_of(self, entry: Entry) -> UUID:
        """A phone draws its entries' ids and may reuse one of another row; none can aim at this."""
        return part_of(self.patient.id, f"entry {entry.entry_id}")

    def entry_ref(self, entry_id: str) -> Part | None:
        """The resource made of an entry; None for an amendment or an entry not here."""
        entry = self.by_id.get(entry_id)
        kind = KINDS.get(entry.kind) if entry else None
        return ref(kind, self.key_of(entry)) if kind else None


def whole_record(*, patient: Patient, now: datetime) -> Rows:
    notes = SignedNote.objects.filter(patient=patient).prefetch_related("addenda")
    sent = Reminder.objects.filter(patient=patient, outcome__in=WENT_OUT)
    people = Clinician.objects.filter(clinic=patient.clinic_id)
    return Rows(
        context=context_of(patient=patient, now=now, days_back=0),
        entries=sorted(entries_of_patient(patient=patient), key=lambda entry: entry.version),
        visits=list(visits_of_patient(patient=patient)),
        notes=list(notes.order_by("signed_at")),
        reminders=list(sent.order_by("claimed_at")),
        people={one.id: one for one in people},
    )
