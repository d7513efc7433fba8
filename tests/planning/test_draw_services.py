"""Sealing, drawing, breaking the seal, and the check of a draw in the database."""

from itertools import combinations

import pytest

from examkit.errors import Refused
from examkit.knowledge import knowledge
from examkit.models import AuditEntry, Bench, Candidate, ExpectedRecord, Sample, State
from examkit.planning import services
from examkit.planning.codes import read_code
from examkit.planning.draw_check import check
from examkit.planning.grid import CLOSED
from examkit.planning.rules import Rules
from examkit.planning.selectors import plan_of, seating
from examkit.planning.selectors.draw import not_avoided, outcome
from tests.planning import exams

pytestmark = pytest.mark.django_db


def test_the_seal_fixes_a_commitment_before_anything_is_drawn(cast):
    exam = exams.planned(cast)

    exam = services.draw_seal(exam=exam, who=cast.teacher)

    assert len(exam.commitment) == 64 and exam.state == State.DRAFT
    assert not Sample.objects.exists()
    entry = AuditEntry.objects.last()
    assert entry.what == "draw sealed" and entry.detail["commitment"] == exam.commitment


def test_neither_seed_nor_nonce_stand_in_the_trail(cast):
    exam = exams.drawn(cast)

    trail = "".join(str(entry.detail) for entry in AuditEntry.objects.all())

    assert exam.seed not in trail and exam.nonce not in trail


def test_forty_candidates_are_drawn_and_it_checks_out(cast):
    exam = exams.drawn(cast)

    assert exam.samples.count() == 40
    assert check(exam) == []
    assert all(read_code(sample.code) for sample in exam.samples.all())


def test_the_trail_does_not_say_who_got_which_salt(cast):
    exams.drawn(cast)

    made = AuditEntry.objects.get(what="draw made")

    assert not [salt for salt in exams.SALTS if salt in str(made.detail)]


def test_the_expected_records_are_frozen_with_the_edition(cast):
    exam = exams.drawn(cast)

    assert exam.edition == knowledge().edition
    assert set(exam.expected.values_list("salt", flat=True)) == set(exams.SALTS)
    nickel = exam.expected.get(salt="NiCl2.6H2O")
    assert nickel.edition == exam.edition == nickel.record["edition"]
    assert nickel.record["cations"] == ["Ni2+"] and nickel.record["lines"]


def test_what_was_thrown_before_witnesses_is_kept_and_checked(cast):
    exam = services.draw_seal(exam=exams.planned(cast), who=cast.teacher)

    exam = services.draw_make(exam=exam, who=cast.teacher, public=" 4 2 6 ")

    assert exam.draw["public"] == "4 2 6"
    assert check(exam) == []
    exam.draw["public"] = "1 1 1"
    assert check(exam)


def test_two_sittings_are_laid_out_as_tables_of_benches(cast):
    exam = exams.planned(cast, candidates=39)
    Bench.objects.filter(label="E4").update(open=False)
    services.candidate_delete(candidate=exam.candidates.first(), who=cast.teacher, reason="left school")
    services.draw_make(exam=services.draw_seal(exam=exam, who=cast.teacher), who=cast.teacher)

    tables = seating(exam)

    assert [table.samples for table in tables] == [19, 19]
    assert [label for label, _cells in tables[0].rows] == list("ABCDE")
    assert tables[0].rows[4][1][3].sample is None


def test_the_outcome_names_no_salt(cast):
    told = " ".join(outcome(exams.drawn(cast)))

    assert "No two neighbours share a cation." in told
    assert not [salt for salt in exams.SALTS if salt in told]


def test_shared_cations_are_told_by_bench(cast):
    salts = ["NiCl2.6H2O", "NiSO4.6H2O", "CuSO4.5H2O", "CuCl2.2H2O", "ZnSO4.7H2O", "ZnCO3"]

    exam = exams.drawn(cast, salts=salts)

    pairs = combinations(Sample.objects.filter(exam=exam).select_related("bench"), 2)
    shared = sum(_neighbours(one, other) and one.salt[:2] == other.salt[:2] for one, other in pairs)
    assert shared > 0  # three cations are too few for a square of four benches
    told = [sentence for sentence in outcome(exam) if "share a cation" in sentence]
    assert any(sentence.startswith(f"{shared} pairs of neighbours share a cation: ") for sentence in told), told


def _neighbours(one, other):
    """Whether two samples of one sitting stand side by side, one behind the other, or across a corner."""
    rows, columns = one.bench.row - other.bench.row, one.bench.column - other.bench.column
    return one.sitting_id == other.sitting_id and max(abs(rows), abs(columns)) == 1


def test_candidates_who_need_help_with_colours_avoid_salts_told_by_colour_alone(cast):
    exam = exams.planned(cast, salts=["BaSO4", "SrSO4", *exams.SALTS])
    Candidate.objects.filter(number__in=["001", "002", "003"]).update(needs_colour_help=True)

    entrants = {one.number: one for one in plan_of(exam).entrants}
    services.draw_make(exam=services.draw_seal(exam=exam, who=cast.teacher), who=cast.teacher)

    assert {"BaSO4", "SrSO4"} <= set(entrants["001"].never) and entrants["004"].never == ()
    got = set(Sample.objects.filter(candidate__number__in=["001", "002", "003"]).values_list("salt", flat=True))
    assert not got & {"BaSO4", "SrSO4"}
    exam.refresh_from_db()
    assert not not_avoided(exam).exists()


