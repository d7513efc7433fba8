"""What the look-up pages share: the scheme of the address, and what is not there."""

from django.http import Http404
from django.utils.translation import gettext as _

from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import USUAL_SCHEME

MOST_SALTS = 4  # as many as a mixture in an exam may have


def scheme_of(request, kb):
    """The scheme that `?scheme=` names, or the usual one."""
    return known_or_404(kb.schemes, request.GET.get("scheme") or USUAL_SCHEME)


def known_or_404(known, key):
    """What the knowledge base holds under this key."""
    if key not in known:
        raise Http404(_("The knowledge base does not know %(key)s.") % {"key": key})
    return known[key]


def specimen_of(kb, text, grams):
    """The specimen that an address names, `A+B` with or without spaces; a plus may have become a space.

    Raises UnknownSubject, which proposes near names.
    """
    names = [name.strip() for name in text.replace(" + ", "+").split("+") if name.strip()]
    try:
        return read_specimen(kb, " + ".join(names[:MOST_SALTS]), grams)
    except UnknownSubject:
        words = text.replace("+", " ").split()[:MOST_SALTS]
        if not all(word in kb.salts for word in words):
            raise
        return read_specimen(kb, " + ".join(words), grams)
