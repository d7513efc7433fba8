"""The stock room's pages through the test client."""

import re

import pytest
from django.urls import reverse

from examkit.models import Preparation, ShelfItem
from examkit.stockroom.selectors import stock_list
from examkit.stockroom.services import shelf_add, tick
from examkit.stockroom.trays import room_trays
from examkit.stockroom.trials.selectors import trial_row
from examkit.stockroom.trials.services import trial_open
from tests.stockroom.drawn import drawn_exam
from tests.stockroom.tried import bottle

pytestmark = pytest.mark.django_db
NICKEL = "salt:NiCl2.6H2O"
HTMX = {"HTTP_HX_REQUEST": "true"}


def url(name, exam, *more):
    return reverse(f"stockroom:{name}", args=[exam.pk, *more])


def test_the_lab_assistant_sees_salts_and_codes_and_no_names(exam, as_user, assistant):
    page = as_user(assistant).get(url("overview", exam)).content.decode()

    assert "nickel(II) chloride hexahydrate" in page
    assert exam.samples.first().code in page
    assert not any(c.name in page for c in exam.candidates.all())
    assert "risk assessment" in page


@pytest.mark.parametrize("name", ["overview", "benches", "shelf", "bottle-add"])
def test_examiners_and_other_schools_are_kept_out(exam, as_user, cast, name):
    assert as_user(cast.examiner).get(url(name, exam)).status_code == 403
    assert as_user(cast.stranger).get(url(name, exam)).status_code == 404


def test_a_tick_is_saved_without_a_page_load(exam, as_user, assistant):
    answer = as_user(assistant).post(url("tick", exam), {"item": NICKEL, "done": "yes", "version": 0}, **HTMX)

    assert "Lino Reed" in answer.content.decode()
    assert "<html" not in answer.content.decode()
    assert Preparation.objects.get(item=NICKEL).done


def test_without_scripts_a_tick_leads_back_to_the_list(exam, as_user, assistant):
    answer = as_user(assistant).post(url("tick", exam), {"item": NICKEL, "done": "yes", "version": 0})

    assert answer.url == url("overview", exam)


def test_a_stale_tick_shows_both_and_changes_nothing(exam, as_user, assistant, teacher):
    tick(exam=exam, who=teacher, item=NICKEL, done=True, version=0)
    answer = as_user(assistant).post(url("tick", exam), {"item": NICKEL, "done": "yes", "version": 0}, **HTMX)

    assert "Tilda Marsh set this" in answer.content.decode()
    assert Preparation.objects.get(item=NICKEL).version == 1


@pytest.mark.parametrize("version", ["", "one", "-1", "99999999999999999999"])
def test_a_version_that_is_no_number_is_stale(exam, as_user, assistant, version):
    data = {"item": NICKEL, "done": "yes", "version": version}
    answer = as_user(assistant).post(url("tick", exam), data, **HTMX)

    assert answer.status_code == 200
    assert "Look, then try again" in answer.content.decode()


def test_the_sign_off_that_comes_too_early_is_told_why(exam, as_user, assistant):
    page = as_user(assistant).post(url("sign-off", exam), follow=True).content.decode()

    assert "not done yet" in page


def test_a_bottle_is_added_changed_used_and_discarded(exam, as_user, assistant):
    client = as_user(assistant)
    client.post(url("bottle-add", exam), {"substance": "potassium bromide", "amount": "50"})
    jar = ShelfItem.objects.get()
    client.post(url("bottle-change", exam, jar.pk), {"amount": "40", "note": "new label", "was": 50_000})
    client.post(url("bottle-use", exam, jar.pk), {"amount": "15", "was": 40_000})
    jar.refresh_from_db()
    assert (jar.substance, jar.amount, jar.note) == ("KBr", 25_000, "new label")
    client.post(url("bottle-remove", exam, jar.pk))
    assert ShelfItem.objects.exists(), "discarded without a reason"
    client.post(url("bottle-remove", exam, jar.pk), {"why": "it was damp"})

    assert not ShelfItem.objects.exists()


def test_a_bottle_that_was_discarded_by_mistake_is_brought_back_from_the_page(exam, as_user, assistant, centre):
    client, jar = as_user(assistant), shelf_add(centre=centre, who=assistant, substance="KBr", amount=50)
    client.post(url("bottle-remove", exam, jar.pk), {"why": "it was damp"})
    gone = re.search(r'action="([^"]+/shelf/gone/\d+/)"', client.get(url("shelf", exam)).content.decode()).group(1)
    client.post(gone, {"why": ""})
    assert not ShelfItem.objects.exists()
    page = client.post(gone, {"why": "the wrong jar"}, follow=True).content.decode()

    assert ShelfItem.objects.get().amount == 50_000
    assert gone not in page


