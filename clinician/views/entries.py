"""The whole log of one patient, page by page."""

from datetime import date

from clinician.selectors.entry_pages import entry_page
from clinician.views.base import DeskPage


class EntriesView(DeskPage):
    """`?until=2030-03-04` = the last day of the page; anything else is the newest page."""

    template_name = "clinician/entries.html"

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    @property
    def until(self) -> date | None:
        try:
            asked = date.fromisoformat(self.request.GET.get("until", ""))
        except ValueError:
            return None
        return max(asked, date(2000, 1, 1))

    def get_context_data(self, **kwargs) -> dict:
        shown = entry_page(patient=self.patient, until=self.until, now=self.now)
        return super().get_context_data(page=self.patient, shown=shown, **kwargs)
