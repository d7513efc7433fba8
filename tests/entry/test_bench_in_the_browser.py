"""The bench page in a real Chromium: typing, a dropped network, reloads, a login that ends, no JavaScript."""

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone

from examkit.models import AuditEntry
from grading.entry.bench.services import sitting_close
from grading.models import BenchCode, BenchRules, Record, RecordLine
from tests.entry.sat import slips_of
from tests.marking.exams import sample_of

SAVED, KEPT = "Everything that you wrote is saved.", "kept in this browser, not sent yet"
LINES = "**/bench/line/**"
WATCHED = """async () => {
    const workers = navigator.serviceWorker, taken = new Promise((done) => { workers.oncontrollerchange = done; });
    if (!workers.controller) await taken;
    return true;
}"""


@pytest.fixture
def bench(exam, teacher, sample, open_page):
    """A browser that has come in by the door: `bench(number)`, `bench(number, color_scheme="dark")`."""
    slips = slips_of(exam, teacher)

    def come_in(number="0071", code=None, page=None, **options):
        own = sample_of(exam, number).code
        page = page or open_page(**{"service_workers": "block"} | options)  # else routes are not seen
        page.goto("/bench/sign-in/")
        page.fill("#id_sample", own.lower())
        page.fill("#id_password", code or slips[own])
        page.keyboard.press("Enter")
        page.get_by_text("You can write until").wait_for()
        return page
    return come_in


def new_code(exam, teacher, sample):
    """The invigilator gives out a new code; whoever came in by the old one is out."""
    BenchCode.objects.filter(sample=sample).update(ended_at=timezone.now())
    return slips_of(exam, teacher)[sample.code]


def write(page, words, test="naoh", part="observation"):
    page.fill(f"[name={test}-{part}]", words)


def said(page, words):
    """Wait until the page says this about all lines."""
    page.locator("#state", has_text=words).wait_for(timeout=25_000)


def text(page, test="naoh"):
    return page.input_value(f"[name={test}-observation]")


def kept(page):
    """The names under which the browser keeps something."""
    return page.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('examkit bench'))")


def stored(test="naoh"):
    found = RecordLine.objects.filter(test=test).first()
    return found and found.observation


def test_a_line_is_saved_while_it_is_typed_without_leaving_it(bench):
    page = bench()
    page.focus("[name=naoh-observation]")
    page.keyboard.type("pale green ppt")
    said(page, SAVED)
    page.locator("#line-naoh .saved").wait_for()

    assert stored() == "pale green ppt"
    assert kept(page) == []


def test_the_whole_record_is_written_by_keyboard_alone_and_handed_in(bench):
    page = bench()
    page.focus("[name=appearance-observation]")
    page.keyboard.type("green crystals")
    page.keyboard.press("Tab")
    page.keyboard.type("Ni2+ or Cu2+")
    page.focus("#result-cation")
    page.keyboard.type("Ni2+")
    page.keyboard.press("Tab")
    page.keyboard.type("chloride")
    said(page, SAVED)
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.get_by_text("Once it is handed in you cannot change it any more.").wait_for()
    page.get_by_role("button", name="Hand in").focus()
    page.keyboard.press("Enter")
    page.get_by_text("is handed in").wait_for()

    record = Record.objects.get()
    assert (record.cation, record.anion, stored("appearance")) == ("Ni2+", "chloride", "green crystals")
    page.goto("/bench/")
    assert page.url.endswith("/bench/sign-in/")


def test_a_reload_shows_what_was_written(bench):
    page = bench()
    write(page, "pale green ppt")
    said(page, SAVED)
    page.reload()

    assert text(page) == "pale green ppt"
    said(page, SAVED)


def test_words_typed_before_the_script_has_come_are_saved_too(bench):
    page = bench()
    waiting = []
    page.route("**/bench.js", lambda route: waiting.append(route))
    page.goto("/bench/", wait_until="commit")
    page.fill("[name=naoh-observation]", "typed early")
    page.wait_for_timeout(300)
    waiting[0].continue_()
    page.locator("#line-naoh .saved").wait_for()

    assert (text(page), stored()) == ("typed early", "typed early")


def test_a_reload_in_the_middle_of_a_word_loses_nothing(bench):
    page = bench()
    page.route(LINES, lambda route: route.abort())
    page.focus("[name=naoh-observation]")
    page.keyboard.type("pale gre")
    page.reload()
    assert text(page) == "pale gre"

    page.unroute(LINES)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    said(page, SAVED)
    assert stored() == "pale gre"


