"""How clinicians sign in: by invitation only, with a second factor."""

import base64
import hashlib

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.auth_backends import AuthenticationBackend
from allauth.mfa.adapter import DefaultMFAAdapter
from cryptography.fernet import Fernet
from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.auth.base_user import AbstractBaseUser
from django.http import HttpRequest


class AccountAdapter(DefaultAccountAdapter):
    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False  # a lead invites; nobody signs up

    def format_email_subject(self, subject: str) -> str:
        return subject  # no host name in front of it


class DeskBackend(AuthenticationBackend):
    """Every request of the desk needs the clinician and the clinic: one query, not three."""

    def get_user(self, user_id: str) -> AbstractBaseUser | None:
        users = get_user_model().objects.select_related("clinician__clinic")
        return users.filter(pk=user_id, is_active=True).first()


def _seed_cipher() -> Fernet:
    material = hashlib.sha256(b"boutwise totp seed" + settings.SECRET_KEY.encode()).digest()
    return Fernet(base64.urlsafe_b64encode(material))


class MFAAdapter(DefaultMFAAdapter):
    """Seeds are encrypted at rest: a copied database yields no second factor."""

    def encrypt(self, text: str) -> str:
        return _seed_cipher().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        return _seed_cipher().decrypt(encrypted_text.encode()).decode()
