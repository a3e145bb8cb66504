"""A link by which an invited clinician sets a password, sent by mail."""

from django.contrib.auth.tokens import default_token_generator
from django.core.mail import send_mail
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from homeprogram.models import Clinician

SUBJECT = "Your access to the clinic's desk"


def join_path(clinician: Clinician) -> str:
    """Good until a password is set or the token grows old; stored nowhere."""
    user = clinician.user
    uid = urlsafe_base64_encode(force_bytes(str(user.pk)))
    token = default_token_generator.make_token(user)
    return reverse("clinician-join", kwargs={"uidb64": uid, "token": token})


def invitation_send(*, clinician: Clinician, link: str) -> None:
    """The mail names the clinic and the person invited, nobody else."""
    body = render_to_string("clinician/mail/invitation.txt", {"clinician": clinician, "link": link})
    send_mail(SUBJECT, body, None, [clinician.user.email])