def test_without_a_network_the_browser_keeps_all_lines_and_sends_them_when_it_is_back(bench):
    page = bench()
    page.context.set_offline(True)
    write(page, "pale green ppt")
    write(page, "no distinct colour", "flame")
    write(page, "Ni2+", "naoh", "inference")
    said(page, "No network. 2 lines are kept in this browser")
    page.locator("#line-naoh", has_text=KEPT).wait_for()
    assert stored() is None

    page.context.set_offline(False)
    said(page, SAVED)

    assert (stored(), stored("flame")) == ("pale green ppt", "no distinct colour")
    assert RecordLine.objects.get(test="naoh").inference == "Ni2+"
    assert kept(page) == []


def test_words_typed_without_a_network_survive_a_closed_page(bench):
    page = bench()
    page.context.set_offline(True)
    write(page, "pale green ppt")
    said(page, "No network. One line is kept")
    other = page.context.new_page()
    page.close()
    other.context.set_offline(False)
    other.goto("/bench/")
    said(other, SAVED)

    assert text(other) == stored() == "pale green ppt"


def test_a_reload_without_a_network_says_so_and_the_record_comes_back_by_itself(bench):
    page = bench(service_workers="allow")
    page.evaluate(WATCHED)
    page.context.set_offline(True)
    write(page, "pale green ppt")
    said(page, "No network. One line is kept")
    page.reload()
    page.get_by_text("No network at the moment").wait_for()

    page.context.set_offline(False)
    page.get_by_text("You can write until").wait_for(timeout=25_000)
    said(page, SAVED)
    assert text(page) == stored() == "pale green ppt"


def test_what_the_browser_keeps_for_a_reload_holds_nothing_of_a_record(bench, sample):
    page = bench(service_workers="allow")
    page.evaluate(WATCHED)
    write(page, "pale green ppt")
    said(page, SAVED)
    kept_there = page.evaluate("""async () => {
        const cache = await caches.open("examkit-bench"), texts = [];
        for (const request of await cache.keys()) texts.push(request.url, await (await cache.match(request)).text());
        return texts.join(" ");
    }""")

    assert "No network at the moment" in kept_there
    assert sample.code not in kept_there
    assert "pale green" not in kept_there


def test_an_answer_that_was_lost_is_no_conflict_with_oneself(bench):
    page = bench()
    lost = []

    def lose(route):
        route.fetch()  # the server saves, and the browser never hears of it
        lost.append(route)
        route.abort()

    page.route(LINES, lose)
    page.focus("[name=naoh-observation]")
    page.keyboard.type("pale green ppt")
    said(page, "No network. One line is kept")
    page.keyboard.type(", insoluble")
    page.unroute(LINES)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    said(page, SAVED)

    assert lost
    assert stored() == "pale green ppt, insoluble"
    assert page.locator(".elsewhere").count() == 0


def test_a_server_that_stumbles_is_tried_again(bench):
    page = bench()
    page.route(LINES, lambda route: route.fulfill(status=502, body="bad gateway"))
    write(page, "pale green ppt")
    said(page, "No network. One line is kept")
    page.unroute(LINES)
    said(page, SAVED)  # by itself, after a pause

    assert stored() == "pale green ppt"


def test_a_login_that_ends_loses_nothing(bench, exam, teacher, sample):
    page = bench()
    write(page, "white")
    said(page, SAVED)
    Session.objects.all().delete()
    write(page, "pale green ppt")
    said(page, "Your access has ended.")
    page.get_by_role("link", name="Enter the new code").click()
    bench(page=page, code=new_code(exam, teacher, sample))
    said(page, SAVED)

    assert text(page) == stored() == "pale green ppt"
    assert kept(page) == []


def test_a_new_code_on_another_device_goes_on_where_the_first_stopped(bench, exam, teacher, sample):
    page = bench()
    write(page, "pale green ppt")
    said(page, SAVED)
    other = bench(code=new_code(exam, teacher, sample))

    assert text(other) == "pale green ppt"
    write(page, "from the first device")
    said(page, "has given out a new code")
    assert stored() == "pale green ppt"
    assert page.locator("[name=naoh-observation]").get_attribute("readonly") is not None

    page.get_by_role("link", name="Enter the new code").click()
    bench(page=page, code=new_code(exam, teacher, sample))
    said(page, SAVED)
    assert stored() == "from the first device"


