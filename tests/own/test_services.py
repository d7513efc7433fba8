"""Entries are added, changed and withdrawn; refused while the base with them would not pass."""

import pytest

from examkit import audit
from examkit.errors import ChangedMeanwhile, Refused
from examkit.knowledge import knowledge, left_out
from examkit.models import AuditEntry, Own, PoolSalt
from examkit.own.services import DoesNotWork, own_add, own_back, own_change, own_withdraw
from tests import cast as cast_of
from tests.own import entries

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def test_without_entries_a_centre_reads_the_shipped_base(cast):
    assert knowledge(cast.centre) is knowledge()


def test_a_salt_of_our_own_is_in_our_base_with_its_own_edition_and_in_no_other(cast):
    entries.add_salt(cast)

    ours = knowledge(cast.centre)
    assert ours.salts["NiBr2.3H2O"].name == "nickel(II) bromide trihydrate"
    assert ours.edition not in ("", knowledge().edition)
    assert "NiBr2.3H2O" not in knowledge().salts
    assert knowledge(cast.elsewhere) is knowledge()


def test_the_source_names_the_centre_the_person_and_the_reason(cast):
    entries.add_salt(cast)

    ours = knowledge(cast.centre)
    source = ours.sources[ours.salts["NiBr2.3H2O"].sources[0].key]
    assert source.kind == "own"
    assert source.cite.startswith("Maple House School (Tilda Marsh, 20")
    assert source.cite.endswith("tried here in March")


def test_each_act_is_in_the_audit_trail(cast):
    entry = entries.add_salt(cast)
    entry = own_change(entry=entry, who=cast.teacher, version=entry.version, data=entry.data, why="read on the label")
    own_withdraw(entry=entry, who=cast.teacher, version=entry.version, reason="sold out for good")

    told = list(AuditEntry.objects.filter(centre=cast.centre).values_list("what", flat=True))
    assert told == ["own entry added", "own entry changed", "own entry withdrawn"]
    assert audit.verify(cast.centre) == []


def test_a_withdrawn_entry_no_longer_counts_and_can_be_added_anew(cast):
    entry = entries.add_salt(cast)
    own_withdraw(entry=entry, who=cast.teacher, version=1, reason="sold out for good")
    assert knowledge(cast.centre) is knowledge()

    again = entries.add_salt(cast)

    assert (again.pk, again.version, again.active) == (entry.pk, 3, True)
    assert "NiBr2.3H2O" in knowledge(cast.centre).salts


def test_a_withdrawn_entry_is_brought_back_as_it_stood_with_a_reason(cast):
    entry = own_withdraw(entry=entries.add_salt(cast), who=cast.teacher, version=1, reason="sold out for good")
    with pytest.raises(Refused, match="Give a reason"):
        own_back(entry=entry, who=cast.teacher, version=2, reason=" ")

    again = own_back(entry=entry, who=cast.teacher, version=2, reason="found in the cellar")

    assert (again.version, again.data) == (3, entry.data)
    assert "NiBr2.3H2O" in knowledge(cast.centre).salts
    assert AuditEntry.objects.last().detail == {"reason": "found in the cellar", "version": 3}
    with pytest.raises(ChangedMeanwhile, match="brought this entry back"):
        own_back(entry=entry, who=cast.teacher, version=2, reason="found in the cellar")


def test_a_withdrawn_entry_that_no_longer_passes_is_not_brought_back(cast):
    entry = Own.objects.create(
        centre=cast.centre, kind="salt", key="NaCl", by=cast.teacher, why="was missing once", active=False, version=2,
        data={"salt": entries.NICKEL_BROMIDE["salt"] | {"formula": "NaCl", "ions": {"Na+": 1, "Cl-": 1}}})

    with pytest.raises(DoesNotWork, match="stands in the shipped base already"):
        own_back(entry=entry, who=cast.teacher, version=2, reason="found in the cellar")
    assert not Own.objects.get().active


def test_every_fault_is_told_at_once_in_the_words_of_the_form(cast):
    with pytest.raises(DoesNotWork) as refusal:
        entries.add_salt(cast, colour=["blurple"], hazards={"statements": ["H999"], "pictograms": ["bat"]})

    assert [(p.place, p.what) for p in refusal.value.problems] == [
        ("colour", "'blurple' is no colour word."),
        ("hazards", "the hazard statement 'H999' has no text."),
        ("hazards", "the pictogram 'bat' is not known."),
    ]
    assert ".yaml" not in str(refusal.value)
    assert not Own.objects.exists()


