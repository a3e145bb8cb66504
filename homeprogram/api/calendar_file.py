"""The due days as a file for the phone's own calendar, which rings without us and a network."""

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from homeprogram.api.credential import IsPhone, PhoneAuthentication, phone_in_use
from homeprogram.selectors.calendar_file import calendar_file
from homeprogram.selectors.plans import context_of
from homeprogram.serializers.calendar_file import CalendarFileInput, CalendarFileOutput
from homeprogram.serializers.sync import ErrorOutput


class CalendarFileApi(APIView):
    """GET it for a time of day. The hour is the patient's to choose: it is their own alarm."""

    authentication_classes = [PhoneAuthentication]
    permission_classes = [IsPhone]

    @extend_schema(
        parameters=[CalendarFileInput], responses={200: CalendarFileOutput, 400: ErrorOutput}
    )
    def get(self, request: Request) -> Response:
        phone = phone_in_use(request)
        asked = CalendarFileInput(data=request.query_params)
        asked.is_valid(raise_exception=True)
        context = context_of(patient=phone.patient, now=timezone.now(), days_back=0)
        said = asked.validated_data
        file = calendar_file(context, said["at"], language=said["language"])
        return Response({"file": file.decode() if file else None})
