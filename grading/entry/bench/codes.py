"""One-time codes: made by chance, readable aloud, kept only as a digest that needs the server's key."""

import secrets

from django.utils.crypto import constant_time_compare, salted_hmac
from django.utils.translation import gettext as _

from examkit.planning.codes import LETTERS, check_character
from grading.errors import GradingError

BY_CHANCE = 9  # 19^9, 38 bits; guessing is stopped after a few tries, and a code ends with its sitting
LENGTH = BY_CHANCE + 1  # and a check character, so that a slip is no wrong try
SALT, SLOT = "grading.entry.bench.code", "grading.entry.bench.slot"


class NoSuchCode(GradingError):
    """What was typed lets nobody in."""


def new_code():
    """A one-time code without its spaces."""
    body = "".join(secrets.choice(LETTERS) for _place in range(BY_CHANCE))
    return body + check_character(body)


def spaced_code(code):
    """The code as printed: "K7H4P XC93M"."""
    return f"{code[:5]} {code[5:]}"


def read_one_time(text):
    """The code that somebody typed, whatever its case and spaces; NoSuchCode names a slip."""
    code = "".join(text.upper().split()).replace("-", "")
    if len(code) != LENGTH or set(code) - set(LETTERS) or check_character(code[:-1]) != code[-1]:
        raise NoSuchCode(_("The one-time code holds a slip: it has ten characters, as printed. Compare it "
                           "again."))
    return code


def digest(sample, code):
    """What is kept of a code: worthless without the server's key, and for another sample."""
    return salted_hmac(SALT, f"{sample.pk}:{code}", algorithm="sha256").hexdigest()


def matches(row, code):
    """Whether a kept code is this one, in a time that tells nothing."""
    return constant_time_compare(row.digest, digest(row.sample, code))


def slot(sample):
    """A name for the sample under which its browser keeps words: the same at each sign-in, and silent."""
    return salted_hmac(SLOT, str(sample.pk), algorithm="sha256").hexdigest()[:20]
