"""The panel of all current patients."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from clinician.forms.panel import ChoiceForm
from clinician.selectors.panel import panel
from clinician.selectors.panel_choice import Choice, choice_of, saved_choice
from clinician.selectors.panel_row import STRIP_DAYS
from clinician.selectors.strip import LEGEND
from clinician.services.saved_views import view_keep
from clinician.views.base import DeskMixin, DeskPage, View
from clinician.views.handover import undoable


class PanelView(DeskPage):
    """One row per patient, gravest first, or as asked for.

    Filters and order stand in the address and say nothing about a person. A name
    that is searched for comes by POST, so that no address, log or history holds it.
    """

    template_name = "clinician/panel.html"
    area = "panel"

    def post(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        return self.render_to_response(self.get_context_data(name=request.POST.get("name", "")))

    def get_context_data(self, *, name: str = "", **kwargs) -> dict:
        saved = saved_choice(clinician=self.clinician)
        choice = saved if saved and not self.request.GET else choice_of(self.request.GET.dict())
        shown = panel(me=self.clinician, now=self.now, choice=choice, name=name[:120])
        return super().get_context_data(
            panel=shown,
            choice=choice,
            form=ChoiceForm(choice.asked, label_suffix=""),
            name=name,
            own_view=saved is not None and saved.asked == choice.asked,
            pages=_pages(choice, shown.page, shown.pages),
            undo=undoable(self.request, self.now),
            legend=LEGEND,
            days=STRIP_DAYS,
            **kwargs,
        )


def _pages(choice: Choice, page: int, pages: int) -> dict[str, str]:
    """Addresses of the neighbouring pages."""
    near = {"earlier": page - 1, "later": page + 1}
    return {
        word: "?" + urlencode(choice.asked | {"page": number})
        for word, number in near.items()
        if 1 <= number <= pages
    }


class PanelKeepView(DeskMixin, View):
    """Keep the filters and the order as this clinician's own view."""

    http_method_names = ("post",)

    def post(self, request: HttpRequest) -> HttpResponse:
        choice = choice_of(request.POST.dict())
        view_keep(by=self.clinician, choice=choice.asked, now=self.now)
        said = "Kept as your view." if choice.asked else "Your view is the whole panel again."
        messages.success(request, said)
        return redirect(reverse("desk-panel"))
