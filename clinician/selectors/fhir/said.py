"""One standing entry with what every resource made of it says alike."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from clinician.selectors.fhir.measures import answer
from clinician.selectors.fhir.rows import Rows
from clinician.selectors.fhir.values import Part, moment, text, wall_clock
from homeprogram.calc.readings import Reading
from homeprogram.models import Entry, Revision


@dataclass(frozen=True)
class Said:
    rows: Rows
    reading: Reading

    @property
    def payload(self) -> Part:
        """With its corrections: the value that counts."""
        return self.reading.payload

    @cached_property
    def entry(self) -> Entry:
        return self.rows.by_id[self.reading.original.id]

    @property
    def key(self) -> UUID:
        return self.rows.key_of(self.entry)

    @property
    def revision(self) -> Revision | None:
        return self.rows.revisions.get(self.reading.original.revision_id)

    @property
    def at(self) -> datetime:
        """When it was written down, by the wall where the patient was."""
        return wall_clock(self.entry.local_time, self.entry.offset_min)

    @property
    def written_down(self) -> list[Part]:
        """As a component: whoever reads on must see what was filled in days later."""
        return answer("written_down", valueDateTime=moment(self.at))

    @property
    def limbs(self) -> list[Part]:
        limb = self.rows.limb(self.entry.episode_id)
        return [limb] if limb else []

    @property
    def who(self) -> Part:
        told = self.entry.logged_by
        if told.get("who") == "helper":
            return {"type": "RelatedPerson", "display": text(told["name"])}
        return self.rows.subject

    @property
    def observed(self) -> Part:
        """What every Observation says; "corrected" where the first value was replaced."""
        return {
            "status": "corrected" if self.reading.corrected else "final",
            "subject": self.rows.subject,
            "issued": moment(self.reading.said_at),
            "performer": [self.who],
            "bodySite": next(iter(self.limbs), None),
        }
