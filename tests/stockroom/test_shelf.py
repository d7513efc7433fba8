"""What comes from the shelf, what is made up, what is ordered."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from examkit.knowledge import knowledge
from examkit.stockroom.amounts import Amount
from examkit.stockroom.shelf import Bottle, one_name, stock_lines


def mL(value):
    return Amount(Decimal(value), "mL")


def g(value):
    return Amount(Decimal(value), "g")


def bottle(pk, substance, amount, strength=None, made_on=None):
    return Bottle(pk, substance, amount, strength and Decimal(strength), made_on)


def lines(needs, *bottles):
    return {line.substance: line for line in stock_lines(knowledge(), needs, bottles)}


def test_a_bottle_of_the_right_strength_is_used_first():
    line = lines({"silver-nitrate": mL(20)}, bottle(1, "silver-nitrate", mL(100), "0.1"))["silver-nitrate"]

    assert [(t.bottle.pk, t.amount) for t in line.ready] == [(1, mL(20))]
    assert not line.made and not line.order


def test_the_oldest_bottle_is_used_up_before_the_next():
    line = lines({"silver-nitrate": mL(20)}, bottle(1, "silver-nitrate", mL(100), None, "2027-02-01"),
                 bottle(2, "silver-nitrate", mL(15), None, "2026-11-01"))["silver-nitrate"]

    assert [(t.bottle.pk, t.amount.value) for t in line.ready] == [(2, 15), (1, 5)]


def test_a_stronger_bottle_is_diluted():
    line = lines({"sodium-hydroxide-2M": mL(90)}, bottle(1, "sodium-hydroxide-2M", mL(500), "6"))
    diluted, = line["sodium-hydroxide-2M"].diluted

    assert (diluted.taken.amount, diluted.recipe.makes) == (mL(33), mL(100))  # V1 = 2 x 100 / 6


def test_a_weaker_bottle_is_not_used_and_said_to_be_too_weak():
    line = lines({"silver-nitrate": mL(20)}, bottle(1, "silver-nitrate", mL(500), "0.05"))["silver-nitrate"]

    assert not line.ready and not line.diluted
    assert [b.pk for b in line.too_weak] == [1]
    assert line.made.makes == mL(25)


def test_a_strength_within_five_per_cent_is_right():
    line = lines({"hydrochloric-acid-concentrated": mL(50)},
                 bottle(1, "hydrochloric-acid-concentrated", mL(500), "12"))

    assert line["hydrochloric-acid-concentrated"].ready


def test_a_dilution_comes_from_the_bottle_of_the_stock_with_its_own_strength():
    found = lines({"hydrochloric-acid-dilute": mL(240)},
                  bottle(1, "hydrochloric-acid-concentrated", mL(500), "10"))["hydrochloric-acid-dilute"]

    assert found.diluted[0].taken.amount == mL(100)  # 4 x 250 / 10
    assert not found.order


def test_what_a_bottle_cannot_give_is_made_up_and_its_stock_ordered():
    found = lines({"hydrochloric-acid-dilute": mL(500)},
                  bottle(1, "hydrochloric-acid-concentrated", mL(58), "11.6"))

    assert found["hydrochloric-acid-dilute"].diluted[0].recipe.makes == mL(168)
    assert found["hydrochloric-acid-dilute"].made.makes == mL(500)
    assert found["hydrochloric-acid-concentrated"].order.value > 0


def test_what_recipes_take_is_needed_too_and_ordered_where_it_is_missing():
    found = lines({"dimethylglyoxime": mL(20), "ethanol": mL(40)})

    assert found["ethanol"].need == mL(65)
    assert found["ethanol"].order == mL(65)
    assert found["dimethylglyoxime"].order == mL(0)


def test_a_salt_for_the_tubes_and_the_same_salt_for_a_reagent_are_one_jar():
    assert one_name(knowledge(), "NH4Cl") == "ammonium-chloride"
    found = lines({"NH4Cl": g("7.5"), "ammonium-chloride": g("14.4")}, bottle(1, "NH4Cl", g(20)))

    assert found["ammonium-chloride"].need == g("21.9")
    assert found["ammonium-chloride"].order == g("1.90")


def test_everything_that_is_missing_is_ordered_from_an_empty_shelf():
    assert lines({"KBr": g(6)})["KBr"].order == g("6.00")


@given(st.integers(1, 3000), st.lists(st.tuples(st.integers(1, 2000), st.sampled_from(["2", "6", "1", None])),
                                      max_size=5))
def test_never_more_than_a_bottle_holds_and_always_enough(need_mL, stock):
    bottles = [bottle(n, "sodium-hydroxide-2M", mL(volume), c) for n, (volume, c) in enumerate(stock)]
    line = lines({"sodium-hydroxide-2M": mL(need_mL)}, *bottles)["sodium-hydroxide-2M"]
    taken = {}
    for part in (*line.ready, *(d.taken for d in line.diluted)):
        taken[part.bottle.pk] = taken.get(part.bottle.pk, 0) + part.amount.value
    got = sum(t.amount.value for t in line.ready) + sum(d.recipe.makes.value for d in line.diluted)
    made = line.made.makes.value if line.made else 0

    assert all(taken[pk] <= bottles[pk].amount.value for pk in taken)
    assert got + made + line.order.value >= need_mL
