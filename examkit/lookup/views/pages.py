"""The pages of salts, ions, tests and reagents, and the search."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from examkit.access import signed_in
from examkit.chemistry.observe import cited
from examkit.chemistry.specimen import Part, Specimen
from examkit.knowledge import knowledge
from examkit.lookup import selectors
from examkit.lookup.outcomes import possible
from examkit.lookup.views.common import known_or_404, scheme_of


@signed_in
def index(request):
    """Everything there is, and the search."""
    kb = knowledge(request.centre)
    scheme = scheme_of(request, kb)
    wanted = request.GET.get("q", "")
    found = wanted and selectors.find(kb, wanted)
    if found:
        return redirect(f"lookup:{found[0]}", found[1])
    if wanted:
        messages.warning(
            request, _("Nothing is called “%(text)s”. The lists below hold all names.") % {"text": wanted}
        )
    return render(
        request,
        "examkit/lookup/index.html",
        {
            "kb": kb,
            "scheme": scheme,
            "schemes": kb.schemes.values(),
            "salts": selectors.salts_of(kb, scheme),
            "cations": [kb.ions[ion] for ion in scheme.cations],
            "anions": [kb.ions[ion] for ion in scheme.anions],
            "tests": [kb.tests[stage.test] for stage in scheme.stages],
            "reagents": selectors.reagents_of(kb, scheme),
        },
    )


@signed_in
def salt(request, formula):
    """A salt, and the record that is expected of it."""
    kb = knowledge(request.centre)
    scheme, this = scheme_of(request, kb), known_or_404(kb.salts, formula)
    sources = [cited(kb, cite) for cite in (*this.sources, *this.hazard_sources)]
    return render(
        request,
        "examkit/lookup/salt.html",
        {
            "kb": kb,
            "scheme": scheme,
            "schemes": kb.schemes.values(),
            "salt": this,
            "lines": selectors.record_lines(kb, scheme, Specimen((Part(this, scheme.grams),))),
            "sources": dict.fromkeys(sources),
            "statements": selectors.statements(kb, this.hazards),
        },
    )


@signed_in
def ion(request, formula):
    """An ion, what it shows at each test, and the salts that hold it."""
    kb = knowledge(request.centre)
    scheme, this = scheme_of(request, kb), known_or_404(kb.ions, formula)
    return render(
        request,
        "examkit/lookup/ion.html",
        {
            "scheme": scheme,
            "ion": this,
            "rows": selectors.ion_rows(kb, scheme, this),
            "salts": selectors.salts_with(kb, this),
            "group": selectors.groups_of(scheme, this),
        },
    )


@signed_in
def test(request, key):
    """A test: how it is done, what may be seen, and what each ion of the syllabus shows."""
    kb = knowledge(request.centre)
    scheme, this = scheme_of(request, kb), known_or_404(kb.tests, key)
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
            "possible": possible(kb, scheme, this),
            "reagents": selectors.needed(kb, scheme, this),
            "ways": selectors.ways(kb, scheme, this),
            "own_way": selectors.own_way(scheme, this),
            "sources": [cited(kb, cite) for cite in this.sources],
        },
    )


@signed_in
def reagent(request, key):
    """A reagent: strength, make-up, hazards, how long it keeps, and the tests that use it."""
    kb = knowledge(request.centre)
    this = known_or_404(kb.reagents, key)
    return render(
        request,
        "examkit/lookup/reagent.html",
        {
            "reagent": this,
            "ingredients": selectors.ingredients(kb, this),
            "statements": selectors.statements(kb, this.hazards),
            "tests": list(selectors.tests_with(kb, this)),
            "sources": [cited(kb, cite) for cite in this.sources],
        },
    )
