"""The page that identifies: a record line by line, the salts that fit it, and what ruled out the others."""

from django.contrib import messages
from django.shortcuts import render

from examkit.access import signed_in
from examkit.chemistry.errors import UnknownSubject
from examkit.knowledge import knowledge
from examkit.lookup import identification as record
from examkit.lookup import selectors
from examkit.lookup.views.common import scheme_of, specimen_of


@signed_in
def identification(request):
    """`?like=A` begins with the record of a salt; else the answers stand in the address."""
    kb = knowledge(request.centre)
    scheme = scheme_of(request, kb)
    answers = _answers(request, kb, scheme)
    fitting, ruled_out = record.verdicts(kb, scheme, answers) if answers else ((), ())
    return render(
        request,
        "examkit/lookup/identification.html",
        {
            "scheme": scheme,
            "schemes": kb.schemes.values(),
            "answers": answers,
            "tests": list(record.questions(kb, scheme, answers)),
            "fitting": fitting,
            "ruled_out": ruled_out,
            "salts": selectors.salts_of(kb, scheme),
            "like": request.GET.get("like", ""),
        },
    )


def _answers(request, kb, scheme):
    """The answers of the address that the scheme knows, or those that a salt's own record gives."""
    like = request.GET.get("like", "").strip()
    if like:
        try:
            return record.record_of(kb, scheme, specimen_of(kb, like, scheme.grams))
        except UnknownSubject as unknown:
            messages.warning(request, str(unknown))
            return {}
    return {name: value for name, value in request.GET.items() if value and "." in name}
