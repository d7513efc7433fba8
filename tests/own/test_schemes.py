"""A scheme is copied and edited; one that cannot work is refused with what is missing."""

import pytest
from django.urls import reverse

from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.chemistry.uses import uses
from examkit.errors import Refused
from examkit.knowledge import knowledge
from examkit.models import Own, State
from examkit.own.schemes import scheme_data
from examkit.own.services import own_change, own_withdraw
from examkit.planning import services
from examkit.printing import fill
from grading.marking.services import line_save
from grading.marking.suggest import suggest
from grading.models import Record
from tests import cast as cast_of
from tests.own import entries
from tests.planning import exams

pytestmark = pytest.mark.django_db


@pytest.fixture
def pages(cast, as_user):
    return as_user(cast.teacher)


def copy(cast, key="semimicro", title="Our school’s scheme"):
    data = {"scheme": scheme_data(knowledge().schemes[key]) | {"title": title}}
    return entries.add(cast, "scheme", data)


def filled(form):
    """What a browser sends of a form that was not touched."""
    sent = {}
    for name in form.fields:
        value = form[name].value()
        if value is not None and value is not False and value != "":
            sent[name] = ", ".join(value) if isinstance(value, list) and name[:2] in ("g-", "g") else value
    return sent


def edit(pages, entry, **changes):
    """The page of a scheme, sent with changes; a change to None leaves the field out."""
    address = reverse("own:change", args=[entry.pk])
    sent = filled(pages.get(address).context["form"])
    sent |= changes
    return pages.post(address, {name: value for name, value in sent.items() if value is not None})


def problems(response):
    return "\n".join(response.context["form"].non_field_errors())


@pytest.mark.parametrize("key", list(knowledge().schemes))
def test_a_copy_expects_the_same_of_every_salt_as_the_scheme_it_was_copied_from(cast, key):
    entry = copy(cast, key)
    ours, shipped = knowledge(cast.centre), knowledge()
    for salt in ("NiCl2.6H2O", "Pb(NO3)2", "NH4Cl"):
        def texts(kb, scheme, salt=salt):
            return [(line.test, line.done) for line in expect(kb, read_specimen(kb, salt), scheme).lines]
        assert texts(ours, entry.key) == texts(shipped, key)


@pytest.mark.parametrize("key", list(knowledge().schemes))
def test_saving_a_copy_untouched_changes_nothing(cast, pages, key):
    entry = copy(cast, key)
    before = knowledge(cast.centre).schemes[entry.key]

    response = edit(pages, entry)
    assert response.status_code == 302, response.context["form"].errors

    after = knowledge(cast.centre).schemes[entry.key]
    assert scheme_data(after) == scheme_data(before)


def test_a_scheme_is_copied_in_the_browser_and_offered_for_exams(cast, pages):
    response = pages.post(reverse("own:scheme-copy"), {
        "scheme": "semimicro", "title": "Our scheme", "why": "we leave the bead out"})

    entry = Own.objects.get()
    assert response.url == reverse("own:change", args=[entry.pk])
    assert "Our scheme" in pages.get(reverse("planning:new")).content.decode()


def test_two_schemes_of_one_title_are_refused(cast, pages):
    shipped = knowledge().schemes["semimicro"].title
    response = pages.post(reverse("own:scheme-copy"), {"scheme": "semimicro", "title": shipped, "why": "ours"})

    assert "title of another scheme" in str(response.context["form"].errors["title"])


def test_order_choice_names_and_amounts_can_be_changed(cast, pages):
    entry = copy(cast)
    response = edit(pages, entry, **{
        "t-borax-bead-in": None, "t-flame-place": 5, "g-IV-name": "4", "sample_g": 2,
        "t-group-1-1-amount": 4})

    assert response.status_code == 302, problems(response)
    scheme = knowledge(cast.centre).schemes[entry.key]
    tests = [stage.test for stage in scheme.stages]
    assert tests[0] == "flame" and "borax-bead" not in tests
    assert next(s.group for s in scheme.stages if s.test == "group-4") == "4" and "4" in scheme.groups
    assert scheme.sample_g == 2
    group_1 = next(stage for stage in scheme.stages if stage.test == "group-1")
    assert group_1.operations[""][1].drops == 4
    assert not next(stage for stage in scheme.stages if stage.test == "naoh").operations


def test_ions_taken_out_of_the_syllabus_leave_their_groups(cast, pages):
    entry = copy(cast)
    cations = [ion for ion in knowledge().schemes["semimicro"].cations if ion not in ("Ba2+", "Sr2+", "Ca2+")]

    response = edit(pages, entry, cations=cations, **{"t-group-4-in": None})

    assert response.status_code == 302, problems(response)
    assert "IV" not in knowledge(cast.centre).schemes[entry.key].groups


def test_a_scheme_without_the_test_of_a_group_is_refused_with_what_is_missing(cast, pages):
    response = edit(pages, copy(cast), **{"t-group-4-in": None})

    assert "No test answers group IV (Ba2+, Sr2+, Ca2+). Tests that could:" in problems(response)
    assert Own.objects.get().version == 1


def test_groups_in_the_wrong_order_are_refused(cast, pages):
    response = edit(pages, copy(cast), **{"t-group-3b-place": 1})

    assert "is known for what" in problems(response) and "Put 'Hydroxide group" in problems(response)


def test_a_test_that_hangs_on_another_needs_it_before_itself(cast, pages):
    response = edit(pages, copy(cast), **{"t-charcoal-cavity-in": None})

    assert "is decided by what was seen before" in problems(response)