def test_what_one_candidate_typed_is_never_shown_to_the_next_on_the_same_device(bench):
    page = bench("0071")
    page.route(LINES, lambda route: route.abort())
    write(page, "words of the first")
    said(page, "No network. One line is kept")
    page.unroute(LINES)
    page.route(LINES, lambda route: route.abort())
    bench("0072", page=page)

    assert text(page) == ""
    assert "words of the first" not in page.content()
    assert kept(page) != []  # and they are still there, should the first come back


def test_lines_that_came_too_late_are_kept_and_shown(bench, sitting, teacher):
    page = bench()
    page.context.set_offline(True)
    write(page, "in the last second")
    said(page, "No network. One line is kept")
    sitting_close(sitting=sitting, who=teacher)
    page.context.set_offline(False)
    said(page, "The lines marked below were not sent in time.")
    assert stored() is None

    page.reload()
    page.get_by_text("Nothing can be written here now").wait_for()
    assert page.get_by_text("in the last second").is_visible()


def test_two_windows_on_one_record_show_both_versions(bench):
    page = bench()
    other = page.context.new_page()
    other.goto("/bench/")
    write(page, "white")
    said(page, SAVED)
    write(other, "blue")
    other.locator(".elsewhere", has_text="white").wait_for()
    assert text(other) == "blue"
    assert stored() == "white"

    other.get_by_role("button", name="Keep what stands here").click()
    said(other, SAVED)
    assert stored() == "blue"
    assert ["white", "blue"] in [entry.detail.get("observation") for entry in AuditEntry.objects.all()]


def test_the_other_windows_words_can_be_taken(bench):
    page = bench()
    other = page.context.new_page()
    other.goto("/bench/")
    write(page, "white")
    said(page, SAVED)
    write(other, "blue")
    other.get_by_role("button", name="Take that instead").click()
    said(other, SAVED)

    assert text(other) == stored() == "white"


def test_handing_in_waits_until_everything_is_saved(bench):
    page = bench()
    page.context.set_offline(True)
    write(page, "pale green ppt")
    page.get_by_role("button", name="Look through and hand in").click()
    said(page, "it cannot be handed in now")

    page.context.set_offline(False)
    said(page, SAVED)
    page.get_by_role("button", name="Look through and hand in").click()
    page.get_by_text("Once it is handed in").wait_for()
    assert stored() == "pale green ppt"


def test_a_refused_line_says_why_and_is_tried_again_once_it_is_changed(bench):
    page = bench()
    page.evaluate("document.querySelector('[name=naoh-observation]').removeAttribute('maxlength')")
    write(page, "w" * 5001)
    page.locator("#line-naoh .problem", has_text="5000").wait_for()

    write(page, "w")
    said(page, SAVED)
    assert stored() == "w"


def test_an_outcome_is_chosen_by_its_number(bench, exam):
    BenchRules.objects.create(exam=exam, choices=True)
    page = bench()
    page.focus("[name=flame-choice]")
    number = page.locator("[name=flame-choice] option", has_text="golden yellow flame").inner_text().split()[0]
    page.keyboard.type(number)
    page.keyboard.press("Tab")
    page.keyboard.type("strong")
    said(page, SAVED)

    assert stored("flame") == "golden yellow flame; strong"
    page.reload()
    assert "golden yellow flame" in page.locator("[name=flame-choice] option:checked").inner_text()
    assert text(page, "flame") == "strong"


def test_choices_made_without_a_network_survive_a_reload(bench, exam):
    BenchRules.objects.create(exam=exam, choices=True)
    page = bench()
    page.route(LINES, lambda route: route.abort())
    page.select_option("[name=flame-choice]", index=3)
    chosen = page.input_value("[name=flame-choice]")
    said(page, "No network. One line is kept")
    page.reload()

    assert page.input_value("[name=flame-choice]") == chosen
    page.unroute(LINES)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    said(page, SAVED)
    assert RecordLine.objects.get(test="flame").chosen[0]["key"] == chosen


def test_without_javascript_the_form_saves_and_hands_in(bench):
    page = bench(java_script_enabled=False)
    write(page, "pale green ppt")
    page.get_by_role("button", name="Save all").click()
    page.get_by_text("Everything that you wrote is saved.").wait_for()
    assert stored() == "pale green ppt"

    page.get_by_role("button", name="Look through and hand in").click()
    page.get_by_role("button", name="Hand in").click()
    page.get_by_text("is handed in").wait_for()


