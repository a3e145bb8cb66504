"""No more reminders, tapped on a notice: the phone's own key is enough, nobody signs in."""

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from clinician.selectors.reminder_page import notices_stopped
from clinician.serializers.reminder_stop import ReminderStopInput, ReminderStopOutput
from clinician.services.opt_outs import phone_stop
from homeprogram.api.credential import IsPhone, PhoneAuthentication, phone_in_use
from homeprogram.serializers.sync import ErrorOutput


class ReminderStopApi(APIView):
    """GET whether this phone's patient stopped notices. POST stops every way, again and again."""

    authentication_classes = [PhoneAuthentication]
    permission_classes = [IsPhone]

    @extend_schema(responses={200: ReminderStopOutput})
    def get(self, request: Request) -> Response:
        return _stands(phone_in_use(request))

    @extend_schema(request=ReminderStopInput, responses={200: ReminderStopOutput, 400: ErrorOutput})
    def post(self, request: Request) -> Response:
        """From a replaced phone too: it may still show a notice."""
        said = ReminderStopInput(data=request.data)
        said.is_valid(raise_exception=True)
        phone_stop(
            phone=request.auth, reminder_id=said.validated_data["reminder"], now=timezone.now()
        )
        return _stands(request.auth)


def _stands(phone: object) -> Response:
    return Response({"stopped": notices_stopped(patient=phone.patient)})
