"""The production settings, with what a test machine cannot have taken out."""

import os

os.environ.setdefault("EXAMKIT_SECRET_KEY", "for-the-tests-only-" + "0123456789abcdef" * 4)

from examkit.settings import *  # noqa: E402, F403
from examkit.settings import DATABASES, VAR_DIR

HTTPS = SECURE_SSL_REDIRECT = SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = False
SECURE_HSTS_SECONDS = 0
ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # fast; nothing here is secret
WHITENOISE_USE_FINDERS = WHITENOISE_AUTOREFRESH = True
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
if "sqlite3" in DATABASES["default"]["ENGINE"]:
    # a file, since an in-memory database is not journalled the way the real one is
    VAR_DIR.mkdir(parents=True, exist_ok=True)
    DATABASES["default"]["TEST"] = {"NAME": str(VAR_DIR / f"test-{os.getpid()}.sqlite3")}