def test_without_javascript_words_survive_an_access_that_ended(bench, exam, teacher, sample):
    page = bench(java_script_enabled=False)
    write(page, "typed late")
    Session.objects.all().delete()
    page.get_by_role("button", name="Save all").click()
    page.get_by_text("Ask the invigilator for a new one-time code").wait_for()
    page.fill("#id_sample", sample.code)
    page.fill("#id_password", new_code(exam, teacher, sample))
    page.get_by_role("button", name="Open my record").click()
    page.get_by_role("button", name="Send").click()
    page.get_by_text("Everything that you wrote is saved.").wait_for()

    assert stored() == "typed late"


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_the_pages_at_the_bench_have_no_barriers(bench, exam, teacher, open_page, no_barriers, look, width):
    BenchRules.objects.create(exam=exam, choices=True)
    size = {"color_scheme": look, "viewport": {"width": width, "height": 800}}
    page = bench(**size)
    no_barriers(page)
    write(page, "pale green ppt")
    said(page, SAVED)
    no_barriers(page)
    page.get_by_role("button", name="Look through and hand in").click()
    page.get_by_text("Once it is handed in").wait_for()
    no_barriers(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for path in ("/bench/sign-in/", "/bench/offline/"):
        page.goto(path)
        no_barriers(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    desk = open_page(teacher, **size)
    desk.goto(f"/exams/{exam.pk}/bench/")
    no_barriers(desk)
    assert desk.evaluate("document.documentElement.scrollWidth") <= width
    BenchCode.objects.update(ended_at=timezone.now())
    page.goto("/bench/")
    page.get_by_text("Nothing can be written here now").wait_for()
    no_barriers(page)
    desk.get_by_role("button", name="Give out codes").click()
    desk.locator(".slips").wait_for()
    no_barriers(desk)
    assert desk.evaluate("document.documentElement.scrollWidth") <= width


def test_the_teacher_gives_out_codes_and_a_candidate_comes_in_by_one(exam, teacher, open_page, sample):
    desk = open_page(teacher)
    desk.goto(f"/exams/{exam.pk}/bench/")
    desk.get_by_role("button", name="Give out codes").click()
    slip = desk.locator(".slips li", has_text=f"{sample.code[:3]} {sample.code[3:]}")
    code = slip.locator(".one-time").inner_text()
    page = open_page(viewport={"width": 360, "height": 740})
    page.goto("/bench/")
    page.fill("#id_sample", sample.code)
    page.fill("#id_password", code)
    page.get_by_role("button", name="Open my record").click()
    page.get_by_text("You can write until").wait_for()
    write(page, "pale green ppt")
    said(page, SAVED)

    desk.get_by_role("link", name="Back to the sittings").click()
    row = desk.locator("tr", has_text=f"{sample.code[:3]} {sample.code[3:]}")
    assert "writing" in row.inner_text()
    desk.get_by_text("Close the bench page for this sitting").click()
    desk.get_by_role("button", name="Close it for Morning").click()
    desk.get_by_text("The bench page is closed").wait_for()
    write(page, "too late")
    said(page, "The invigilator has closed this page")


def test_the_door_tells_how_far_everybody_is_by_itself_and_keeps_the_place(bench, exam, invigilator, open_page, sample):
    door = open_page(invigilator, viewport={"width": 360, "height": 740})
    door.clock.install()
    door.goto(f"/exams/{exam.pk}/bench/")
    door.fill("[name$=until]", "2099-01-01T10:00")
    door.focus(f"#new-{sample.code}")
    page = bench()
    write(page, "pale green ppt")
    said(page, SAVED)
    door.clock.fast_forward(21_000)
    door.locator("tr", has_text=f"{sample.code[:3]} {sample.code[3:]}").get_by_text("1 line").wait_for()

    assert door.evaluate("document.activeElement.id") == f"new-{sample.code}"
    assert door.input_value("[name$=until]") == "2099-01-01T10:00", "what was typed is left alone"
    assert door.locator(f"#new-{sample.code}").bounding_box()["x"] < 340, "nothing is out of sight"


def test_the_cursor_goes_to_the_code_that_holds_a_slip(open_page, sample):
    page = open_page()
    page.goto("/bench/sign-in/")
    page.fill("#id_sample", sample.code)
    page.fill("#id_password", "K7H4P")
    page.keyboard.press("Enter")
    page.get_by_text("holds a slip").wait_for()

    assert page.evaluate("document.activeElement.id") == "id_password"
