"""Who signs in. Patients never do: their phone is paired instead."""

import uuid

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None = None) -> "User":
        """A user signs in with an e-mail address; no password = cannot sign in yet."""
        user = self.model(email=self.normalize_email(email).lower())
        user.set_password(password)
        user.full_clean(exclude=["password"])
        user.save()
        return user


class User(AbstractBaseUser):
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    email = models.EmailField(unique=True)
    is_active = models.BooleanField(default=True)

    objects = UserManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"

    def __str__(self) -> str:
        return f"User {self.pk}"


class Role(models.TextChoices):
    CLINICIAN = "clinician"
    LEAD = "lead"


class Clinician(Record):
    user = models.OneToOneField(User, on_delete=models.PROTECT, related_name="clinician")
    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="clinicians")
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=12, choices=Role, default=Role.CLINICIAN)
    active = models.BooleanField(default=True)
    invited_at = models.DateTimeField()

    class Meta:
        constraints = [one_of("role", Role, "clinician_role_is_known")]

    @property
    def is_lead(self) -> bool:
        return self.role == Role.LEAD
