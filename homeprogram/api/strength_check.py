"""POST the trials of a strength test; hear its indices and how sure they are."""

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from homeprogram.api.clinician import ClinicianView
from homeprogram.calc.strength_check import course_rules, strength_check
from homeprogram.serializers.dose import (
    ImpossibleOutput,
    StrengthCheckInput,
    StrengthCheckOutput,
)


class StrengthCheckApi(ClinicianView):
    """Stores nothing. The clinic's own course rules come over ours."""

    @extend_schema(
        request=StrengthCheckInput, responses={200: StrengthCheckOutput, 400: ImpossibleOutput}
    )
    def post(self, request: Request) -> Response:
        asked = StrengthCheckInput(data=request.data)
        asked.is_valid(raise_exception=True)
        rules = course_rules(self.clinician.clinic.course)
        return Response(StrengthCheckOutput(strength_check(asked.validated_data, rules=rules)).data)
