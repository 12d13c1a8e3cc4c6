"""Every setting, from the environment, safe by default.

Modes: `production` (the default), `demo` (loopback only, enter as any role) and `test`.
"""

import os
import secrets
from pathlib import Path
from urllib.parse import urlsplit

from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from exhibit_core.environment import Environment, database

BASE_DIR = Path(__file__).resolve().parent.parent
env = Environment()

MODE = env.choice("MODE", ("production", "demo", "test"))
DEBUG = env.flag("DEBUG")
DEMO = MODE == "demo"
PRODUCTION = MODE == "production" and not DEBUG
DATA_DIR = Path(env.text("DATA_DIR", str(BASE_DIR / "data")))
SITE_URL = env.text("SITE_URL", "http://127.0.0.1:8000")
BEHIND_PROXY = env.flag("BEHIND_PROXY")


def _secret_key() -> str:
    if key := env.text("SECRET_KEY"):
        return key
    if MODE == "production":
        raise ImproperlyConfigured(
            "EVENHANG_SECRET_KEY is empty: set it to 50 or more random characters, "
            "or name a file that holds it in EVENHANG_SECRET_KEY_FILE."
        )
    path = DATA_DIR / "secret-key"
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(secrets.token_urlsafe(60), encoding="utf-8")
        path.chmod(0o600)
    return path.read_text(encoding="utf-8")


SECRET_KEY = _secret_key()

_site = urlsplit(SITE_URL)
if not _site.hostname:
    raise ImproperlyConfigured(f"EVENHANG_SITE_URL is {SITE_URL!r}: write https://host[:port].")
LOOPBACK = ["127.0.0.1", "localhost", "[::1]"]
ALLOWED_HOSTS = LOOPBACK if MODE == "demo" else [_site.hostname, *LOOPBACK]
CSRF_TRUSTED_ORIGINS = [f"{_site.scheme}://{_site.netloc}"]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "exhibit_core.jobs",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "template_partials",
    "csp",
    "exhibit_core.web",
    "exhibit_core.history",
    "exhibit_core.accounts",
    "exhibit_core.register",
    "exhibit_core.spaces",
    "exhibit_core.exhibitions",
    "exhibit_core.hangs",
    "exhibit_core.exchange",
    "exhibit_core.demo",
]

MIDDLEWARE = [
    "exhibit_core.web.health.HealthMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "exhibit_core.web.middleware.FragmentMiddleware",
]

ROOT_URLCONF = "exhibit_core.urls"
WSGI_APPLICATION = "exhibit_core.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "exhibit_core.web.context.page",
                "exhibit_core.accounts.context.person",
            ],
            "builtins": ["template_partials.templatetags.partials"],
        },
    }
]

DATABASES = {
    "default": database(
        os.environ.get("DATABASE_URL", ""), sqlite_path=DATA_DIR / "evenhang.sqlite3"
    )
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "accounts.User"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
LOGIN_URL = "accounts:sign_in"
LOGIN_REDIRECT_URL = "exhibitions:index"
LOGOUT_REDIRECT_URL = "accounts:sign_in"

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.text("TIME_ZONE", "UTC")
USE_TZ = True
USE_I18N = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
MEDIA_ROOT = DATA_DIR / "media"
SHEETS_ROOT = DATA_DIR / "sheets"
IMPORTS_ROOT = DATA_DIR / "imports"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if MODE == "test" or DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = MODE == "test" or DEBUG

IMPORT_MAX_BYTES = 30 * 1024 * 1024
PICTURE_MAX_BYTES = 40 * 1024 * 1024
PICTURE_MAX_PIXELS = 120_000_000
# Only a plain JPEG is decoded at a smaller size; others take some 10 bytes a pixel of memory.
PICTURE_MAX_PIXELS_WHOLE = 50_000_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 20_000

JOBS_INLINE = MODE == "test"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = PRODUCTION
SECURE_SSL_REDIRECT = PRODUCTION
SECURE_HSTS_SECONDS = int(env.text("HSTS_SECONDS", "3600")) if PRODUCTION else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = PRODUCTION and env.flag("HSTS_SUBDOMAINS")
SECURE_HSTS_PRELOAD = False
# A museum's host often shares its domain with others: covering subdomains and browsers' preload
# lists is the operator's decision, made by EVENHANG_HSTS_SUBDOMAINS.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}

env.refuse_unknown()
