"""A mark scheme of a centre's own: copied, edited in a form, checked by the scorer's own checks."""

import pytest
from django.urls import reverse

from examkit.errors import ChangedMeanwhile, Refused
from examkit.knowledge import knowledge, left_out
from examkit.models import AuditEntry, Exam, Own
from examkit.own.services import DoesNotWork, own_withdraw
from grading.schemes.forms import MarkSchemeForm
from grading.schemes.services import mark_scheme_change, mark_scheme_copy
from grading.scoring.mark_scheme import CHOICES, LEVELS, SHARES, MarkSchemeError, completed, mark_scheme
from tests.marking import exams


@pytest.fixture
def client(as_user, teacher):
    return as_user(teacher)


def sent(entry, **changes):
    """What a browser sends for the form of an entry, with changes."""
    form = MarkSchemeForm(kb=knowledge(entry.centre), entry=entry)
    data = {}
    for name in form.fields:
        value = form[name].value()
        if value is True:
            data[name] = "on"
        elif isinstance(value, list) and name.startswith("list-"):
            data[name] = ", ".join(value)
        elif value not in (None, False, ""):
            data[name] = value
    return {name: value for name, value in (data | changes).items() if value is not None}


def save(client, entry, **changes):
    return client.post(reverse("mark-schemes:change", args=[entry.pk]), sent(entry, **changes), follow=True)


def stored(entry):
    entry.refresh_from_db()
    return entry.data["marking"]


def change(entry, **marking):
    return mark_scheme_change(entry=entry, who=entry.by, version=entry.version,
                              data={"marking": entry.data["marking"] | marking}, why="tried out")


@pytest.mark.parametrize("key", sorted(knowledge().mark_schemes))
def test_every_shipped_mark_scheme_is_copied_whole(key, cast):
    mark_scheme_copy(centre=cast.centre, who=cast.teacher, key=key, title="Ours", why="agreed in June")
    ours = Own.objects.get()

    copy, shipped = (mark_scheme(knowledge(cast.centre), each) for each in (ours.key, key))
    same = ("step_marks", "lines", "result", "partial", "observation", "inference", "result_rules", "rounding",
            "caps", "safety")
    assert [getattr(copy, name) for name in same] == [getattr(shipped, name) for name in same]
    assert (copy.title, left_out(cast.centre)) == ("Ours", ())


@pytest.mark.parametrize("key", sorted(knowledge().mark_schemes))
def test_a_form_that_is_sent_back_as_it_came_changes_no_rule(key, cast, client):
    mark_scheme_copy(centre=cast.centre, who=cast.teacher, key=key, title="Ours", why="agreed in June")
    ours = Own.objects.get()
    before = mark_scheme(knowledge(cast.centre), ours.key)
    answer = save(client, ours)

    assert "Saved. It counts from now on" in answer.content.decode(), answer.context["form"].errors
    after = mark_scheme(knowledge(cast.centre), ours.key)
    for name in ("step_marks", "lines", "result", "partial", "inference", "result_rules", "rounding"):
        assert getattr(after, name) == getattr(before, name), name
    ordered = ("any_facet", "enough", "optional_facets")
    assert {k: v for k, v in after.observation.items() if k not in ordered} == {
        k: v for k, v in before.observation.items() if k not in ordered}
    assert sorted(after.observation["any_facet"]) == sorted(before.observation["any_facet"])
    assert after.observation["enough"] == before.observation["enough"]
    assert {test: sorted(each) for test, each in after.observation["optional_facets"].items()} == {
        test: sorted(each) for test, each in before.observation["optional_facets"].items()}


def test_marks_are_given_as_marks_and_kept_as_steps(ours, client):
    save(client, ours, **{"stage-dry-observation": "1½", "test-flame-observation": "2", "test-flame-inference": "0.5",
                          "result-cation": "3", "cap-anion": "4", "safety": "1"})
    marking = stored(ours)

    assert marking["lines"]["stages"]["dry"]["observation"] == 3
    assert marking["lines"]["tests"]["flame"] == {"observation": 4, "inference": 1}
    assert (marking["result"]["cation"], marking["caps"], marking["safety"]) == (6, {"anion": 8}, 2)


def test_whole_marks_only_are_set_by_the_smallest_step(ours, client):
    save(client, ours, **{"step_marks": "1"})

    assert stored(ours)["step_marks"] == "1"
    assert stored(ours)["lines"]["stages"]["dry"] == {"observation": 1, "inference": 1}


@pytest.mark.parametrize(("section", "key"), [each for each in CHOICES if each[0]])
def test_every_choice_can_be_made(section, key, ours, client):
    for value in CHOICES[section, key]:
        save(client, ours, **{f"rule-{section}-{key}": str(value), "version": Own.objects.get().version})
        assert stored(ours)[section][key] == value


@pytest.mark.parametrize(("section", "key"), SHARES)
def test_every_share_can_be_set(section, key, ours, client):
    save(client, ours, **{f"share-{section}-{key}": "1/4"})

    assert stored(ours)[section][key] == "1/4"


@pytest.mark.parametrize("name", LEVELS)
def test_every_level_can_be_set(name, ours, client):
    save(client, ours, **{f"level-{name}": "0.25"})

    assert stored(ours)["observation"]["levels"][name] == "0.25"


