"""What the sheets hold, and what they must not."""

from datetime import UTC, datetime

import pytest
from django.template.loader import render_to_string

from examkit.chemistry import formula
from examkit.chemistry.bench import titled
from examkit.errors import Refused
from examkit.knowledge import knowledge
from examkit.models import Room, Sitting
from examkit.printing import fill, labels
from examkit.printing.sheets import SHEETS
from examkit.stockroom.trials.services import amend, trial_open, trial_see
from examkit.stockroom.tubes.services import tubes_fill_rest
from tests.stockroom.drawn import SALTS, drawn_exam
from tests.stockroom.tried import bottle

pytestmark = pytest.mark.django_db


def redeal(exam):
    """Give every candidate another salt and change nothing else."""
    for number, sample in enumerate(exam.samples.order_by("pk")):
        sample.salt = SALTS[(number + 1) % 6]
        sample.save()


@pytest.mark.parametrize("key", ["record-sheets", "sample-labels", "bench-plan-invigilator"])
def test_a_sheet_for_the_room_does_not_depend_on_the_salts_at_all(exam, key):
    before = SHEETS[key].fill(exam)
    redeal(exam)

    assert SHEETS[key].fill(exam) == before


@pytest.mark.parametrize("key", ["assistant-list", "bench-plan-assistant", "marking-key", "tray-list",
                                 "sample-labels", "bottle-labels"])
def test_a_sheet_with_salts_or_for_the_stock_room_has_no_candidates(exam, key):
    text = repr(SHEETS[key].fill(exam))

    assert all(c.name not in text and f"'{c.number}" not in text for c in exam.candidates.all())


def test_every_test_of_the_scheme_has_its_line_on_the_record_sheet(exam):
    sheets = fill.record_sheets(exam)
    titles = [line.title for stage in sheets.stages for line in stage.lines]

    assert titles == [titled(s, knowledge().tests[s.test]) for s in knowledge().schemes["semimicro"].stages]
    assert "Group I, chloride group: dilute hydrochloric acid" in titles
    assert len(sheets.places) == 6


def test_places_come_by_sitting_and_bench(centre):
    sheets = fill.record_sheets(drawn_exam(centre, candidates=23, name="Two sittings"))

    assert [p.bench for p in sheets.places][:3] == ["A1", "A2", "A3"]
    assert [p.sitting for p in sheets.places] == ["Sitting 1"] * 20 + ["Sitting 2"] * 3


def test_bottle_labels_have_the_wording_of_their_hazards(exam):
    found = {label.name: label for label in labels.stock_labels(exam).labels}
    alkali = found["sodium hydroxide, 2 mol/L"]

    assert (alkali.strength, alkali.signal) == ("", "Danger")  # the name says the strength already
    assert found["hydrochloric acid, dilute"].strength == "4 mol/L"
    assert "Causes severe skin burns and eye damage" in alkali.statements
    assert alkali.pictograms == ("corrosion",)


def test_the_key_has_every_line_of_the_frozen_record_with_codes_equations_and_alternatives(exam):
    key = {salt.formula: salt for salt in fill.marking_key(exam).salts}
    nickel, record = key[formula.pretty("NiCl2.6H2O")], exam.expected.get(salt="NiCl2.6H2O").record

    assert nickel.codes == tuple(exam.samples.filter(salt="NiCl2.6H2O").values_list("code", flat=True))
    assert [line.text for line in nickel.lines] == [line["text"] for line in record["lines"]]
    assert any(line.equations for line in nickel.lines)
    assert any(line.accepted for salt in key.values() for line in salt.lines)


def test_the_key_is_that_of_the_draw_even_if_the_knowledge_base_has_changed(exam):
    frozen = exam.expected.get(salt="NiCl2.6H2O")
    frozen.record["lines"][0]["text"] = "as it was frozen"
    frozen.save()

    assert "as it was frozen" in repr(fill.marking_key(exam))


def test_the_invigilator_sees_who_may_have_help(exam):
    candidate = exam.candidates.first()
    candidate.extra_time_percent, candidate.needs_colour_help = 25, True
    candidate.save()
    text = repr(fill.bench_plan_for_invigilator(exam))

    assert "25 % extra time" in text
    assert "colours may be named" in text


def test_a_bench_plan_shows_free_benches_and_gaps(exam):
    room = exam.sittings.get().room
    room.benches.filter(label="B2").delete()
    sitting, = fill.bench_plan_for_assistant(exam).sittings

    assert [bench.label if bench else None for bench in sitting.rows[1]] == ["B1", None, "B3", "B4", "B5"]
    assert sitting.rows[3][0].lines == ("–",)


