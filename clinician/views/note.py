"""A clinician says that they read a patient's note."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse

from clinician.views.base import DeskMixin
from homeprogram.selectors.log import note_of_patient
from homeprogram.services.notes import note_read


class NoteReadView(DeskMixin):
    """The patient's phone says on which day; what is in the note is answered by telephone."""

    http_method_names = ("post",)

    def find(self) -> None:
        patient = self.patient_of(self.kwargs["patient_id"])
        self.note = self.found(note_of_patient(patient=patient, entry_id=self.kwargs["entry_id"]))

    def post(self, request: HttpRequest, **kwargs) -> HttpResponse:
        note_read(note=self.note, by=self.clinician, now=self.now)
        messages.success(request, "Marked as read. The phone says so after its next contact.")
        return self.to_patient(self.note.patient_id, f"entry-{self.note.pk}")
