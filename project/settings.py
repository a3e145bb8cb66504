"""Every setting; every environment value is read here, once."""

import os
import secrets
from pathlib import Path

from csp.constants import NONE, SELF
from django.urls import reverse_lazy

from homeprogram.calc import texts
from homeprogram.calc.endpoint import gateway_fault
from project import database

ROOT = Path(__file__).resolve().parent.parent

# production (the default), demo (loopback only) or test.
MODE = os.environ.get("BOUTWISE_MODE", "production")
if MODE not in {"production", "demo", "test"}:
    raise ValueError(f"BOUTWISE_MODE is {MODE!r}; use production, demo or test.")
# Everything this machine keeps; demo and tests never touch a real clinic's.
VAR = Path(os.environ.get("BOUTWISE_VAR", ROOT / "var" / MODE))
PRODUCTION = MODE == "production"
DEMO = MODE == "demo"
TEST = MODE == "test"
HOSTS = os.environ.get("BOUTWISE_HOSTS", "localhost,127.0.0.1,[::1]")
DATABASE_URL = os.environ.get("DATABASE_URL", "")
EMAIL_URL_HOST = os.environ.get("BOUTWISE_SMTP_HOST", "")
# The address that messages lead to; the clock answers no request that would tell it.
SITE_URL = os.environ.get("BOUTWISE_URL", f"https://{HOSTS.split(',')[0]}").rstrip("/")
# "off" serves an empty worker, which frees every phone from a broken one.
WORKER = os.environ.get("BOUTWISE_WORKER", "on") != "off"
# Web Push: a key pair of one's own (else made once in VAR), and whose services phones may name.
PUSH_KEY = os.environ.get("BOUTWISE_PUSH_KEY", "")
PUSH_SERVICES = os.environ.get("BOUTWISE_PUSH_HOSTS", "")
# Text messages go to a gateway of the operator's own: its address, its one header ("Name: value"),
# and what it calls the number, the words and the key that tells a second try.
TEXT_URL = os.environ.get("BOUTWISE_TEXT_URL", "")
TEXT_HEADER = os.environ.get("BOUTWISE_TEXT_HEADER", "")
TEXT_FIELDS = os.environ.get("BOUTWISE_TEXT_FIELDS", "to,text,id").split(",")
# "procrastinate" runs the clock's jobs on several machines' workers (the extra `many`).
CLOCK = os.environ.get("BOUTWISE_CLOCK", "own")
TRUSTED_PROXIES = int(os.environ.get("BOUTWISE_PROXIES", "0"))

if TEXT_URL and (gateway_fault(TEXT_URL) or len(TEXT_FIELDS) != 3):
    raise ValueError("BOUTWISE_TEXT_URL takes https, or http to this machine, and three fields.")


def _secret_key() -> str:
    """From the environment, else kept in var/ so that one box needs no set-up."""
    if given := os.environ.get("BOUTWISE_SECRET_KEY"):
        return given
    path = VAR / "secret-key"
    if not path.exists():
        VAR.mkdir(parents=True, exist_ok=True)
        path.touch(mode=0o600)
        path.write_text(secrets.token_urlsafe(64))
    return path.read_text()


DEBUG = False
SECRET_KEY = _secret_key()
# Keys of before, comma between: what was signed or sealed under them still opens.
SECRET_KEY_FALLBACKS = list(filter(None, os.environ.get("BOUTWISE_OLD_SECRET_KEYS", "").split(",")))
ALLOWED_HOSTS = HOSTS.split(",")
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS if PRODUCTION]

INSTALLED_APPS = [
    "project.apps.ProjectConfig",
    "clinician",
    "homeprogram",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "project.apps.PublishedFilesConfig",  # django.contrib.staticfiles
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "rest_framework",
    "drf_spectacular",
    "csp",
    "pwa",
    *(["procrastinate.contrib.django"] if CLOCK == "procrastinate" else []),
]
PROCRASTINATE_AUTODISCOVER_MODULE_NAME = "many"  # project/many.py

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "project.middleware.response_headers",
    "csp.middleware.CSPMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "allauth.account.middleware.AccountMiddleware",
]

ROOT_URLCONF = "project.urls"
WSGI_APPLICATION = "project.wsgi.application"
APPEND_SLASH = False  # the patient's shell must never be answered by a redirect

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "project" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASES = {
    "default": database.postgresql(DATABASE_URL)
    if DATABASE_URL
    else database.sqlite(VAR / ("demo.sqlite3" if DEMO else "boutwise.sqlite3"))
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
# Sign-in is throttled through the cache, so every process must see the same one.
CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
    if TEST
    else {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "homeprogram_throttle",
        # Above it a third is thrown away, whoever still counts by it.
        "OPTIONS": {"MAX_ENTRIES": 100_000},
    }
}

LANGUAGE_CODE = "en"  # of the desk; a patient's pages name their own
LANGUAGES = list(texts.LANGUAGES.items())
TIME_ZONE = "UTC"
USE_I18N = True
USE_TZ = True

STATIC_URL = "/static/"
STATICFILES_DIRS = [ROOT / "static"]
STATIC_ROOT = VAR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
WHITENOISE_USE_FINDERS = MODE == "test"
WHITENOISE_AUTOREFRESH = MODE == "test"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if MODE == "test"
        else "project.storage.HashedStaticStorage"
    },
}

