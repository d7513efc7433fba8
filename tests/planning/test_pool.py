"""The pool: what may be chosen, what is refused, and the warnings beside it."""

import pytest

from examkit.errors import Refused
from examkit.knowledge import knowledge
from examkit.models import AuditEntry, Candidate
from examkit.planning import services
from examkit.planning.selectors import offered, pool_warnings
from tests.planning import exams

pytestmark = pytest.mark.django_db


def choose(cast, exam, *formulas):
    return services.pool_set(exam=exam, who=cast.teacher, formulas=formulas)


def test_only_salts_of_the_schemes_syllabus_are_offered(cast):
    exam = exams.draft(cast)
    scheme = knowledge().schemes[exam.scheme]

    offers = offered(exam)

    assert len(offers) >= 70
    for offer in offers:
        salt = knowledge().salts[offer.formula]
        assert {*salt.cations, *salt.anions} <= {*scheme.cations, *scheme.anions}


def test_an_offer_has_what_the_page_shows(cast):
    nickel = next(offer for offer in offered(exams.draft(cast)) if offer.formula == "NiCl2.6H2O")

    assert (nickel.shown, nickel.cations, nickel.anions) == ("NiCl₂·6H₂O", ("Ni²⁺",), ("Cl⁻",))
    assert nickel.swatch.startswith("#") and nickel.statements and nickel.dissolves_in


def test_the_pool_is_replaced_and_the_trail_tells_the_difference(cast):
    exam = exams.draft(cast)
    choose(cast, exam, "KI", "NH4Cl")

    choose(cast, exam, "KI", "NaNO2", "CaCO3")

    assert sorted(exam.pool.values_list("formula", flat=True)) == ["CaCO3", "KI", "NaNO2"]
    assert AuditEntry.objects.last().detail == {"exam": exam.pk, "added": ["CaCO3", "NaNO2"], "removed": ["NH4Cl"]}


@pytest.mark.parametrize("formulas", [(), ("KI",), ("KI", "KI")])
def test_too_small_a_pool_is_refused(cast, formulas):
    with pytest.raises(Refused, match="a pool has at least 2 salts"):
        choose(cast, exams.draft(cast), *formulas)


def test_a_salt_that_the_scheme_does_not_cover_is_refused_by_name(cast):
    with pytest.raises(Refused, match="does not cover XyZ"):
        choose(cast, exams.draft(cast), "KI", "NH4Cl", "XyZ")


def test_a_good_pool_has_no_warning(cast):
    exam = exams.planned(cast)
    exam.rules = {"ceiling": {key: row["codes"][0] for key, row in knowledge().hazard_classes.items()}}

    assert pool_warnings(exam) == []


def test_salts_that_look_alike_in_every_test_are_warned_of(cast):
    warnings = pool_warnings(exams.planned(cast, salts=[*exams.SALTS, "NiSO4.6H2O", "NiSO4.7H2O"]))

    assert any("does not tell NiSO₄·6H₂O from NiSO₄·7H₂O" in warning for warning in warnings)


def test_too_few_cations_for_a_full_room_are_warned_of_with_the_way_out(cast):
    warnings = pool_warnings(exams.planned(cast, salts=["NiCl2.6H2O", "NiSO4.6H2O", "KI", "NH4Cl"]))

    assert any("The pool has 3 cations, but A1, A2, B1, B2" in warning and "Add a salt with another cation" in warning
               for warning in warnings)


def test_a_cation_that_fills_more_than_a_quarter_of_the_pool_is_warned_of(cast):
    salts = ["NiCl2.6H2O", "NiSO4.6H2O", "NiCO3", "KI", "NH4Cl", "NaNO2"]
    known = [salt for salt in salts if salt in knowledge().salts]

    warnings = pool_warnings(exams.planned(cast, salts=known))

    assert any("More than a quarter of the pool has the cation Ni²⁺" in warning for warning in warnings)


def test_salts_told_apart_by_colour_alone_are_warned_of_where_somebody_needs_help(cast):
    exam = exams.planned(cast, salts=[*exams.SALTS, "BaSO4", "SrSO4"])
    assert not [warning for warning in pool_warnings(exam) if "colour alone" in warning]
    Candidate.objects.filter(number="007").update(needs_colour_help=True)

    warnings = pool_warnings(exam)

    assert any("colour alone: BaSO₄, SrSO₄" in warning and "(007)" in warning for warning in warnings)
