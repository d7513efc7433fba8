"""A pool suggested: under the ceiling, told apart, alike in difficulty, in stock; and why each salt is in or out."""

import pytest
from django.urls import reverse

from examkit.knowledge import knowledge
from examkit.models import ShelfItem
from examkit.planning import services
from examkit.planning.rules import Rules
from examkit.planning.selectors.comparison import comparison
from examkit.planning.selectors.expected import told_apart
from examkit.planning.selectors.picture import picture
from examkit.planning.selectors.pool import pool_warnings
from examkit.planning.selectors.suggestion import suggestion
from examkit.planning.suggest import Option, over_ceiling, suggest
from tests.planning import exams

CLASSES = {"swallowed": ["H300", "H301", "H302"], "carcinogenic": ["H350", "H351"]}


# The ceiling

def test_a_code_at_the_ceiling_is_allowed_and_a_worse_one_is_not():
    ceiling = {"swallowed": "H302", "carcinogenic": ""}

    assert over_ceiling(["H302"], CLASSES, ceiling) == ()
    assert over_ceiling(["H301"], CLASSES, ceiling) == (("swallowed", "H301"),)


def test_codes_put_together_and_codes_with_letters_count_by_their_parts():
    ceiling = {"swallowed": "H302", "carcinogenic": ""}

    assert over_ceiling(["H300+H310", "H350i"], CLASSES, ceiling) == (("swallowed", "H300"), ("carcinogenic", "H350"))


def test_every_code_of_a_salt_of_the_base_belongs_to_a_class_or_is_of_the_body_of_the_bottle():
    kb = knowledge()
    known = {code for row in kb.hazard_classes.values() for code in row["codes"]}
    met = {part[:4] if part[0] == "H" else part for salt in kb.salts.values()
           for code in salt.hazards.statements for part in code.split("+")}

    assert met - known == {"H290"}  # corrosive to metals: a matter of keeping, not of handling


# The choice

def option(salt, difficulty=200, marginal=0, cation=None, anion="X"):
    return Option(salt, (cation or salt,), (anion,), difficulty, marginal)


def test_as_many_as_wanted_are_chosen_alike_in_difficulty():
    options = [option(name, difficulty=difficulty) for name, difficulty in
               (("A", 100), ("B", 110), ("C", 120), ("D", 900))]

    assert suggest(options, [], [], 3) == (("A", "B", "C"), True)


def test_what_is_kept_is_in_and_others_are_found_that_go_with_it():
    options = [option("A", 900), option("B"), option("C"), option("D", marginal=3)]

    assert suggest(options, [], [], 2, frozenset("AD"))[0] == ("A", "D")
    assert set(suggest(options, [frozenset("AB")], [], 2, frozenset("A"))[0]) == {"A", "C"}


def test_kept_ones_that_nothing_parts_or_that_are_more_than_wanted_stay_all():
    options = [option("A"), option("B"), option("C")]

    assert suggest(options, [frozenset("AB")], [], 2, frozenset("ABC")) == (("A", "B", "C"), True)


def test_two_that_no_test_tells_apart_are_never_chosen_together():
    chosen, proven = suggest([option("A"), option("B"), option("C")], [frozenset("AB")], [], 3)

    assert len(chosen) == 2 and not {"A", "B"} <= set(chosen) and proven


def test_clear_salts_come_before_marginal_ones_and_variety_before_repetition():
    options = [option("A", marginal=2), option("B"), option("C"), option("D", cation="C")]

    chosen = set(suggest(options, [], [], 2)[0])
    assert "A" not in chosen and not {"C", "D"} <= chosen


@pytest.mark.django_db
def test_the_suggestion_is_under_the_ceiling_and_told_apart(cast):
    exam = exams.planned(cast)

    found = suggestion(exam, 12)

    assert len(found.formulas) == 12 and found.proven
    assert all(pair.first for pair in told_apart(exam, found.formulas))
    statements = {code for one in found.formulas for code in knowledge().salts[one].hazards.statements}
    assert not [code for code in statements if code.startswith(("H35", "H34", "H36", "H301", "H314"))]
    assert all(line.why for line in found.lines)


@pytest.mark.django_db
def test_a_salt_above_the_ceiling_is_out_with_its_class_and_code(cast):
    line = next(one for one in suggestion(exams.planned(cast), 12).lines if one.formula == "Pb(NO3)2")

    assert not line.chosen and any("toxicity for reproduction (H360)" in why for why in line.why)


@pytest.mark.django_db
def test_the_teacher_sets_the_ceiling(cast):
    exam = exams.planned(cast)
    every = {key: row["codes"][0] for key, row in knowledge().hazard_classes.items()}

    services.rules_set(exam=exam, who=cast.teacher, rules=Rules(ceiling=every))
    exam.refresh_from_db()

    assert not [line for line in suggestion(exam, 12).lines if any("ceiling" in why for why in line.why)]


