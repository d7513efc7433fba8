"""Ticks, shelf and sign-off: what is written, and what is refused."""

from decimal import Decimal

import pytest

from examkit.audit import verify
from examkit.errors import ChangedMeanwhile, ExamkitError, Refused
from examkit.models import AuditEntry, Preparation, ShelfItem, State
from examkit.planning.selectors import still_missing
from examkit.stockroom import services
from examkit.stockroom.conditions import before_prepared
from examkit.stockroom.errors import StockError, UnknownSubstance
from examkit.stockroom.selectors import items_of, stock_list
from examkit.stockroom.signing import sign_off
from examkit.stockroom.sums import seating
from tests.stockroom.drawn import drawn_exam
from tests.stockroom.tried import all_tried

pytestmark = pytest.mark.django_db
NICKEL = "salt:NiCl2.6H2O"


def tick_all(exam, who):
    for row in stock_list(exam).ticks:
        Preparation.objects.create(exam=exam, item=row.item, done=True, by=who)
    all_tried(exam, who)


def test_a_tick_says_who_and_when_and_stands_in_the_trail(exam, assistant):
    row = services.tick(exam=exam, who=assistant, item=NICKEL, done=True, version=0)

    assert (row.done, row.by, row.version) == (True, "Lino Reed", 1)
    assert row.at is not None
    entry = AuditEntry.objects.get(what="stock line done")
    assert (entry.who, entry.about) == ("assistant", f"{exam}: {NICKEL}")
    assert verify(exam.centre) == []


def test_a_tick_can_be_taken_back(exam, assistant):
    services.tick(exam=exam, who=assistant, item=NICKEL, done=True, version=0)
    with pytest.raises(Refused, match="reason in words"):
        services.tick(exam=exam, who=assistant, item=NICKEL, done=False, version=1)
    row = services.tick(exam=exam, who=assistant, item=NICKEL, done=False, why="two tubes broke", version=1)

    assert not row.done
    assert AuditEntry.objects.get(what="stock line opened").detail["why"] == "two tubes broke"


def test_a_stale_page_is_told_what_stands_there_now(exam, assistant, teacher):
    services.tick(exam=exam, who=teacher, item=NICKEL, done=True, version=0)

    with pytest.raises(ChangedMeanwhile, match="Tilda Marsh set this to 'done'") as stale:
        services.tick(exam=exam, who=assistant, item=NICKEL, done=True, version=0)

    assert stale.value.theirs.done
    assert Preparation.objects.get().by == teacher


def test_a_line_that_is_not_on_the_list_is_refused(exam, assistant):
    with pytest.raises(Refused, match="not on the list"):
        services.tick(exam=exam, who=assistant, item="salt:NaCl", done=True, version=0)

    assert not Preparation.objects.exists()


def test_nothing_can_be_ticked_before_the_draw_or_after_the_sign_off(exam, assistant):
    for state, words in ((State.DRAFT, "not drawn yet"), (State.PREPARED, "has signed off")):
        exam.state = state
        with pytest.raises(Refused, match=words):
            services.tick(exam=exam, who=assistant, item=NICKEL, done=True, version=0)


def test_sign_off_moves_the_exam_on(exam, assistant):
    tick_all(exam, assistant)
    sign_off(exam=exam, who=assistant)
    exam.refresh_from_db()

    assert exam.state == State.PREPARED
    assert stock_list(exam).signed_off.by == "Lino Reed"
    assert AuditEntry.objects.filter(what="stock room signed off").exists()


def test_sign_off_waits_for_every_line_the_trial_of_each_bottle_too(exam, assistant):
    tick_all(exam, assistant)
    Preparation.objects.filter(item="bottle:sodium-hydroxide-2M").update(done=False)

    with pytest.raises(Refused, match="1 line of the stock room's list is not done"):
        sign_off(exam=exam, who=assistant)
    exam.refresh_from_db()
    assert exam.state == State.DRAWN


def test_planning_hears_what_the_stock_room_is_waiting_for(exam):
    assert "lines of the stock room's list are not done" in before_prepared(exam)[0]
    assert before_prepared(exam)[0] in still_missing(exam)