@pytest.mark.parametrize(("salt", "words"), [
    ({"formula": "NaCl", "ions": {"Na+": 1, "Cl-": 1}}, "stands in the shipped base already"),
    ({"name": "sodium chloride"}, "name of another salt"),
    ({"ions": {"Ni2+": 1, "Br-": 1}}, "charges of the ions"),
    ({"formula": "NiBr3.3H2O"}, "do not add up"),
    ({"formula": "Al2(CO3)3", "ions": {"Al3+": 2, "CO3^2-": 3}}, "make no salt that keeps"),
    ({"formula": "Qq2"}, "no element"),
])
def test_a_salt_that_cannot_be_is_refused(cast, salt, words):
    with pytest.raises(DoesNotWork, match=words):
        entries.add_salt(cast, **salt)


def test_an_entry_without_a_reason_is_refused(cast):
    with pytest.raises(DoesNotWork, match="who says so, and why, is not said"):
        entries.add(cast, "reagent", entries.WEAK_AMMONIA, "ammonia-dilute", why="  ")


def test_a_strength_of_our_own_is_what_is_made_up(cast):
    entries.add(cast, "reagent", entries.WEAK_AMMONIA, "ammonia-dilute")

    assert knowledge(cast.centre).reagents["ammonia-dilute"].strength_mol_L == 2.0
    assert knowledge().reagents["ammonia-dilute"].strength_mol_L == 4.0


def test_a_strength_above_that_of_its_stock_is_refused(cast):
    with pytest.raises(DoesNotWork, match="cannot be diluted from"):
        entries.add(cast, "reagent", {"reagent": {"strength_mol_L": 30.0}}, "ammonia-dilute")


def test_the_same_entry_twice_is_refused(cast):
    entries.add_salt(cast)

    with pytest.raises(Refused, match="one of your own already"):
        entries.add_salt(cast)


def test_a_stale_change_is_told_what_stands_there_now(cast):
    entry = entries.add_salt(cast)
    own_change(entry=entry, who=cast.teacher, version=1, data=entry.data, why="read on the label")

    with pytest.raises(ChangedMeanwhile) as stale:
        own_change(entry=entry, who=cast.teacher, version=1, data=entry.data, why="guessed")

    assert stale.value.theirs.why == "read on the label"


def test_a_salt_that_an_exam_names_cannot_be_withdrawn(cast):
    entry, exam = entries.add_salt(cast), cast_of.exam(cast.centre)
    PoolSalt.objects.create(exam=exam, formula="NiBr2.3H2O")

    with pytest.raises(Refused, match="Still needed by: Spring"):
        own_withdraw(entry=entry, who=cast.teacher, version=1, reason="sold out for good")


def test_a_salt_that_another_entry_speaks_about_cannot_be_withdrawn(cast):
    entry = entries.add_salt(cast)
    entries.add(cast, "outcome", {"subject": "NiBr2.3H2O", "test": "appearance", "facet": "colour",
                                  "seen": [{"event": "colour", "colours": ["bluish green"]}]})

    with pytest.raises(DoesNotWork, match="has no outcome of its own"):
        own_withdraw(entry=entry, who=cast.teacher, version=1, reason="sold out for good")


def test_an_entry_that_a_newer_shipped_base_refuses_is_left_out_and_said(cast):
    entries.add_salt(cast)
    Own.objects.create(centre=cast.centre, kind="salt", key="NaCl", by=cast.teacher, why="was missing once",
                       data={"salt": entries.NICKEL_BROMIDE["salt"] | {
                           "formula": "NaCl", "ions": {"Na+": 1, "Cl-": 1}}})

    assert "NiBr2.3H2O" in knowledge(cast.centre).salts
    assert [str(p) for p in left_out(cast.centre)] == [
        "formula: 'NaCl' stands in the shipped base already. Add an outcome that is also accepted to it instead."]
    assert own_add(centre=cast.centre, who=cast.teacher, kind="reagent", key="ammonia-dilute",
                   data=entries.WEAK_AMMONIA, why="ours")
