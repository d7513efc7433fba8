"""Settings: safe for production as they stand; EXAMKIT_ variables change them (DEVELOPERS.md lists them)."""

from datetime import timedelta
from pathlib import Path

import dj_database_url
from csp.constants import NONCE, NONE, SELF

from examkit import environment as env

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(env.text("VAR", str(BASE_DIR / "var")))
KNOWLEDGE_DIR = Path(env.text("KNOWLEDGE", str(BASE_DIR / "shared")))

DEMO = env.flag("DEMO", default=False)  # invented school, passwords printed; set by `manage.py demo`
DEBUG = env.flag("DEBUG", default=False)
SECRET_KEY = env.secret_key(VAR_DIR)
SECRET_KEY_FALLBACKS = env.words("OLD_SECRET_KEYS")
ALLOWED_HOSTS = env.words("HOSTS", "localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = env.words("ORIGINS")

INSTALLED_APPS = [
    "examkit.apps.ExamkitConfig",  # first: its `test` command goes before Django's
    "grading.apps.GradingConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "crispy_forms",
    "crispy_bootstrap5",
    "django_htmx",
    "axes",
    "csp",
    "django_tasks",
    "django_tasks_db",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "examkit.access.AccessMiddleware",
    "examkit.house.errors.SamePerson",
    "examkit.house.errors.NotAllowedPage",
    "axes.middleware.AxesMiddleware",  # last, as its documentation asks
]

ROOT_URLCONF = "examkit.urls"
WSGI_APPLICATION = "examkit.wsgi.application"
TEMPLATES = [{
    "BACKEND": "django.template.backends.django.DjangoTemplates",
    "DIRS": [BASE_DIR / "templates"],
    "APP_DIRS": True,
    "OPTIONS": {"context_processors": [
        "django.template.context_processors.request",
        "django.contrib.auth.context_processors.auth",
        "django.contrib.messages.context_processors.messages",
        "csp.context_processors.nonce",
        "examkit.house.context.house",
    ]},
}]
CRISPY_ALLOWED_TEMPLATE_PACKS = CRISPY_TEMPLATE_PACK = "bootstrap5"

# Data. SQLite as measured: no acknowledged write is lost when the process is killed.
DATABASES = {"default": dj_database_url.config(
    default=f"sqlite:///{VAR_DIR / 'examkit.sqlite3'}", conn_max_age=60, conn_health_checks=True,
)}
if "sqlite3" in DATABASES["default"]["ENGINE"]:
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
TASKS = {"default": {"BACKEND": {
    "immediate": "django_tasks.backends.immediate.ImmediateBackend",  # at once, in the request
    "database": "django_tasks_db.DatabaseBackend",  # by `manage.py db_worker`
}[env.text("TASKS", "immediate")]}}
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000  # a whole record with every line of a scheme
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 2**20

# What parts ask for before an exam's next state (examkit.planning.selectors.still_missing calls these)
EXAM_CONDITIONS = {
    "prepared": ["examkit.stockroom.conditions.before_prepared"],
    "sat": ["examkit.day.conditions.missing_before_sat", "grading.entry.bench.selectors.missing_before_sat"],
    "released": ["grading.second.selectors.missing_before_release",
                 "grading.moderation.selectors.missing_before_release"],
}

TIME_GIVEN_BACK = ["grading.entry.bench.services.time_given_back"]  # what else keeps ends of candidates' time

# What others add to the demo, called with the centre
DEMO_PARTS = ["grading.demo.records.records", "grading.demo.second.second"]

# Who
AUTH_USER_MODEL = "examkit.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [{"NAME": f"django.contrib.auth.password_validation.{name}", "OPTIONS": options}
                            for name, options in (("UserAttributeSimilarityValidator", {}),
                                                  ("MinimumLengthValidator", {"min_length": 15}),
                                                  ("CommonPasswordValidator", {}))]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"
SESSION_COOKIE_AGE = 14 * 3600  # a school day and its evening
SESSION_COOKIE_NAME = "examkit_session"
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_NAME = "examkit_csrf"
CSRF_FAILURE_VIEW = "examkit.house.errors.csrf_failed"
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_CALLABLE = "examkit.house.errors.locked_out"
AXES_VERBOSE = False
AXES_DISABLE_ACCESS_LOG = True  # the audit trail says who did what; sign-ins are not kept twice

# The wire
HTTPS = env.flag("HTTPS", default=not DEMO)
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = int(env.text("HSTS_SECONDS", str(365 * 24 * 3600 if HTTPS else 0)))
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_HSTS_PRELOAD = env.flag("HSTS_PRELOAD", default=False)
SILENCED_SYSTEM_CHECKS = ["security.W021"]  # preloading binds a whole domain: the school's decision, not ours
if env.flag("BEHIND_PROXY", default=False):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {"DIRECTIVES": {
    "default-src": [NONE],
    "script-src": [SELF, NONCE],
    "style-src": [SELF, NONCE],
    "img-src": [SELF],
    "font-src": [SELF],
    "connect-src": [SELF],
    "manifest-src": [SELF],
    "form-action": [SELF],
    "frame-ancestors": [NONE],
    "base-uri": [NONE],
}}

# Words, times, files
LANGUAGE_CODE = env.text("LANGUAGE", "en")
LANGUAGES = [("en", "English")]  # one entry for each catalogue in locale/
LOCALE_PATHS = [BASE_DIR / "locale"]
USE_I18N = USE_TZ = True
TIME_ZONE = env.text("TIME_ZONE", "UTC")
STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
WHITENOISE_USE_FINDERS = DEMO or DEBUG  # no collectstatic needed there
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": (
        "django.contrib.staticfiles.storage.StaticFilesStorage" if WHITENOISE_USE_FINDERS
        else "whitenoise.storage.CompressedManifestStaticFilesStorage")},
}
MEDIA_ROOT = VAR_DIR / "files"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"quiet": {"()": "examkit.logs.QuietFormatter",
                             "format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "quiet"}},
    "root": {"handlers": ["console"], "level": env.text("LOG_LEVEL", "INFO")},
    "loggers": {
        "django": {"handlers": ["console"], "level": "INFO", "propagate": False},
        "django.server": {"handlers": ["console"], "level": "INFO", "propagate": False},
        "axes": {"level": "ERROR"},  # its warnings name the account
        "fontTools": {"level": "WARNING"},
        "weasyprint": {"level": "WARNING"},  # else it tells of every page that it sets
    },
}