def test_what_a_test_needs_can_be_set(ours, client):
    save(client, ours, **{"any-naoh": "on", "optional-naoh": ["gas"], "enough-flame": "1",
                          "list-observation-optional_steps": "hot, cold"})
    rules = stored(ours)["observation"]

    assert "naoh" in rules["any_facet"]
    assert rules["optional_facets"]["naoh"] == ["gas"]
    assert rules["enough"]["flame"] == 1
    assert rules["optional_steps"] == ["hot", "cold"]


def test_a_key_that_the_form_does_not_know_stays(ours, client):
    ours.data["marking"]["observation"]["of_tomorrow"] = "x"
    ours.save()
    save(client, ours, **{"version": ours.version})

    assert stored(ours)["observation"]["of_tomorrow"] == "x"


@pytest.mark.parametrize(("field", "value", "words"), [
    ("stage-dry-observation", "1.3", "in steps of ½"),
    ("stage-dry-observation", "", "0 for none"),
    ("stage-dry-observation", "many", "is not a mark here"),
    ("stage-dry-observation", "-1", "is not a mark here"),
    ("result-cation", None, "0 for none"),
    ("cap-dry", "x", "is not a mark here"),
    ("test-flame-observation", "1", "both marks of a test"),
    ("share-inference-too_firm", "1.5", "A share from 0 to 1"),
    ("share-inference-too_firm", "half", "A share from 0 to 1"),
    ("level-colour_missing", "", "A share from 0 to 1"),
    ("partial-event", "0", "must be more than 0"),
    ("rule-inference-carried", "sometimes", "valid choice"),
    ("title", "", "required"),
    ("why", "", "required"),
])
def test_what_no_mark_scheme_can_have_is_told_and_nothing_saved(field, value, words, ours, client):
    answer = save(client, ours, **{field: value})

    assert words in answer.content.decode()
    assert Own.objects.get().version == ours.version


def test_all_faults_are_told_at_once(ours):
    with pytest.raises(MarkSchemeError) as caught:
        change(ours, result={"cation": -1, "anion": 1}, rounding="up")

    assert len(caught.value.problems) == 2


def test_a_title_that_is_taken_is_refused(ours, cast):
    with pytest.raises(DoesNotWork, match="title of another mark scheme"):
        mark_scheme_copy(centre=cast.centre, who=cast.teacher, key="common", title="Ours", why="again")
    with pytest.raises(DoesNotWork, match="title of another mark scheme"):
        title = knowledge().mark_schemes["common"]["title"]
        mark_scheme_copy(centre=cast.centre, who=cast.teacher, key="common", title=title, why="again")


def test_every_version_is_in_the_trail(ours):
    change(ours, result={"cation": 8, "anion": 8})

    detail = AuditEntry.objects.get(what="own entry changed").detail
    assert (detail["before"]["marking"]["result"], detail["after"]["marking"]["result"]) == (
        {"cation": 4, "anion": 4}, {"cation": 8, "anion": 8})
    assert detail["version"] == 2


def test_a_save_from_an_older_page_shows_both_versions(ours, client):
    data = sent(ours, title="From the older page")
    change(ours, title="Meanwhile")
    answer = client.post(reverse("mark-schemes:change", args=[ours.pk]), data)

    assert answer.status_code == 409
    assert "Meanwhile" in answer.content.decode()
    assert "From the older page" in answer.content.decode()
    with pytest.raises(ChangedMeanwhile):
        change(ours, title="Again")


def test_a_mark_scheme_of_an_exam_that_is_being_marked_is_not_changed_under_it(ours, cast):
    exam = exams.sat_exam(cast.centre)
    Exam.objects.filter(pk=exam.pk).update(mark_scheme=ours.key)

    with pytest.raises(Refused, match="Copy it, change the copy"):
        change(ours, result={"cation": 8, "anion": 8})
    with pytest.raises(Refused, match="Still needed by"):
        own_withdraw(entry=ours, who=cast.teacher, version=ours.version, reason="no longer used")


def test_a_mark_scheme_of_ours_can_be_chosen_for_an_exam_and_withdrawn(ours, cast, client):
    assert "Ours" in client.get(reverse("planning:new")).content.decode()

    own_withdraw(entry=ours, who=cast.teacher, version=ours.version, reason="no longer used")
    assert "Ours" not in client.get(reverse("planning:new")).content.decode()


def test_another_school_has_nothing_of_it(ours, cast, client):
    client.force_login(cast.stranger, backend="django.contrib.auth.backends.ModelBackend")

    assert ours.key not in knowledge(cast.elsewhere).mark_schemes
    assert client.get(reverse("mark-schemes:change", args=[ours.pk])).status_code == 404


def test_the_list_of_what_is_ours_leads_to_it(ours, client):
    page = client.get(reverse("own:index")).content.decode()
    assert "Ours" in page

    assert client.get(reverse("own:change", args=[ours.pk]))["Location"] == reverse("mark-schemes:change", args=[ours.pk])


def test_a_copy_is_made_in_the_browser(cast, client):
    answer = client.post(reverse("mark-schemes:copy"), {"marking": "common", "title": "Ours", "why": "agreed"}, follow=True)

    assert "Copied." in answer.content.decode()
    again = client.post(reverse("mark-schemes:copy"), {"marking": "common", "title": "Ours", "why": "agreed"})
    assert "title of another mark scheme" in again.content.decode()
    assert completed(Own.objects.get().data["marking"])["title"] == "Ours"