# --- people who sign in -------------------------------------------------
AUTH_USER_MODEL = "homeprogram.User"
AUTHENTICATION_BACKENDS = ["project.accounts.DeskBackend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 15},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]
LOGIN_URL = reverse_lazy("account_login")
LOGIN_REDIRECT_URL = reverse_lazy("desk-panel")
ALLAUTH_TRUSTED_PROXY_COUNT = TRUSTED_PROXIES
ACCOUNT_ADAPTER = "project.accounts.AccountAdapter"
ACCOUNT_FORMS = {"login": "project.account_forms.DeskLoginForm"}
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "none"  # addresses come from the clinic's lead
ACCOUNT_LOGOUT_ON_GET = False
ACCOUNT_SESSION_REMEMBER = False
ACCOUNT_LOGOUT_ON_PASSWORD_CHANGE = True
ACCOUNT_PREVENT_ENUMERATION = True
ACCOUNT_RATE_LIMITS = {
    "login": "30/m/ip",
    "login_failed": "10/10m/ip,10/10m/key",
    "reset_password": "20/h/ip,5/h/key",
    "reset_password_from_key": "20/m/ip",
    "change_password": "5/m/user",
    "reauthenticate": "10/m/user",
}
MFA_ADAPTER = "project.accounts.MFAAdapter"
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]
MFA_TOTP_ISSUER = "Boutwise"
REQUIRE_MFA = PRODUCTION
SESSION_COOKIE_AGE = 12 * 3600
SESSION_EXPIRE_AT_BROWSER_CLOSE = True
DESK_IDLE_S = 30 * 60

# --- the outer door -----------------------------------------------------
SESSION_COOKIE_NAME = "__Host-desk" if PRODUCTION else "desk"
SESSION_COOKIE_SECURE = PRODUCTION
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_NAME = "__Host-csrf" if PRODUCTION else "csrf"
CSRF_COOKIE_SECURE = PRODUCTION
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Strict"
CSRF_FAILURE_VIEW = "project.errors.csrf_failure"
PHONE_COOKIE_NAME = "__Host-phone" if PRODUCTION else "phone"
SECURE_SSL_REDIRECT = PRODUCTION
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if PRODUCTION else None
SECURE_HSTS_SECONDS = 31_536_000 if PRODUCTION else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = True
SECURE_HSTS_PRELOAD = True
# Not "no-referrer": under it browsers send forms with `Origin: null`, which CSRF refuses.
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
DATA_UPLOAD_MAX_MEMORY_SIZE = 1_048_576
# A phone's file is read in memory and never lies on a disk; a larger one is not read at all.
FILE_UPLOAD_MAX_MEMORY_SIZE = 4_259_840  # FILE_BYTES_MAX and the form around it
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.MemoryFileUploadHandler"]
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "object-src": [NONE],
        "frame-ancestors": [NONE],
        "require-trusted-types-for": ["'script'"],
    },
}

# --- API ----------------------------------------------------------------
REST_FRAMEWORK = {
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "project.errors.api_error",
    "UNAUTHENTICATED_USER": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Boutwise",
    "VERSION": "1",
    "SERVE_AUTHENTICATION": ["homeprogram.api.clinician.DeskAuthentication"],
    "SERVE_PERMISSIONS": ["homeprogram.api.clinician.IsClinician"],
    "SERVE_INCLUDE_SCHEMA": False,
}

# --- the installable app (our templates pwa.html and manifest.json) ---------
PWA_APP_NAME = "Boutwise"
PWA_APP_DEBUG_MODE = False
PWA_APP_SPLASH_SCREEN = []

# --- mail and logs ------------------------------------------------------
EMAIL_BACKEND = (
    "django.core.mail.backends.smtp.EmailBackend"
    if EMAIL_URL_HOST
    else "django.core.mail.backends.filebased.EmailBackend"
)
EMAIL_FILE_PATH = VAR / "mail"
EMAIL_HOST = EMAIL_URL_HOST
EMAIL_PORT = int(os.environ.get("BOUTWISE_SMTP_PORT", "587"))
EMAIL_HOST_USER = os.environ.get("BOUTWISE_SMTP_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("BOUTWISE_SMTP_PASSWORD", "")
EMAIL_USE_TLS = bool(EMAIL_URL_HOST)
EMAIL_TIMEOUT = 10  # [s] a mail server that does not answer must not stop the clock
DEFAULT_FROM_EMAIL = os.environ.get("BOUTWISE_MAIL_FROM", "clinic@localhost")
# Stands on a patient's lock screen: nothing in it may tell of a clinic or of health.
REMINDER_FROM = os.environ.get("BOUTWISE_REMINDER_FROM", "reminder@localhost")
# The platforms' own services: a browser's subscription names one of these (from memory).
PUSH_HOSTS = (
    tuple(PUSH_SERVICES.split(","))
    if PUSH_SERVICES
    else (
        "fcm.googleapis.com",
        "*.push.services.mozilla.com",
        "*.push.apple.com",
        "*.notify.windows.com",
    )
)
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "%(asctime)s %(levelname)s %(name)s %(message)s"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
}
