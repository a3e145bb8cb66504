"""One patient's record for other systems, as HL7 FHIR."""

import json

from django.http import HttpRequest, HttpResponse

from clinician.selectors.fhir.bundle import MEDIA_TYPE, record_bundle
from clinician.views.base import DeskMixin


class FhirRecordView(DeskMixin):
    """The file names nobody: it is kept where downloads are."""

    http_method_names = ("get", "head", "options")

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get(self, request: HttpRequest, **ids) -> HttpResponse:
        bundle = record_bundle(patient=self.patient, now=self.now)
        return HttpResponse(
            json.dumps(bundle, allow_nan=False),
            content_type=MEDIA_TYPE,
            headers={"Content-Disposition": 'attachment; filename="record-fhir.json"'},
        )