def test_a_test_is_set_back_to_not_tried_only_with_a_reason(exam, as_user, assistant):
    drawn = exam.samples.exclude(salt__contains=" + ").first()
    row = trial_open(exam=exam, who=assistant, salt=drawn.salt, bottle=bottle(exam, assistant, drawn.salt))
    test = trial_row(row).lines[0].test
    client, see = as_user(assistant), url("see", exam, row.pk, test)
    client.post(see, {"agrees": "yes", "version": "0"})
    client.post(see, {"agrees": "open", "version": "1"})
    assert row.lines.get().agrees is True
    client.post(see, {"agrees": "open", "version": "1", "why": "another bottle was tried"})

    assert row.lines.get().agrees is None


def test_an_unknown_substance_is_said_beside_the_field(exam, as_user, assistant):
    page = as_user(assistant).post(url("bottle-add", exam), {"substance": "<b>gold</b>", "amount": "1"})

    assert "has no &#x27;&lt;b&gt;gold&lt;/b&gt;&#x27;" in page.content.decode()


def test_a_bottle_that_changed_meanwhile_keeps_what_was_typed(exam, as_user, centre, assistant):
    jar = shelf_add(centre=centre, who=assistant, substance="KBr", amount=50)
    page = as_user(assistant).post(url("bottle-change", exam, jar.pk), {"amount": "33", "was": 60_000})

    assert "meanwhile" in page.content.decode()
    assert 'value="33"' in page.content.decode()


def test_a_bottle_of_another_school_is_not_found(exam, as_user, cast):
    foreign = shelf_add(centre=cast.elsewhere, who=cast.stranger, substance="KBr", amount=50)

    assert as_user(cast.assistant).get(url("bottle-change", exam, foreign.pk)).status_code == 404
    assert as_user(cast.assistant).post(url("bottle-use", exam, foreign.pk), {"amount": 1}).status_code == 404


def test_before_the_draw_the_page_says_what_is_missing(as_user, assistant, centre):
    draft = drawn_exam(centre, candidates=0, state="draft")

    assert "not drawn yet" in as_user(assistant).get(url("overview", draft)).content.decode()


def test_the_same_bottles_stand_on_every_bench(exam, as_user, assistant):
    page = as_user(assistant).get(url("benches", exam)).content.decode()

    assert "The same on every bench" in page
    assert "sodium hydroxide, 2 mol/L" in page
    assert "hydrogen sulfide" in page.split("In the fume cupboard")[1]


def test_each_room_has_its_trays_and_its_share_of_the_fume_cupboard(centre, as_user, assistant):
    exam = drawn_exam(centre, candidates=25, name="Two sittings")
    found = room_trays(exam, stock_list(exam))
    room, = found

    assert room.sittings == ("Sitting 1", "Sitting 2")
    assert room.candidates == 25 and len(room.trays) == 20
    assert sum(bool(code) for tray in room.trays for code in tray.codes) == 25
    page = as_user(assistant).get(url("benches", exam)).content.decode()
    assert all(code in page for code in exam.samples.values_list("code", flat=True))
    assert not any(c.name in page for c in exam.candidates.all())


def test_a_salt_has_a_page_whose_address_names_no_salt(exam, as_user, assistant):
    drawn = exam.expected.get(salt="NiCl2.6H2O")
    page = as_user(assistant).get(url("salt", exam, drawn.pk)).content.decode()

    assert url("salt", exam, drawn.pk) in as_user(assistant).get(url("overview", exam)).content.decode()
    assert "There is no bottle of it on the shelf" in page
    assert "A tube is right from 1.43 g to 1.57 g" in page


def test_a_bottle_is_tried_amended_and_its_tubes_weighed_on_the_pages(exam, as_user, assistant):
    client, drawn = as_user(assistant), exam.expected.get(salt="NiCl2.6H2O")
    jar = bottle(exam, assistant, "NiCl2.6H2O", lot="L 17")
    trial = client.post(url("try", exam, drawn.pk), {"bottle": jar.pk}).url
    row = exam.trials.get()
    assert trial == url("trial", exam, row.pk)
    answer = client.post(url("see", exam, row.pk, "naoh"), {"agrees": "no", "seen": "blue", "version": 0}, **HTMX)
    assert "It differs" in answer.content.decode() and "<html" not in answer.content.decode()

    place = url("amend", exam, row.pk, "naoh", "tube")
    form = client.get(place).context["form"]
    data = {name: field.initial or "" for name, field in form.fields.items()}
    data |= {"0-event": "precipitate", "0-colours": "blue", "why": "this lot holds cobalt"}
    data |= {name: ", ".join(value) for name, value in data.items() if isinstance(value, list)}
    assert client.post(place, data).url == trial
    assert row.amendments.get().seen[0]["colours"] == ["blue"]

    code = exam.samples.get(salt="NiCl2.6H2O").code
    sent = {"label": code, "trial": row.pk, "mass": "1,52", "version": 0}
    assert "1 of 2 tubes are filled" in client.post(url("fill", exam, drawn.pk), sent, **HTMX).content.decode()
    assert exam.tubes.get().mass_mg == 1520


