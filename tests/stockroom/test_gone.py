"""Bottles that went from the shelf come back as they stood, once, with a reason."""

from datetime import date

import pytest
from django.urls import reverse

from examkit.audit import verify
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import AuditEntry, ShelfItem
from examkit.stockroom.gone import bring_back, gone_bottles, notes_of, set_back
from examkit.stockroom.services import shelf_add, shelf_change, shelf_remove, shelf_use
from examkit.stockroom.trials.services import set_aside, trial_open
from tests.stockroom.tried import bottle

pytestmark = pytest.mark.django_db
STOOD = ("substance", "amount", "strength_mmol_L", "made_on", "lot", "grade", "note", "set_aside",
         "percent_w_w_hundredths", "density_mg_mL")


def stood(item):
    return [getattr(item, name) for name in STOOD]


@pytest.fixture
def acid(centre, assistant):
    """A bought acid, set aside, with everything on its label."""
    item = shelf_add(centre=centre, who=assistant, substance="hydrochloric-acid-concentrated", amount=500,
                     percent_w_w="36.5", density_g_mL="1.18", lot="L 9", grade="pure", note="left shelf",
                     made_on=date(2026, 3, 1))
    return ShelfItem.objects.get(pk=set_aside(item=item, who=assistant, why="it has turned yellow").pk)


def test_a_discarded_bottle_comes_back_as_it_stood(acid, centre, assistant):
    before = stood(acid)
    shelf_remove(item=acid, who=assistant, why="taken for empty")
    (row,) = gone_bottles(centre)
    bring_back(centre=centre, who=assistant, number=row.entry.sequence, why="it is not empty")

    assert stood(ShelfItem.objects.get()) == before
    assert gone_bottles(centre) == []
    assert AuditEntry.objects.last().detail["why"] == "it is not empty"
    assert verify(centre) == []


def test_a_bottle_that_was_used_up_comes_back_with_what_was_taken_last(centre, assistant):
    jar = shelf_add(centre=centre, who=assistant, substance="KBr", amount=50)
    shelf_use(item=jar, who=assistant, amount=30, was=50_000)
    shelf_use(item=ShelfItem.objects.get(), who=assistant, amount=20, was=20_000)
    (row,) = gone_bottles(centre)
    bring_back(centre=centre, who=assistant, number=row.entry.sequence, why="noted at the wrong jar")

    assert row.used_up
    assert ShelfItem.objects.get().amount == 20_000


def test_the_trials_of_a_bottle_come_back_with_it(exam, assistant):
    salt = exam.samples.exclude(salt__contains=" + ").first().salt
    jar = bottle(exam, assistant, salt)
    trial = trial_open(exam=exam, who=assistant, salt=salt, bottle=jar)
    shelf_remove(item=jar, who=assistant, why="taken for empty")
    number = gone_bottles(exam.centre)[0].entry.sequence
    item = bring_back(centre=exam.centre, who=assistant, number=number, why="it is not empty")
    trial.refresh_from_db()

    assert trial.bottle == item


def test_a_bottle_comes_back_once(acid, centre, assistant):
    shelf_remove(item=acid, who=assistant, why="taken for empty")
    number = gone_bottles(centre)[0].entry.sequence
    bring_back(centre=centre, who=assistant, number=number, why="it is not empty")

    with pytest.raises(ChangedMeanwhile, match="already"):
        bring_back(centre=centre, who=assistant, number=number, why="it is not empty")
    assert ShelfItem.objects.count() == 1


def test_neither_discarding_nor_bringing_back_goes_without_a_reason(acid, centre, assistant):
    with pytest.raises(Refused, match="reason"):
        shelf_remove(item=acid, who=assistant, why=" ")
    shelf_remove(item=acid, who=assistant, why="taken for empty")
    with pytest.raises(Refused, match="reason"):
        bring_back(centre=centre, who=assistant, number=gone_bottles(centre)[0].entry.sequence, why="")


def test_an_entry_that_took_nothing_away_brings_nothing_back(acid, centre, assistant):
    with pytest.raises(Refused, match="Nothing with the number 1"):
        bring_back(centre=centre, who=assistant, number=1, why="it is not empty")


def test_what_was_taken_out_or_corrected_is_set_back_in_turn(acid, centre, assistant):
    stages = [stood(acid)]
    shelf_use(item=acid, who=assistant, amount=120, was=500_000)
    stages.append(stood(ShelfItem.objects.get()))
    shelf_change(item=acid, who=assistant, amount=400, was=380_000, strength_mol_L=2, lot="L 10", made_on=date(2026, 4, 2))
    for stage in reversed(stages):
        last = notes_of(ShelfItem.objects.get())[0]
        set_back(item=acid, who=assistant, number=last.entry.sequence, why="noted at the wrong bottle")
        assert stood(ShelfItem.objects.get()) == stage

    assert notes_of(acid) == [] and verify(centre) == []


def test_a_bottle_is_set_back_once_with_a_reason_and_not_under_a_later_note(acid, assistant):
    shelf_use(item=acid, who=assistant, amount=120, was=500_000)
    number = notes_of(acid)[0].entry.sequence
    with pytest.raises(Refused, match="reason in words"):
        set_back(item=acid, who=assistant, number=number, why="")
    shelf_use(item=acid, who=assistant, amount=10, was=380_000)
    with pytest.raises(Refused, match="changed again since"):
        set_back(item=acid, who=assistant, number=number, why="noted at the wrong bottle")

    set_back(item=acid, who=assistant, number=notes_of(acid)[0].entry.sequence, why="it was another bottle")
    set_back(item=acid, who=assistant, number=number, why="noted at the wrong bottle")
    with pytest.raises(ChangedMeanwhile, match="already"):
        set_back(item=acid, who=assistant, number=number, why="noted at the wrong bottle")


def test_the_page_of_a_bottle_sets_it_back(exam, acid, assistant, as_user):
    shelf_use(item=acid, who=assistant, amount=120, was=500_000)
    page, address = as_user(assistant), reverse("stockroom:bottle-change", args=[exam.pk, acid.pk])
    undo = reverse("stockroom:bottle-undo", args=[exam.pk, acid.pk, notes_of(acid)[0].entry.sequence])
    assert undo in page.get(address).content.decode()

    said = page.post(undo, {"reason": "the wrong bottle"}, follow=True).content.decode()
    assert "as it was before" in said and undo not in said
