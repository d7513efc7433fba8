"""Pages that look things up in the knowledge base; nothing of any exam stands on them."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from examkit.access import signed_in
from examkit.chemistry.expect import expect
from examkit.chemistry.observe import cited
from examkit.chemistry.specimen import Part, Specimen
from examkit.knowledge import knowledge
from examkit.lookup import selectors

DEFAULT_SCHEME = "semimicro"


def _scheme(request, kb):
    key = request.GET.get("scheme", DEFAULT_SCHEME)
    if key not in kb.schemes:
        raise Http404(_("There is no such scheme of analysis."))
    return kb.schemes[key]


def _or_404(known, key):
    if key not in known:
        raise Http404(_("The knowledge base does not know %(key)s.") % {"key": key})
    return known[key]


@signed_in
def index(request):
    """Everything there is, and the search."""
    kb = knowledge()
    scheme = _scheme(request, kb)
    wanted = request.GET.get("q", "")
    if wanted:
        found = selectors.find(kb, wanted)
        if found:
            return redirect(f"lookup:{found[0]}", found[1])
        messages.warning(
            request, _("Nothing is called “%(text)s”. The lists below hold all names.") % {"text": wanted}
        )
    return render(
        request,
        "examkit/lookup/index.html",
        {
            "kb": kb,
            "scheme": scheme,
            "salts": selectors.salts_of(kb, scheme),
            "cations": [kb.ions[ion] for ion in scheme.cations],
            "anions": [kb.ions[ion] for ion in scheme.anions],
            "tests": [kb.tests[stage.test] for stage in scheme.stages],
        },
    )


@signed_in
def salt(request, formula):
    """A salt, and the record that is expected of it."""
    kb = knowledge()
    scheme, this = _scheme(request, kb), _or_404(kb.salts, formula)
    record = expect(kb, Specimen((Part(this, scheme.grams),)), scheme.key)
    sources = [cited(kb, cite) for cite in (*this.sources, *this.hazard_sources)]
    return render(
        request,
        "examkit/lookup/salt.html",
        {
            "kb": kb,
            "scheme": scheme,
            "salt": this,
            "record": record,
            "sources": dict.fromkeys(sources),
            "statements": [(code, kb.statements.get(code, "")) for code in this.hazards.statements],
        },
    )


@signed_in
def ion(request, formula):
    """An ion, what it shows at each test, and the salts that hold it."""
    kb = knowledge()
    scheme, this = _scheme(request, kb), _or_404(kb.ions, formula)
    return render(
        request,
        "examkit/lookup/ion.html",
        {
            "scheme": scheme,
            "ion": this,
            "rows": selectors.ion_rows(kb, scheme, this),
            "salts": selectors.salts_with(kb, this),
        },
    )


@signed_in
def test(request, key):
    """A test: how it is done, and what each ion of the syllabus shows."""
    kb = knowledge()
    scheme, this = _scheme(request, kb), _or_404(kb.tests, key)
    positive, silent = selectors.test_rows(kb, scheme, this)
    return render(
        request,
        "examkit/lookup/test.html",
        {
            "kb": kb,
            "scheme": scheme,
            "test": this,
            "positive": positive,
            "silent": silent,
            "reagents": [(use, kb.reagents[use["reagent"]]) for use in this.reagents],
            "sources": [cited(kb, cite) for cite in this.sources],
        },
    )
