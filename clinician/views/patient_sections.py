"""The patient page's sections in the order they are read: one line and one include file each."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Section:
    """`name` is its anchor; without a title it is not among the links on top."""

    name: str
    title: str

    @property
    def template(self) -> str:
        return f"clinician/_{self.name}.html"


MAIN = (
    Section("holds", ""),
    Section("flags", "Flags"),
    Section("days", "Days"),
    Section("charts", "Charts"),
    Section("episodes", "Home programs"),
    Section("decisions", "Decisions and notes"),
    Section("entries", "Entries"),
)
SIDE = (
    Section("phones", "Phones"),
    Section("contacts", "Contacts"),
    Section("reminders", "Reminders"),
    Section("visits", "Visits"),
    Section("incidents", "Incidents"),
    Section("loans", "Lent stimulators"),
    Section("rules", "Thresholds"),
    Section("consent", "Consent"),
)