def test_ions_that_no_test_shows_or_tells_apart_are_named(cast, pages):
    gone = {f"t-{test}-in": None for test in (
        "anion-dilute-acid", "anion-concentrated-acid", "anion-silver-nitrate", "anion-barium-chloride",
        "confirm-anion", "dry-heating")}
    response = edit(pages, copy(cast), **gone)

    assert "No test of the scheme shows" in problems(response)
    assert "These would:" in problems(response)


def test_two_groups_of_one_name_are_refused(cast, pages):
    response = edit(pages, copy(cast), **{"g-IV-name": "I"})

    assert "Two groups are called “I”" in problems(response)


def test_a_reagent_that_is_not_there_is_refused(cast, pages):
    response = edit(pages, copy(cast), **{"t-group-1-1-reagent": "aether"})

    assert "here is no reagent 'aether'" in problems(response)


def test_a_scheme_of_a_drawn_exam_cannot_be_changed_but_copied(cast):
    entry = copy(cast)
    exam = cast_of.exam(cast.centre, state=State.DRAWN)
    exam.scheme = entry.key
    exam.save()

    with pytest.raises(Refused, match="Copy the scheme and change the copy"):
        own_change(entry=entry, who=cast.teacher, version=1, data=entry.data, why="other")
    with pytest.raises(Refused, match="Still needed by: Spring"):
        own_withdraw(entry=entry, who=cast.teacher, version=1, reason="no longer used")


def test_a_scheme_that_a_newer_shipped_base_refuses_is_said_but_kept_for_its_exams(cast, pages):
    data = scheme_data(knowledge().schemes["semimicro"]) | {"title": "Ours"}
    data["tests"] = [stage for stage in data["tests"] if stage["test"] != "group-4"]
    Own.objects.create(centre=cast.centre, kind="scheme", key="own-1", by=cast.teacher, why="was whole once",
                       data={"scheme": data})

    kb = knowledge(cast.centre)

    assert expect(kb, read_specimen(kb, "NaCl"), "own-1").lines
    assert kb.edition != knowledge().edition
    assert "kept for the exams that name it" in pages.get(reverse("own:index")).content.decode()


def test_an_exam_by_our_scheme_is_drawn_printed_and_marked_in_its_order(cast, pages):
    entry = copy(cast)
    edit(pages, entry, **{"t-flame-place": 5, "t-borax-bead-in": None})
    exam = exams.planned(cast, candidates=6, salts=exams.SALTS[:4])
    services.exam_change(exam=exam, who=cast.teacher, scheme=entry.key)
    services.draw_seal(exam=exam, who=cast.teacher)
    services.draw_make(exam=exam, who=cast.teacher)
    exam.refresh_from_db()

    titles = [line.title for stage in fill.record_sheets(exam).stages for line in stage.lines]
    assert titles[0] == "Flame" and "Borax bead" not in titles
    exam.state = State.SAT
    exam.save()
    sample = exam.samples.select_related("exam__centre").first()
    line_save(sample=sample, test="flame", observation="no colour", inference="", version=0, who=cast.examiner)
    parts = suggest(Record.objects.get(sample=sample)).parts
    assert parts[0].key.startswith("flame")
    assert as_page(pages, cast, exam, sample).status_code == 200


def as_page(pages, cast, exam, sample):
    pages.force_login(cast.examiner, backend="django.contrib.auth.backends.ModelBackend")
    return pages.get(reverse("marking:record", args=[exam.pk, sample.code]))


def test_a_stale_page_of_a_scheme_means_the_same_rows(cast, pages):
    entry = copy(cast)
    address = reverse("own:change", args=[entry.pk])
    old_page = filled(pages.get(address).context["form"])
    edit(pages, entry, **{"t-flame-place": 5})

    stale = pages.post(address, {name: v for name, v in old_page.items() if name != "t-borax-bead-in"})

    assert stale.status_code == 409
    sent = filled(stale.context["form"])
    assert pages.post(address, sent).status_code == 302
    tests = [stage.test for stage in knowledge(cast.centre).schemes[entry.key].stages]
    assert "borax-bead" not in tests and tests.index("flame") > tests.index("appearance")


def test_one_more_reagent_goes_after_the_step_that_is_named(cast, pages):
    entry = copy(cast)
    response = edit(pages, entry, **{
        "t-group-1-more-reagent": "ammonium-chloride", "t-group-1-more-amount": 0.1,
        "t-group-1-more-unit": "g", "t-group-1-more-after": 2})

    assert response.status_code == 302, problems(response)
    stage = next(s for s in knowledge(cast.centre).schemes[entry.key].stages if s.test == "group-1")
    assert [o.do for o in stage.operations[""]][:4] == ["take", "add", "add", "shake"]
    assert (stage.operations[""][2].what, stage.operations[""][2].g) == ("ammonium-chloride", 0.1)


def test_one_more_reagent_without_an_amount_is_left_out(cast, pages):
    entry = copy(cast)
    edit(pages, entry, **{"t-group-1-more-reagent": "ammonium-chloride"})

    stage = next(s for s in knowledge(cast.centre).schemes[entry.key].stages if s.test == "group-1")
    assert not stage.operations


def test_an_amount_taken_out_takes_the_reagent_out(cast, pages):
    entry = copy(cast)
    edit(pages, entry, **{"t-group-5-1-amount": None})

    stage = next(s for s in knowledge(cast.centre).schemes[entry.key].stages if s.test == "group-5")
    assert "ammonia-dilute" not in [o.what for o in stage.operations[""]]


def test_a_reagent_of_a_changed_scheme_reaches_the_stock_list(cast, pages):
    entry = copy(cast)
    edit(pages, entry, **{"t-group-1-1-amount": 6})

    kb = knowledge(cast.centre)
    stage = next(s for s in kb.schemes[entry.key].stages if s.test == "group-1")
    assert uses(kb.tests["group-1"], stage)[0].volume_mL == pytest.approx(0.3)