def test_a_bottle_is_added_in_grams_or_millilitres_and_stored_in_whole_milligrams(centre, assistant):
    salt = services.shelf_add(centre=centre, who=assistant, substance="nickel chloride", amount=Decimal("25.5"))
    acid = services.shelf_add(centre=centre, who=assistant, substance="hydrochloric-acid-concentrated",
                              amount=Decimal("500"), strength_mol_L=Decimal("11.6"))

    assert (salt.substance, salt.amount) == ("NiCl2.6H2O", 25_500)
    assert (acid.amount, acid.strength_mmol_L) == (500_000, 11_600)
    assert AuditEntry.objects.filter(what="bottle added").count() == 2


def test_what_the_knowledge_base_does_not_know_is_refused(centre, assistant):
    with pytest.raises(UnknownSubstance, match="Choose from the list"):
        services.shelf_add(centre=centre, who=assistant, substance="unobtainium", amount=1)


@pytest.mark.parametrize(("amount", "strength"), [(0, None), (-1, None), (1, Decimal(0)), (1, Decimal(-2))])
def test_a_bottle_of_nothing_is_refused(centre, assistant, amount, strength):
    with pytest.raises(StockError):
        services.shelf_add(centre=centre, who=assistant, substance="KBr", amount=amount, strength_mol_L=strength)


@pytest.fixture
def jar(centre, assistant):
    """50 g of potassium bromide."""
    return services.shelf_add(centre=centre, who=assistant, substance="KBr", amount=50)


def test_taking_out_leaves_the_rest(jar, assistant):
    services.shelf_use(item=jar, who=assistant, amount=Decimal("7.5"), was=50_000)

    jar.refresh_from_db()
    assert jar.amount == 42_500
    assert AuditEntry.objects.filter(what="bottle used").get().detail["taken"] == 7_500


def test_a_bottle_used_up_goes_from_the_shelf(jar, assistant):
    services.shelf_use(item=jar, who=assistant, amount=50, was=50_000)

    assert not ShelfItem.objects.exists()


def test_no_more_can_be_taken_than_there_is(jar, assistant):
    with pytest.raises(StockError, match="only 50"):
        services.shelf_use(item=jar, who=assistant, amount=51, was=50_000)


def test_two_who_take_from_one_bottle_do_not_lose_each_others_entry(jar, assistant, teacher):
    services.shelf_use(item=jar, who=teacher, amount=10, was=50_000)

    with pytest.raises(ChangedMeanwhile, match="40"):
        services.shelf_use(item=jar, who=assistant, amount=10, was=50_000)


def test_a_bottle_that_is_gone_cannot_be_changed(jar, assistant):
    services.shelf_remove(item=ShelfItem.objects.get(), who=assistant, why="broken")

    with pytest.raises(ChangedMeanwhile, match="taken from the shelf"):
        services.shelf_change(item=jar, who=assistant, amount=1, was=50_000)


def test_the_list_uses_the_shelf_and_orders_the_rest(exam, jar, centre, assistant):
    services.shelf_add(centre=centre, who=assistant, substance="NiCl2.6H2O", amount=100)
    rows = {row.need.salt: row for row in stock_list(exam).salts}

    assert "From the shelf: 3" in rows["NiCl2.6H2O"].source[0]
    assert "order 3" in rows["CuSO4.5H2O"].source[0]


def test_another_schools_shelf_is_not_used(exam, cast, assistant):
    services.shelf_add(centre=cast.elsewhere, who=assistant, substance="NiCl2.6H2O", amount=100)

    assert "order" in {row.need.salt: row for row in stock_list(exam).salts}["NiCl2.6H2O"].source[0]


def test_two_sittings_use_a_bench_twice(centre):
    exam = drawn_exam(centre, candidates=23, name="Two sittings")

    assert (seating(exam).candidates, seating(exam).places, seating(exam).visits) == (23, 20, 2)


def test_the_lines_that_may_be_ticked_are_those_of_the_list(exam):
    assert items_of(exam) == {row.item for row in stock_list(exam).ticks}


def test_the_list_knows_no_candidate(exam):
    text = repr(stock_list(exam))

    assert all(c.name not in text and c.number not in text for c in exam.candidates.all())


def test_nothing_is_listed_before_the_draw(centre):
    exam = drawn_exam(centre, candidates=0, state=State.DRAFT)

    assert stock_list(exam) is None
    with pytest.raises(ExamkitError):
        sign_off(exam=exam, who="anyone")
