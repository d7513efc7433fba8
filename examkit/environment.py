"""What the environment says: EXAMKIT_ variables with safe defaults, and the secret key's file."""

import os
import secrets
from contextlib import suppress
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

TRUE, FALSE = {"1", "true", "yes", "on"}, {"0", "false", "no", "off", ""}


def text(name, default=""):
    """The variable EXAMKIT_<name>, or the default where it is not set."""
    return os.environ.get(f"EXAMKIT_{name}", default)


def words(name, default=""):
    """A list written with commas."""
    return [word.strip() for word in text(name, default).split(",") if word.strip()]


def flag(name, default):
    """A yes or no; anything else is told, never guessed."""
    value = text(name, "1" if default else "0").strip().lower()
    if value not in TRUE | FALSE:
        raise ImproperlyConfigured(f"EXAMKIT_{name} is {value!r}. Write 1 or 0.")
    return value in TRUE


def secret_key(folder):
    """EXAMKIT_SECRET_KEY, else a random key that is made once and kept in a private file of `folder`."""
    return text("SECRET_KEY") or _kept_key(Path(folder) / "secret-key")


def _kept_key(file):
    try:
        if not file.exists():
            _make_key(file)
        return file.read_text()
    except OSError as problem:
        message = f"No secret key: {file} cannot be written ({problem.strerror}). Set EXAMKIT_SECRET_KEY."
        raise ImproperlyConfigured(message) from problem


def _make_key(file):
    """Write a whole new key under a name of its own, then link it: two processes never see half a key."""
    file.parent.mkdir(parents=True, exist_ok=True)
    draft = file.with_name(f"{file.name}.{secrets.token_hex(8)}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with open(handle, "w") as stream:
        stream.write(secrets.token_urlsafe(64))
    with suppress(FileExistsError):  # another process was first: then its key counts
        os.link(draft, file)
    draft.unlink()
