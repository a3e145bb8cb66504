"""A revision to read: beside another one, or on paper."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from clinician.selectors.compare import comparison
from clinician.selectors.drawings import pattern_drawing, week_drawing
from clinician.selectors.sheet import sheet
from clinician.views.base import DeskPage
from clinician.views.phone import pairing_picture
from homeprogram.calc import dose
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.limits import CODE_MINUTES
from homeprogram.calc.texts import FIRST, LANGUAGES
from homeprogram.selectors import record
from homeprogram.services.pairing import code_create


class RevisionPage(DeskPage):
    def find(self) -> None:
        self.revision = self.found(
            record.revision_of_clinic(clinic=self.clinic, revision_id=self.kwargs["revision_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        program = self.revision.program
        return super().get_context_data(
            revision=self.revision,
            patient=program.patient,
            limb=program.episode.limb.upper(),
            **kwargs,
        )


class RevisionCompareView(RevisionPage):
    """`?with=2` chooses the other one by its number; else the one before, or the one after."""

    template_name = "clinician/revision_compare.html"

    def get_context_data(self, **kwargs) -> dict:
        rows = record.revisions_of_program(program=self.revision.program)
        others = [row for row in rows if row.id != self.revision.id]
        other = self._other(others)
        pair = sorted((other or self.revision, self.revision), key=lambda row: row.number)
        return super().get_context_data(
            others=others,
            compared=comparison(*pair) if other else None,
            drawings=[(row, *_drawn(row)) for row in pair] if other else [],
            **kwargs,
        )

    def _other(self, others: list):
        wanted = self.request.GET.get("with", "")
        named = next((row for row in others if str(row.number) == wanted), None)
        before = next((row for row in others if row.number < self.revision.number), None)
        return named or before or next(reversed(others), None)


def _drawn(revision) -> tuple:
    timing = dose.timing(**{name: getattr(revision, name) for name in dose.TIMING_FIGURES})
    week = week_drawing(
        set(revision.weekdays),
        bouts=revision.bouts_per_day,
        contractions=revision.contractions_per_bout,
    )
    return pattern_drawing(timing), week


class ProgramSheetView(RevisionPage):
    """For the patient, on paper. A POST prints a fresh pairing code with it, once."""

    template_name = "clinician/program_sheet.html"

    def get_context_data(self, **kwargs) -> dict:
        today = local_day(self.now, zone_or_utc(self.revision.program.patient.zone))
        asked = self.request.GET.get("language", FIRST)
        return super().get_context_data(
            sheet=sheet(
                self.revision,
                self.clinic,
                language=asked if asked in LANGUAGES else FIRST,
                today=today,
                code_minutes=CODE_MINUTES,
                address=f"{self.request.get_host()}{reverse('patient-shell')}",
            ),
            languages=LANGUAGES,
            minutes=CODE_MINUTES,
            **kwargs,
        )

    def post(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        new = code_create(patient=self.revision.program.patient, by=self.clinician, now=self.now)
        picture = pairing_picture(request, new, sized=False)
        context = self.get_context_data(new=new, groups=new.code.split("-"), qr=picture)
        return self.render_to_response(context)