@pytest.mark.django_db
def test_only_what_the_shelf_holds_is_suggested_where_that_is_asked(cast):
    exam = exams.planned(cast)
    ShelfItem.objects.create(centre=cast.centre, substance="ZnCO3", amount=500_000)
    ShelfItem.objects.create(centre=cast.centre, substance="NH4Cl", amount=500_000)
    ShelfItem.objects.create(centre=cast.centre, substance="AlCl3.6H2O", amount=500_000, set_aside="damp")

    found = suggestion(exam, 12, in_stock=True)

    assert set(found.formulas) == {"NH4Cl", "ZnCO3"}
    outside = next(line for line in found.lines if line.formula == "AlCl3.6H2O")
    assert any("the shelf holds 0 samples of 4" in why for why in outside.why)


@pytest.mark.django_db
def test_a_pool_above_the_ceiling_is_warned_of(cast):
    warned = " ".join(pool_warnings(exams.planned(cast)))

    assert "Above the hazard ceiling of this exam" in warned and "Pb(NO₃)₂" in warned


# The picture and the page

@pytest.mark.django_db
def test_the_picture_has_a_square_for_each_pair_and_says_it_in_words(cast):
    drawn = picture(exams.planned(cast), ["KI", "NH4Cl", "BaSO4", "SrSO4"])

    assert len(drawn.squares) == 6 and len(drawn.names) == 4
    barium = next(one for one in drawn.squares if "BaSO₄" in one.told and "SrSO₄" in one.told)
    assert barium.sign == "c" and "colour alone" in barium.told
    assert picture(exams.draft(cast, name="other"), ["KI"]) is None


@pytest.mark.django_db
def test_the_page_suggests_and_its_pool_is_taken(cast, client):
    exam = exams.planned(cast)
    client.force_login(cast.teacher)
    page = client.get(reverse("planning:suggested", args=[exam.pk]), {"number": "8"})
    formulas = page.context["suggested"].formulas
    assert len(formulas) == 8 and b"<svg" in page.content

    client.post(reverse("planning:pool", args=[exam.pk]), {"salt": formulas})

    assert sorted(exam.pool.values_list("formula", flat=True)) == sorted(formulas)


@pytest.mark.django_db
def test_posting_the_ceiling_keeps_it_with_the_exam(cast, client):
    exam = exams.planned(cast)
    client.force_login(cast.teacher)
    sent = {f"ceiling {key}": row["codes"][0] for key, row in knowledge().hazard_classes.items()}

    page = client.post(reverse("planning:suggested", args=[exam.pk]), sent | {"number": "300", "stock": "on"})

    exam.refresh_from_db()
    assert page.url.endswith("?number=40&stock=on")
    assert exam.rules["ceiling"]["carcinogenic"] == "H350"


def test_the_suggestion_keeps_what_is_chosen_and_its_number_is_that_of_the_comparison(cast, client):
    exam = exams.draft(cast)
    services.pool_set(exam=exam, who=cast.teacher, formulas=["Pb(NO3)2", "KI"])
    client.force_login(cast.teacher)
    address = reverse("planning:suggested", args=[exam.pk])
    assert "Keep the 2 salts chosen so far" in client.get(address).content.decode()

    sent = client.post(address, {"number": "5", "keep": "on"})
    assert sent.url.endswith("?number=5&keep=on")
    page = client.get(sent.url)

    found = page.context["suggested"]
    assert len(found.formulas) == 5 and {"Pb(NO3)2", "KI"} <= set(found.formulas)
    assert "chosen before, and kept" in page.content.decode()
    services.pool_set(exam=exam, who=cast.teacher, formulas=found.formulas)
    bits = {row.salt: round(row.difficulty.number, 2) for row in comparison(exam).rows}
    assert {line.formula: round(line.bits_here, 2) for line in found.inside} == bits


def test_what_is_kept_above_the_ceiling_says_so(cast):
    exam = exams.draft(cast)
    over = next(line.formula for line in suggestion(exam, 4).outside if "above the ceiling" in " ".join(line.why))
    services.pool_set(exam=exam, who=cast.teacher, formulas=[over, "KI"])

    line = next(line for line in suggestion(exam, 4, keep=True).inside if line.formula == over)

    assert line.why[0] == "chosen before, and kept" and "above the ceiling" in line.why[1]


def test_the_salts_chosen_stand_on_top_of_the_pool(cast, client):
    exam = exams.draft(cast)
    services.pool_set(exam=exam, who=cast.teacher, formulas=["KI", "NH4Cl"])
    client.force_login(cast.teacher)

    offers = client.get(reverse("planning:pool", args=[exam.pk])).context["offers"]

    assert {offer.formula for offer in offers[:2]} == {"KI", "NH4Cl"} and len(offers) > 50