def test_who_got_such_a_salt_nevertheless_is_listed(cast):
    exam = exams.planned(cast, candidates=4, salts=["BaSO4", "SrSO4"])
    Candidate.objects.filter(number="001").update(needs_colour_help=True)
    with pytest.raises(Refused, match="No salt of the pool is for candidate 001"):
        services.draw_seal(exam=exam, who=cast.teacher)

    services.rules_set(exam=exam, who=cast.teacher, rules=Rules(colour="avoided"))
    services.draw_make(exam=services.draw_seal(exam=exam, who=cast.teacher), who=cast.teacher)

    exam.refresh_from_db()
    assert [sample.candidate.number for sample in not_avoided(exam)] == ["001"]


# Refusals

def test_an_impossible_draw_is_refused_at_the_seal(cast):
    exam = exams.planned(cast, salts=exams.SALTS[:3])

    with pytest.raises(Refused, match="4 salts are needed; the pool has 3"):
        services.draw_seal(exam=exam, who=cast.teacher)

    exam.refresh_from_db()
    assert exam.commitment == ""


def test_a_pool_that_the_scheme_does_not_cover_is_refused_at_the_seal(cast):
    exam = exams.planned(cast)
    exam.pool.create(formula="AgNO3")  # as after a change of scheme

    with pytest.raises(Refused, match="does not cover these salts of the pool: AgNO3"):
        services.draw_seal(exam=exam, who=cast.teacher)


def test_a_draw_without_a_seal_is_refused(cast):
    with pytest.raises(Refused, match="Seal the draw first"):
        services.draw_make(exam=exams.planned(cast), who=cast.teacher)


def test_a_draw_is_made_once(cast):
    with pytest.raises(Refused, match="The draw is made already"):
        services.draw_make(exam=exams.drawn(cast), who=cast.teacher)


def test_a_bench_closed_after_the_seal_stops_the_draw(cast):
    exam = services.draw_seal(exam=exams.planned(cast, candidates=30), who=cast.teacher)
    services.room_place(room=exam.sittings.first().room, who=cast.teacher, row=0, column=0, what=CLOSED)

    with pytest.raises(Refused, match="Changed since the seal: rooms."):
        services.draw_make(exam=exam, who=cast.teacher)


def test_a_seal_is_broken_only_with_a_reason_and_both_are_kept(cast):
    exam = services.draw_seal(exam=exams.planned(cast), who=cast.teacher)
    commitment = exam.commitment
    with pytest.raises(Refused, match="Give a reason"):
        services.draw_unseal(exam=exam, who=cast.teacher, reason="")

    exam = services.draw_unseal(exam=exam, who=cast.teacher, reason="one more candidate")

    assert exam.commitment == "" and exam.draw == {}
    assert AuditEntry.objects.last().detail == {"commitment": commitment, "reason": "one more candidate"}


def test_there_is_no_seal_to_break_on_a_drawn_exam(cast):
    with pytest.raises(Refused, match="no seal to break"):
        services.draw_unseal(exam=exams.drawn(cast), who=cast.teacher, reason="just to see")


def test_the_same_plan_is_never_sealed_with_the_same_seed(cast):
    exam = services.draw_seal(exam=exams.planned(cast), who=cast.teacher)
    first = exam.seed, exam.nonce, exam.commitment
    services.draw_unseal(exam=exam, who=cast.teacher, reason="try again")

    exam = services.draw_seal(exam=exam, who=cast.teacher)

    assert not set(first) & {exam.seed, exam.nonce, exam.commitment}


# The check

def test_an_exam_that_is_not_drawn_has_nothing_to_check(cast):
    assert check(exams.planned(cast)) == []


def test_a_seal_is_checked_before_the_draw(cast):
    exam = services.draw_seal(exam=exams.planned(cast), who=cast.teacher)

    assert check(exam) == []
    exam.seed = "0" * 64
    assert "commitment does not belong" in check(exam)[0]


def test_two_salts_exchanged_in_the_database_are_found(cast):
    exam = exams.drawn(cast)
    one, other = exam.samples.exclude(salt=exam.samples.first().salt).first(), exam.samples.first()
    Sample.objects.filter(pk=one.pk).update(salt=other.salt)
    Sample.objects.filter(pk=other.pk).update(salt=one.salt)

    problems = check(exam)

    assert len(problems) == 2
    assert {one.candidate.number, other.candidate.number} == {problem.split()[1].rstrip(":") for problem in problems}


def test_a_deleted_sample_is_found(cast):
    exam = exams.drawn(cast)
    exam.samples.first().delete()

    assert "kept as None" in check(exam)[0]


def test_a_candidate_added_behind_the_draw_is_found(cast):
    exam = exams.drawn(cast)
    Candidate.objects.create(exam=exam, number="late", name="Late")

    assert check(exam) == ["The candidates are not those of the draw."]


def test_an_expected_record_of_another_edition_is_found(cast):
    exam = exams.drawn(cast)
    ExpectedRecord.objects.filter(salt="KI").update(edition="other")
    ExpectedRecord.objects.filter(salt="NH4Cl").delete()

    assert check(exam) == ["The expected record of NH4Cl was not frozen at the draw.",
                           "The expected record of KI belongs to another edition than the draw."]


def test_names_may_be_erased_and_the_draw_still_checks_out(cast):
    exam = exams.drawn(cast)
    Candidate.objects.update(name="erased")

    assert check(exam) == []


def test_a_drawn_exam_without_its_draw_is_found(cast):
    exam = exams.drawn(cast)
    exam.draw = {}

    assert check(exam) == ["The exam is past its draw, but nothing is kept of it."]


def test_a_difference_under_another_solver_is_put_in_its_place(cast):
    exam = exams.drawn(cast)
    exam.draw["solver"] = "ortools 1.0"
    assert check(exam) == []
    exam.samples.first().delete()

    assert "made with ortools 1.0" in check(exam)[1]
