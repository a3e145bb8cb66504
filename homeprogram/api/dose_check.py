"""POST a dose as it is being typed; hear what it amounts to and who disagrees."""

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from homeprogram.api.clinician import ClinicianView
from homeprogram.calc.dose_check import dose_check
from homeprogram.calc.dose_errors import ImpossibleDose
from homeprogram.calc.guidance import Family
from homeprogram.calc.stimulator import StimulatorLimits
from homeprogram.selectors import dosing
from homeprogram.serializers.dose import DoseCheckInput, DoseCheckOutput, ImpossibleOutput


class DoseCheckApi(ClinicianView):
    """Stores nothing. It checks entries; it does not prescribe."""

    @extend_schema(request=DoseCheckInput, responses={200: DoseCheckOutput, 400: ImpossibleOutput})
    def post(self, request: Request) -> Response:
        asked = DoseCheckInput(data=request.data)
        asked.is_valid(raise_exception=True)
        figures = asked.validated_data
        reply = dose_check(
            figures, family=self._own_family(figures), stimulator=self._stimulator(figures)
        )
        return Response(DoseCheckOutput(reply).data)

    def _own_family(self, figures: dict) -> Family | None:
        code = figures.get("family") or ""
        return dosing.clinic_family(clinic=self.clinician.clinic, code=code)

    def _stimulator(self, figures: dict) -> StimulatorLimits | None:
        wanted = figures.get("stimulator")
        if wanted is None:
            return None
        found = dosing.stimulator_limits(clinic=self.clinician.clinic, stimulator_id=wanted)
        if found is None:
            sentence = "The clinic has no such stimulator."
            raise ImpossibleDose(
                sentence, code="stimulator_unknown", fields={"stimulator": sentence}
            )
        return found