@pytest.mark.parametrize(("mass", "words"), [
    ("1.7", "outside 1.43 to 1.57 g"), ("much", "is no mass in grams"), ("NaN", "is no mass"), ("-1", "outside")])
def test_a_mass_that_is_not_right_is_refused_and_stays_in_the_field(exam, as_user, assistant, mass, words):
    drawn = exam.expected.get(salt="NiCl2.6H2O")
    row = trial_open(exam=exam, who=assistant, salt=drawn.salt, bottle=bottle(exam, assistant, drawn.salt))
    sent = {"label": exam.samples.get(salt=drawn.salt).code, "trial": row.pk, "mass": mass, "version": 0}
    answer = as_user(assistant).post(url("fill", exam, drawn.pk), sent, **HTMX).content.decode()

    assert words in answer and f'value="{mass}"' in answer
    assert not exam.tubes.exists()


def test_a_tube_is_emptied_with_a_reason(exam, as_user, assistant):
    drawn = exam.expected.get(salt="NiCl2.6H2O")
    row = trial_open(exam=exam, who=assistant, salt=drawn.salt, bottle=bottle(exam, assistant, drawn.salt))
    client, sent = as_user(assistant), {"label": "spare 1", "why": "spilt on the way"}
    client.post(url("fill-rest", exam, drawn.pk), {"trial": row.pk})
    assert exam.tubes.count() == 2
    assert "reason" in client.post(url("empty", exam, drawn.pk), {"label": "spare 1"}, follow=True).content.decode()
    client.post(url("empty", exam, drawn.pk), sent)

    assert exam.tubes.count() == 1


def test_a_bottle_is_set_aside_and_used_again_on_the_shelf(exam, as_user, assistant):
    jar = bottle(exam, assistant, "NiCl2.6H2O")
    client = as_user(assistant)
    client.post(url("set-aside", exam, jar.pk), {"why": "lumps in it"})
    jar.refresh_from_db()
    assert jar.set_aside == "lumps in it"
    assert "order" in {r.need.salt: r for r in stock_list(exam).salts}["NiCl2.6H2O"].source[0]
    client.post(url("set-aside", exam, jar.pk), {"why": "sieved and dried", "again": "1"})
    jar.refresh_from_db()
    assert jar.set_aside == ""


def test_the_list_is_read_in_a_number_of_queries_that_does_not_grow(
        centre, as_user, assistant, django_assert_max_num_queries):
    few, many = drawn_exam(centre, candidates=12, name="Few"), drawn_exam(centre, candidates=60, name="Many")
    for exam in (few, many):
        as_user(assistant).get(url("overview", exam))
        with django_assert_max_num_queries(45):
            as_user(assistant).get(url("overview", exam))


def test_a_salt_that_is_a_reagent_too_says_its_parts_and_their_sum_on_both_lines(exam):
    stock = stock_list(exam)
    salt = next(row for row in stock.salts if row.need.salt == "NH4Cl")
    reagent = next(row for row in stock.reagents if row.key == "ammonium-chloride")
    parts = re.search(r"([\d.]+)\s*g in tubes \+ ([\d.]+)\s*g as a reagent of the tests, ([\d.]+)\s*g in all",
                      salt.source[0])

    tubes, tests, whole = (float(number) for number in parts.groups())

    assert tubes == float(salt.need.total_g) and tests == float(reagent.need.total.value)
    assert whole == pytest.approx(tubes + tests) == pytest.approx(float(reagent.line.need.value))
    assert reagent.source == salt.source  # and one order for the jar


def test_a_salt_for_the_tubes_alone_has_no_sum(exam):
    salt = next(row for row in stock_list(exam).salts if row.need.salt == "NiCl2.6H2O")

    assert not any("in all" in text for text in salt.source)


def test_the_form_for_a_missing_bottle_knows_the_salt(exam, as_user, assistant):
    client, drawn = as_user(assistant), exam.expected.get(salt="NiCl2.6H2O")
    page = client.get(url("salt", exam, drawn.pk)).content.decode()

    assert f'{url("bottle-add", exam)}?substance=NiCl2.6H2O' in page
    assert 'value="NiCl2.6H2O"' in client.get(url("bottle-add", exam), {"substance": "NiCl2.6H2O"}).content.decode()


def test_waste_of_which_there_is_hardly_any_is_not_0_mL(centre, as_user, assistant):
    exam = drawn_exam(centre, candidates=12, name="All salts")
    page = as_user(assistant).get(url("overview", exam)).content.decode()

    assert ">0\u00a0mL<br>" not in page
    assert ("hardly any" in page) == any(not each.volume for each, _tick in stock_list(exam).waste)
