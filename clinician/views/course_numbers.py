"""What the patient page charts, for other programs: as JSON and as a sheet."""

import csv

from django.http import HttpRequest, HttpResponse, JsonResponse

from clinician.selectors.charts import RANGES, USUAL, charts_of_patient, sheet_of
from clinician.views.base import DeskMixin


def weeks_asked(request: HttpRequest) -> str:
    asked = request.GET.get("weeks", "")
    return asked if asked in RANGES else USUAL


class CourseNumbersView(DeskMixin):
    """Exactly what the page draws and tabulates."""

    http_method_names = ("get", "head", "options")

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    @property
    def numbers(self) -> dict:
        weeks = weeks_asked(self.request)
        return charts_of_patient(patient=self.patient, now=self.now, weeks=weeks)

    def get(self, request: HttpRequest, **ids) -> HttpResponse:
        return JsonResponse(self.numbers)


class CourseNumbersFileView(CourseNumbersView):
    """The file names nobody: it is kept where downloads are."""

    def get(self, request: HttpRequest, **ids) -> HttpResponse:
        response = HttpResponse(
            content_type="text/csv; charset=utf-8",
            headers={"Content-Disposition": 'attachment; filename="course.csv"'},
        )
        csv.writer(response).writerows(sheet_of(self.numbers))
        return response