def test_a_bench_plan_tells_closed_and_left_handed_benches_and_fixtures(exam):
    room = exam.sittings.get().room
    room.benches.filter(label="D1").update(open=False)
    room.benches.filter(label="A1").update(left_handed=True)
    room.fixtures = [[4, 0, "fume cupboard"], [4, 2, "sink"]]
    room.save()
    sitting, = fill.bench_plan_for_invigilator(exam).sittings
    text = render_to_string("print/bench_plan.html", {"document": fill.bench_plan_for_invigilator(exam)})

    assert sitting.rows[3][0].closed and not sitting.rows[3][0].lines
    assert sitting.rows[0][0].left_handed and sitting.rows[0][0].lines
    assert [place and place.what for place in sitting.rows[4]] == ["fume cupboard", None, "sink", None, None]
    assert text.index("Front of the room") < text.index("A1") and "closed, not used" in text
    assert "left-handed bench" in text and "fume cupboard" in text and "sink" in text


def test_a_bench_that_was_closed_after_the_draw_keeps_its_candidate_on_the_plan(exam):
    sample = exam.samples.first()
    sample.bench.open = False
    sample.bench.save()
    text = render_to_string("print/bench_plan.html", {"document": fill.bench_plan_for_invigilator(exam)})

    assert "closed since the draw" in text and sample.code in text


def test_the_invigilator_sees_left_hands_and_rest_breaks(exam):
    exam.candidates.filter(pk=exam.candidates.first().pk).update(left_handed=True, rest_breaks=True)
    text = repr(fill.bench_plan_for_invigilator(exam))

    assert "'rest breaks'" in text and "'left-handed'" in text


def test_a_sitting_without_samples_is_not_planned(exam, centre):
    Sitting.objects.create(exam=exam, room=Room.objects.create(centre=centre, name="Empty"), name="Reserve",
                           starts_at=datetime(2027, 3, 10, tzinfo=UTC))

    assert len(fill.bench_plan_for_invigilator(exam).sittings) == 1


@pytest.mark.parametrize("key", SHEETS)
def test_before_the_draw_there_is_nothing_to_print(centre, key):
    with pytest.raises(Refused, match="not drawn yet"):
        SHEETS[key].fill(drawn_exam(centre, candidates=0, state="draft"))


def test_every_tube_shows_the_hazards_of_the_whole_pool(exam):
    document, kb = labels.sample_labels(exam), knowledge()
    pool = [kb.salts[salt].hazards for salt in exam.expected.values_list("salt", flat=True)]
    every = {code for each in pool for code in each.statements}

    assert document.signal == "Danger"
    assert every - {"H400", "H318"} <= set(document.statement_codes) <= every


def test_what_one_hazard_stands_for_is_not_shown_twice(exam):  # CLP, article 26, point b
    document = labels.sample_labels(exam)

    assert "skull" not in document.pictograms or "exclamation" not in document.pictograms
    assert not {"H410", "H400"} <= set(document.statement_codes)


def test_every_bench_gets_a_label_for_the_same_bottles(exam):
    made = labels.bench_labels(exam).labels
    benches = {label.bench for label in made}
    sets = {tuple(label.name for label in made if label.bench == bench) for bench in benches}

    assert len(benches) == 6
    assert len(sets) == 1 and len(sets.pop()) > 10


def test_a_label_sheet_that_does_not_exist_is_refused(exam):
    with pytest.raises(Refused, match="no such label sheet"):
        SHEETS["sample-labels"].filled(exam, "napkin")


def test_the_marking_key_says_what_is_accepted_for_one_bottle_and_for_which_codes(exam, assistant):
    salt = "NiCl2.6H2O"
    trial = trial_open(exam=exam, who=assistant, salt=salt, bottle=bottle(exam, assistant, salt, lot="L 17"))
    trial_see(trial=trial, who=assistant, test="naoh", agrees=False, seen="blue precipitate", version=0)
    blue = [{"step": "drops", "event": "precipitate", "colours": ["blue"]}]
    amend(trial=trial, who=assistant, test="naoh", facet="tube", seen=blue, why="this lot holds cobalt")
    tubes_fill_rest(trial=trial, who=assistant)
    found = {each.formula: each.bottles for each in fill.marking_key(exam).salts}

    one, = found["NiCl₂·6H₂O"]
    assert one.codes == tuple(exam.samples.filter(salt=salt).values_list("code", flat=True))
    assert one.accepted == (("Sodium hydroxide", "blue precipitate", "this lot holds cobalt"),)
    assert not any(bottles for formula, bottles in found.items() if formula != "NiCl₂·6H₂O")


def test_the_tray_list_has_every_code_once_and_no_salt(exam):
    document = labels.tray_list(exam)
    room, = document.rooms
    codes = [code for _bench, found in room.trays for code in found if code]

    assert sorted(codes) == sorted(exam.samples.values_list("code", flat=True))
    assert len(document.bench_set) > 10 and room.cupboard
    assert not any(sample.salt in repr(room) for sample in exam.samples.all())
