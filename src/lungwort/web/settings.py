"""Django's settings for the pages; what differs between hospitals comes from the environment, set by `lungwort serve`.

LUNGWORT_DATABASE   a file, or postgres://user@host/name
LUNGWORT_SECRET     signs sessions; `serve` keeps it beside the database
LUNGWORT_HOSTS      names under which the pages are asked for, with commas between; this machine's by default
LUNGWORT_ZONE       the hospital's time zone, such as Africa/Addis_Ababa
LUNGWORT_HTTPS      1 where the pages are served over https
"""

from __future__ import annotations

import os
from datetime import timedelta
from pathlib import Path
from secrets import token_urlsafe
from typing import Any

from lungwort.records.connect import configured

WEB = Path(__file__).parent
SCREENS = tuple(sorted(path.parent.name for path in WEB.glob("*/urls.py")))
"""Every screen: a folder with addresses."""

DATABASE = os.environ.get("LUNGWORT_DATABASE", "lungwort.db")
DATABASES: dict[str, dict[str, Any]] = {"default": configured(DATABASE)}
SECRET_KEY = os.environ.get("LUNGWORT_SECRET") or token_urlsafe(50)
ALLOWED_HOSTS = os.environ.get("LUNGWORT_HOSTS", "localhost,127.0.0.1,[::1]").split(",")
HTTPS = os.environ.get("LUNGWORT_HTTPS") == "1"
DEBUG = False

INSTALLED_APPS = [
    "lungwort.records",
    "lungwort.web.frame",
    "lungwort.web.accounts",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "axes",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "lungwort.web.frame.middleware.bound_uploads",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "lungwort.web.frame.middleware.AnswerErrors",
    "lungwort.web.frame.middleware.know_the_person",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "lungwort.web.urls"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [str(WEB / screen / "templates") for screen in (*SCREENS, "frame")],
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
                "lungwort.web.frame.context.frame",
            ],
            "builtins": [
                "lungwort.web.frame.templatetags.words",
                "django.templatetags.static",
                "django.templatetags.i18n",
            ],
        },
    }
]
AUTH_USER_MODEL = "accounts.Account"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.ScryptPasswordHasher"]
LOGIN_URL = "sign_in"

AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_LOCKOUT_CALLABLE = "lungwort.web.accounts.views.locked_out"
AXES_USERNAME_FORM_FIELD = "username"  # as `authenticate` is asked
AXES_VERBOSE = False

SESSION_COOKIE_AGE = 12 * 3600  # a shift
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Strict"
LOCK_AFTER_S = 10 * 60
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_000_000
FILE_UPLOAD_MAX_MEMORY_SIZE = 5_000_000
LARGEST_UPLOAD_BYTES = 25_000_000
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "worker-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}

STATIC_URL = "/static/"
STATIC_ROOT = os.environ.get("LUNGWORT_STATIC", "")
STORAGES = {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
WHITENOISE_USE_FINDERS = True
WHITENOISE_MAX_AGE = 3600

USE_TZ = True
TIME_ZONE = os.environ.get("LUNGWORT_ZONE", "UTC")
USE_I18N = True
LOCALE_PATHS = [str(WEB.parent / "locale")]
LANGUAGE_CODE = os.environ.get("LUNGWORT_LANGUAGE", "en")
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
LOGGING_CONFIG = None
