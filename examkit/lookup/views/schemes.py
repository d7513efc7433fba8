"""The pages of a scheme and of a specimen: the order of work, and the way of a specimen through it."""

from django.contrib import messages
from django.shortcuts import render

from examkit.access import signed_in
from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.observe import cited
from examkit.knowledge import knowledge
from examkit.lookup import selectors
from examkit.lookup.course import picture
from examkit.lookup.views.common import known_or_404, scheme_of, specimen_of


@signed_in
def scheme(request, key):
    """A scheme: its tests in order, its groups, and the way of a chosen specimen through it."""
    kb = knowledge(request.centre)
    this = known_or_404(kb.schemes, key)
    chosen, specimen = _specimen(request, kb, this)
    return render(
        request,
        "examkit/lookup/scheme.html",
        {
            "kb": kb,
            "scheme": this,
            "schemes": kb.schemes.values(),
            "chosen": chosen,
            "specimen": specimen,
            "picture": specimen and picture(kb, this, specimen),
            "stages": [(stage, kb.tests[stage.test]) for stage in this.stages],
            "salts": selectors.salts_of(kb, this),
            "sources": [cited(kb, cite) for cite in this.sources],
        },
    )


@signed_in
def specimen(request):
    """The record that is expected of a salt or a mixture: `?salts=A+B`."""
    kb = knowledge(request.centre)
    scheme = scheme_of(request, kb)
    chosen, found = _specimen(request, kb, scheme)
    return render(
        request,
        "examkit/lookup/specimen.html",
        {
            "kb": kb,
            "scheme": scheme,
            "schemes": kb.schemes.values(),
            "chosen": chosen,
            "specimen": found,
            "lines": found and selectors.record_lines(kb, scheme, found),
            "salts": selectors.salts_of(kb, scheme),
        },
    )


def _specimen(request, kb, scheme):
    """What the address asks for, and the specimen it names; an unknown one is said in a message."""
    text = request.GET.get("salts", "").strip()
    if not text:
        return "", None
    try:
        found = specimen_of(kb, text, scheme.grams)
    except UnknownSubject as unknown:
        messages.warning(request, str(unknown))
        return text, None
    return " + ".join(salt.formula for salt in found.salts), found
