"""Lesson 06 in a real JupyterLab, by a learner who only clicks, or only uses keys; and what may go wrong on the way."""

import os
import re
import signal
import statistics
import time
from contextlib import contextmanager
from itertools import count
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import expect
from workshop import (
    BUTTON,
    COURSE,
    JOB,
    PATIENCE,
    PRACTICE,
    Seat,
    answered,
    hand_back,
    lamp,
    move,
    pick_part,
    press,
    turn_to,
)

from kit.exercises.progress import starters
from kit.records import read_record

pytestmark = pytest.mark.browser

LESSON = "06-main-feed.ipynb"
NAMES = (f"wren-{n}" for n in count(1))
CELLS = [cell.source for cell in nbformat.read(Path(__file__).parents[2] / "lessons" / LESSON, as_version=4).cells]
ASKED = sum(bool(re.search(r"^kit\.(ask|bay|job)\(", source, re.M)) for source in CELLS)
BEGUN = sum("kit.starters(" in source for source in CELLS)
# A cell a widget, but for the starter questions, which are several.
WIDGETS = ASKED + BEGUN * len(starters("06", COURSE, "wren"))


@contextmanager
def seated(chromium, lab):
    """A learner of a new name at a page of their own; kernels of earlier tests are ended, the lessons as they were."""
    lab.fresh()
    for session in lab.ask("api/sessions"):
        lab.ask(f"api/sessions/{session['id']}", "DELETE")
    learner = next(NAMES)
    lab.records.mkdir(exist_ok=True)
    (lab.records / "learner.txt").write_text(learner + "\n", encoding="utf-8")
    page = chromium.new_page(viewport={"width": 1300, "height": 1000})
    found = Seat(page=page, learner=learner, lab=lab)
    found.listen()
    try:
        yield found
    finally:
        page.close()
    outside = [url for url in found.asked_for if not re.match(rf"(data:|blob:|{re.escape(lab.address)}/)", url)]
    assert found.asked_for and outside == []
    assert found.went_wrong == []


def opened(seat):
    """Lesson 06 with its workshop open."""
    seat.open(LESSON)
    # A press before that may be lost; the first test presses at once, as somebody in a hurry would.
    expect(seat.shown.locator('.jp-Notebook-ExecutionIndicator[data-status="idle"]')).to_be_visible(timeout=PATIENCE)
    start = time.monotonic()
    seat.press_the_button()
    expect(seat.page.locator(".kit-bay[data-number]").first).to_be_attached(timeout=PATIENCE)
    first = time.monotonic() - start
    expect(seat.page.locator(".kit-bay[data-number]")).to_have_count(WIDGETS, timeout=PATIENCE)
    print(f"\nRun All to the first usable widget {first:.1f} s, to all {WIDGETS} of the lesson "
          f"{time.monotonic() - start:.1f} s")
    return seat


@pytest.fixture
def seat(chromium, lab):
    """A learner at an empty page."""
    with seated(chromium, lab) as found:
        yield found


@pytest.fixture
def lesson(seat):
    """A learner at lesson 06."""
    return opened(seat)


@pytest.fixture(scope="module")
def one_lesson(chromium, lab):
    """A learner at lesson 06, for the tests at the end of this file that need no fresh one."""
    with seated(chromium, lab) as found:
        yield opened(found)


def test_the_lesson_from_the_start_page_to_the_end_by_mouse_alone(seat):
    page = seat.page
    seat.open("start-here.ipynb")
    expect(page.locator(".kit-ready")).to_have_count(0)
    expect(page.get_by_text("Not ready yet")).to_be_visible()
    seat.press_the_button()
    page.get_by_role("link", name="06 The main feed").click()
    expect(seat.shown.locator("h1")).to_contain_text("06 The main feed", timeout=PATIENCE)
    seat.press_the_button()
    # Running everything must not throw the learner to the end of the page.
    page.wait_for_timeout(1000)
    expect(seat.shown.locator(".kit-ready")).to_be_in_viewport()

    choose_wrong_then_right(seat)
    predict(seat, "06.2")
    walk_the_sound_feed(seat)
    type_by_clicking(seat, "06.3", first="0V")
    predict(seat, "06.4", wrong=1)
    type_by_clicking(seat, "06.5")
    choose(seat, "06.6", seat.truth("06.6"))
    expect(seat.sheet("06.6")).to_contain_text("4 of 4 points")

    before = len(seat.received)
    do_the_job(seat)
    hidden = [fault for fault in seat.truth("06.7") if "shorted" in fault]
    assert len(hidden) == 1 and before < len(seat.received)
    job = seat.bay(JOB)
    told = [frame for frame in seat.received if hidden[0].encode() in frame]
    assert told == [], "the browser was told the fault before the machine was handed back"
    hand_back(job)
    expect(job.locator(".kit-points")).to_have_text("100 of 100 points. Passed.", timeout=PATIENCE)
    # The search above can find it: now it has been told.
    assert [frame for frame in seat.received if hidden[0].encode() in frame]
    expect(job.get_by_role("heading", name="How the job was done")).to_be_focused()


def choose(seat, question_id, option):
    sheet = seat.sheet(question_id)
    sheet.locator(f'input[value="{seat.letters(question_id)[option]}"]').click()
    press(sheet, "Check my answer")


def choose_wrong_then_right(seat):
    right = seat.truth("06.1")
    sheet = seat.sheet("06.1")
    choose(seat, "06.1", next(option for option in seat.letters("06.1") if option != right))
    expect(sheet).to_contain_text("0 of 4 points")
    reason = sheet.locator(".kit-saying").inner_text()
    assert len(reason.split()) > 15 and "Tried on the machine" in reason
    choose(seat, "06.1", right)
    expect(sheet).to_contain_text("4 of 4 points, answer 2")


def predict(seat, question_id, wrong=0):
    """Fill the table; the first ``wrong`` cells are filled wrongly."""
    sheet = seat.sheet(question_id)
    for point, row in seat.truth(question_id).items():
        for column, word in zip(("key off", "key on"), row, strict=True):
            if wrong > 0:
                word, wrong = ("out" if word != "out" else "bright"), wrong - 1
            cell = sheet.get_by_role("radiogroup", name=f"{point}, {column}")
            cell.get_by_role("radio", name=word, exact=True).click()
    off = sheet.locator(".kit-cell-off")
    expect(off).to_have_count(0)
    press(sheet, "Lock my prediction")
    expect(sheet.get_by_role("button", name="Locked")).to_be_visible()
    cells = 2 * len(seat.truth(question_id))
    points = re.search(r"(\d+) of (\d+) points", sheet.inner_text())
    assert int(points[2]) == cells and (int(points[1]) == cells) == (off.count() == 0)
    assert len(sheet.locator(".kit-saying").inner_text().split()) > 10


def type_by_clicking(seat, question_id, first=""):
    sheet = seat.sheet(question_id)

    def answer(text):
        field = sheet.get_by_role("textbox")
        while field.input_value():
            sheet.get_by_role("button", name="take the last one back").click()
        for key in text:
            name = {"-": "minus or plus", ".": "point"}.get(key, key)
            sheet.get_by_role("button", name=name, exact=True).click()
        press(sheet, "Check my answer")

    if first:
        answer(first)
        expect(sheet).to_contain_text("0 of 4 points")
        assert len(sheet.locator(".kit-saying").inner_text().split()) > 15
    answer(f"{seat.truth(question_id):.2f}V")
    expect(sheet).to_contain_text("4 of 4 points")


def walk_the_sound_feed(seat):
    bay = seat.bay(PRACTICE)
    for point in ("G1.+", "X1.clamp", "F1.1", "F1.2", "S1.1"):
        assert lamp(bay, "G1.-", point) == "bright"
        expect(bay.locator(".kit-bubble")).to_have_text("bright")
    bay.get_by_role("button", name="Take the leads off").click()
    expect(bay.locator(".kit-shows")).to_have_text("—")


def do_the_job(seat):
    """All of it but the handing back."""
    job = seat.bay(JOB)
    short = next(fault for fault in seat.truth("06.7") if "shorted" in fault)
    wire, stage = short.split(" ")[0], "key feed" if short.startswith("W3") else "main feed"
    turn_to(job, "2 Prepare safely")
    for box in job.locator(".kit-card").first.get_by_role("checkbox").all():
        with answered(job):
            box.click()
    assert lamp(job, "G1.-", "G1.+") == "bright"
    move(job, "key", "on")
    expect(job.locator(".kit-noticed")).to_contain_text("Nothing lights")
    assert lamp(job, "G1.-", "F1.1") == "bright"
    assert lamp(job, "G1.-", "F1.2") == "out"
    pick_part(job, "main feed", "F1")
    press(job, "Look closely")
    expect(job.locator(".kit-said")).to_contain_text("melted")
    move(job, "key", "off")
    for part in ("F2", "F3"):
        pick_part(job, "key feed", part)
        press(job, "Take it out")
    pick_part(job, "main feed", "F1")
    press(job, "Take it out")
    reading = lamp(job, "F1.2", "F1.1")
    assert reading == ("bright" if wire == "W2" else "out")
    move(job, "key", "on")
    expect(job.locator(".kit-shows")).to_have_text("bright")
    move(job, "key", "off")
    pick_part(job, stage, wire)
    press(job, "Look closely")
    expect(job.locator(".kit-said")).to_contain_text("bare copper")
    for row in job.locator(".kit-sheet tbody tr").all():
        row.get_by_role("checkbox").check()
    state(job, "What is wrong", "F1", "blown", "State the fault")
    state(job, "What made it happen", wire, "shorted to ground", "State the cause")
    press(job, "Mend or renew it")
    pick_part(job, "main feed", "F1")
    job.get_by_role("button", name=re.compile("Fit a new 30 A")).click()
    for part in ("F2", "F3"):
        pick_part(job, "key feed", part)
        press(job, "Put it back")
    move(job, "key", "on")
    expect(job.locator(".kit-noticed")).to_contain_text("head lamp")
    move(job, "gear", "first")
    move(job, "start button", "pressed")
    for control, position in (("start button", "released"), ("gear", "neutral"), ("key", "off")):
        move(job, control, position)
    job.get_by_role("button", name="main feed", exact=True).click()
    assert lamp(job, "G1.-", "G1.+") == "bright"
    turn_to(job, "10 Verify")
    press(job, "Verified: the owner's complaint is gone")


def state(job, title, part, fault, button):
    # The lists are the system's own: a mouse opens them, but no driver can click in them.
    job.get_by_label(f"{title}: part").select_option(part)
    job.get_by_label(f"{title}: fault").select_option(fault)
    press(job, button)
    expect(job).to_contain_text(f"Stated: {part} {fault}.")


def test_keys_alone_measure_and_never_reach_the_notebook(lesson):
    page, shown, bay = lesson.page, lesson.shown, lesson.bay(PRACTICE)
    cells = shown.locator(".jp-Notebook .jp-Cell").count()
    code = shown.locator(".jp-Notebook .jp-InputArea-editor").all_inner_texts()
    bay.get_by_role("button", name="grounds", exact=True).focus()
    page.keyboard.press("Tab")
    # The arrows follow the wire: down to battery minus, up again, and along the feed.
    page.keyboard.press("Home")
    assert focused(page) == "G1.+"
    page.keyboard.press("ArrowDown")
    assert focused(page) == "G1.-"
    page.keyboard.press("Enter")
    walk(page, "ArrowUp", "G1.+")
    walk(page, "ArrowRight", "X1.clamp", "F1.1", "F1.2")
    with answered(bay):
        page.keyboard.press("Enter")
    expect(bay.locator(".kit-shows")).to_have_text("bright")
    # Told once to those who listen, with the instrument's name.
    expect(bay.get_by_role("status")).to_have_text("test lamp: bright.")
    assert focused(page) == "F1.2", "the focus was lost when the view was painted"
    play_the_notebooks_keys(page)
    page.keyboard.press("Escape")
    assert "kit-lead" in page.evaluate("document.activeElement.className")
    play_the_notebooks_keys(page)
    on = bay.get_by_role("group", name="key", exact=True).get_by_role("button", name="on", exact=True)
    on.focus()
    with answered(bay):
        page.keyboard.press("Space")
    expect(on).to_be_focused()
    play_the_notebooks_keys(page)
    # A click beside everything, and one on a part, leave the keys inside as well.
    for target in (bay.locator(".kit-about"), bay.locator('[data-target="F1"]')):
        target.click()
        play_the_notebooks_keys(page)
    play_in_other_places(lesson)
    assert shown.locator(".jp-Notebook .jp-Cell").count() == cells
    assert shown.locator(".jp-Notebook .jp-InputArea-editor").all_inner_texts() == code
    # The same keys outside do reach the notebook, so the check above can fail.
    shown.locator(".jp-Notebook .jp-MarkdownCell h1").first.click()
    page.keyboard.press("Escape")
    play_the_notebooks_keys(page)
    assert shown.locator(".jp-Notebook .jp-Cell").count() != cells


def play_the_notebooks_keys(page):
    """What would delete, cut and add cells if the notebook heard it."""
    for key in ("d", "d", "x", "a", "x"):
        page.keyboard.press(key)


def play_in_other_places(lesson):
    page, sheet = lesson.page, lesson.sheet("06.3")
    field = sheet.get_by_role("textbox")
    field.click()
    play_the_notebooks_keys(page)
    expect(field).to_have_value("ddxax")
    field.fill("")
    page.keyboard.type("0 V")
    with answered(sheet):
        page.keyboard.press("Enter")
    expect(sheet).to_contain_text("0 of 4 points")
    sheet.get_by_role("button", name="Check my answer").click()
    play_the_notebooks_keys(page)
    job = lesson.bay(JOB)
    turn_to(job, "2 Prepare safely")
    with answered(job):
        job.get_by_role("checkbox").first.click()
    play_the_notebooks_keys(page)
    with answered(job):
        hand_back(job)
    play_the_notebooks_keys(page)
    press(job, "Work it again, for practice")
    expect(job.locator("h3")).to_be_focused()
    play_the_notebooks_keys(page)


def focused(page):
    return page.evaluate("document.activeElement.dataset.spot")


def walk(page, key, *points):
    for point in points:
        page.keyboard.press(key)
        assert focused(page) == point


def test_a_reload_with_a_live_kernel_brings_everything_back(lesson):
    bay, job, sheet = lesson.bay(PRACTICE), lesson.bay(JOB), lesson.sheet("06.2")
    assert lamp(bay, "G1.-", "F1.2") == "bright"
    move(bay, "key", "on")
    move(job, "key", "on")
    lamp(job, "G1.-", "F1.2")
    predict(lesson, "06.2")
    before = [part.locator("tbody").last.inner_text() for part in (bay, job, sheet)]
    # Saved by itself within seconds; here at once.
    lesson.shown.locator('[data-command="docmanager:save"]').first.click()
    expect(lesson.page.get_by_role("tab", name=LESSON)).not_to_have_class(re.compile("jp-mod-dirty"))
    lesson.page.reload()
    expect(lesson.shown.locator(".kit-bay[data-number]")).to_have_count(WIDGETS, timeout=PATIENCE)
    assert [part.locator("tbody").last.inner_text() for part in (bay, job, sheet)] == before
    expect(bay.locator(".kit-shows")).to_have_text("bright")
    expect(bay.locator(".kit-bubble")).to_have_text("bright")
    expect(job.get_by_role("group", name="key", exact=True).get_by_role("button", name="on")).to_have_attribute(
        "aria-pressed", "true")
    assert lamp(bay, "G1.-", "S1.1") == "bright"
    # Run again from the top, the job and the locked prediction are where they were left.
    lesson.page.locator(".kit-ready").evaluate("line => line.remove()")
    lesson.press_the_button()
    expect(job.locator(".kit-said")).to_have_text("Here is where you left it.")
    expect(sheet.get_by_role("button", name="Locked")).to_be_visible()
    assert [part.locator("tbody").last.inner_text() for part in (job, sheet)] == before[1:]


def test_a_kernel_killed_in_the_middle_loses_nothing_that_was_shown(lesson):
    job, page = lesson.bay(JOB), lesson.page
    move(job, "key", "on")
    assert lamp(job, "G1.-", "F1.2") == "out"
    before = job.locator(".kit-sheet tbody").inner_text()
    kill_the_kernel(lesson)
    page.get_by_role("dialog").get_by_role("button", name="Ok").click(timeout=PATIENCE)
    job.get_by_role("group", name="key", exact=True).get_by_role("button", name="off", exact=True).click()
    expect(job.locator(".kit-link")).to_contain_text("Press the button at the top of this page", timeout=PATIENCE)
    assert job.locator(".kit-sheet tbody").inner_text() == before
    page.locator(".kit-ready").evaluate("line => line.remove()")
    lesson.press_the_button()
    expect(job.locator(".kit-said")).to_have_text("Here is where you left it.")
    assert job.locator(".kit-sheet tbody").inner_text() == before
    assert lamp(job, "G1.-", "F1.1") == "bright"


def kill_the_kernel(seat):
    """As a crash would: the process of this notebook's kernel, found by its connection file, ends at once."""
    (session,) = [each for each in seat.lab.ask("api/sessions") if each["path"] == LESSON]
    name = f"kernel-{session['kernel']['id']}.json".encode()
    (kernel,) = [int(path.parent.name) for path in Path("/proc").glob("[0-9]*/cmdline") if name in path.read_bytes()]
    os.kill(kernel, signal.SIGKILL)


def test_fifty_rapid_acts_are_all_done_and_a_click_is_painted_soon(lesson):
    bay = lesson.bay(PRACTICE)
    bay.evaluate("""bay => {
      const [off, on] = bay.querySelectorAll('[aria-label="key"] button');
      for (let n = 0; n < 25; n++) { on.click(); off.click(); }
    }""")
    expect(bay).to_have_attribute("data-number", "50", timeout=PATIENCE)
    expect(bay.locator(".kit-sheet tbody tr")).to_have_count(50)
    took = bay.evaluate("""async bay => {
      const [off, on] = bay.querySelectorAll('[aria-label="key"] button'), took = [];
      for (let n = 0; n < 40; n++) {
        const number = bay.dataset.number, start = performance.now();
        (n % 2 ? off : on).click();
        while (bay.dataset.number === number) await new Promise(requestAnimationFrame);
        took.push(performance.now() - start);
      }
      return took;
    }""")
    late = sorted(took)[int(0.95 * len(took))]
    print(f"\nclick to repaint in JupyterLab: median {statistics.median(took):.0f} ms, p95 {late:.0f} ms")
    assert len(took) == 40
    entries = [entry for path in seat_records(lesson) for entry in read_record(path).entries]
    assert [entry.fields["position"] for entry in entries if entry.kind == "act"] == ["on", "off"] * 45


def test_stored_pages_show_a_picture_and_a_sentence_before_anything_is_run(seat):
    seat.open(LESSON)
    stored = seat.shown.locator(".jp-OutputArea-output")
    expect(stored.get_by_text("press the button at the top of this page")).to_have_count(ASKED + BEGUN)
    broken = seat.page.evaluate("""async () => {
      const images = [...document.querySelectorAll(".jp-OutputArea-output img")];
      await Promise.all(images.map(image => image.decode().catch(() => null)));
      return [images.length, images.filter(image => !(image.naturalWidth > 300)).map(image => image.alt)];
    }""")
    assert broken[0] >= ASKED + 2 and broken[1] == []
    assert seat.shown.get_by_text(re.compile("Error displaying|Traceback|Loading widget")).count() == 0


def test_pages_nobody_trusts_show_it_too(seat, lab):
    """A notebook changed by hand has no signature; JupyterLab then cleans what it shows."""
    path = lab.lessons / LESSON
    notebook = nbformat.read(path, as_version=4)
    notebook.cells[0].source += "\n\nA line of somebody's own."
    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            if "text/plain" in output.get("data", ()):
                output.data["text/plain"] += " "
    nbformat.write(notebook, path)
    seat.open(LESSON)
    seat.shown.locator(BUTTON).click()
    expect(seat.page.locator("dialog")).to_contain_text("not trusted")
    test_stored_pages_show_a_picture_and_a_sentence_before_anything_is_run(seat)


def seat_records(seat):
    return sorted(seat.lab.records.glob(f"{seat.learner}-*.jsonl"))


def test_every_part_of_every_stage_can_be_clicked_and_every_test_point_is_large_enough(one_lesson):
    bay = one_lesson.bay(PRACTICE)
    tabs = bay.get_by_role("toolbar", name="Stages").get_by_role("button")
    for tab in tabs.all():
        tab.click()
        hidden = bay.evaluate("""bay => [...bay.querySelectorAll("[data-target]")].filter(target => {
          target.scrollIntoView({ block: "center", inline: "center" });
          const box = target.getBoundingClientRect();
          for (let x = box.left + 1; x < box.right; x += 4) for (let y = box.top + 1; y < box.bottom; y += 4)
            if (document.elementFromPoint(x, y) === target) return false;
          return true;
        }).map(target => target.dataset.target)""")
        assert hidden == [], tab.inner_text()
        assert min(sizes_of_spots(bay)) >= 24
    one_lesson.page.set_viewport_size({"width": 390, "height": 800})
    assert min(sizes_of_spots(bay)) >= 24
    one_lesson.page.set_viewport_size({"width": 1300, "height": 1000})


def sizes_of_spots(bay):
    return bay.evaluate("""bay => [...bay.querySelectorAll("[data-spot]")].flatMap(spot =>
      [spot.getBoundingClientRect().width, spot.getBoundingClientRect().height])""")


def test_nothing_jumps_while_a_learner_measures(one_lesson):
    bay = one_lesson.bay(PRACTICE)
    bay.get_by_role("button", name="main feed", exact=True).click()
    before = places(bay)
    for point in ("F1.1", "F1.2", "S1.1"):
        lamp(bay, "G1.-", point)
        assert places(bay) == before
    start = "start button"
    for control, position in (("key", "on"), (start, "pressed"), (start, "released"), ("gear", "first")):
        move(bay, control, position)
        assert places(bay) == before
    bay.locator('[data-target="F1"]').click()
    press(bay, "Take it out")
    expect(bay.get_by_role("button", name="Put it back")).to_be_focused()
    assert places(bay) == before


def places(bay):
    """How far down the parts of a bay begin."""
    return bay.evaluate("""bay => [".kit-drawing", ".kit-said", ".kit-columns", ".kit-sheet"].map(name =>
      Math.round(bay.querySelector(name).getBoundingClientRect().top - bay.getBoundingClientRect().top))""")


CONTRAST = """() => {
  const parse = text => { const [r, g, b, a = 1] = text.match(/[\\d.]+/g).map(Number); return [r, g, b, a]; };
  const over = (top, under) => top.slice(0, 3).map((c, n) => c * top[3] + under[n] * (1 - top[3])).concat(1);
  const light = c => { const [r, g, b] = c.map(v => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ground = node => { const own = parse(getComputedStyle(node).backgroundColor);
    return own[3] === 1 || !node.parentElement ? own : over(own, ground(node.parentElement)); };
  const found = [];
  for (const node of document.querySelectorAll(".kit-bay *:not(svg *)")) {
    const worded = [...node.childNodes].some(child => child.nodeType === 3 && child.data.trim());
    if (!worded || !node.getClientRects().length) continue;
    const back = ground(node), ink = light(over(parse(getComputedStyle(node).color), back)), paper = light(back);
    found.push([(Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05), node.textContent.slice(0, 40)]);
  }
  return found.sort((one, other) => one[0] - other[0]);
}"""


def test_every_text_can_be_read_on_a_light_and_on_a_dark_page(one_lesson):
    page = one_lesson.page
    light = page.evaluate(CONTRAST)
    page.get_by_role("menuitem", name="Settings", exact=True).click()
    page.get_by_text("Theme", exact=True).hover()
    page.get_by_text("JupyterLab Dark", exact=True).click()
    expect(page.locator("body")).to_have_attribute("data-jp-theme-light", "false")
    dark = page.evaluate(CONTRAST)
    assert min(len(light), len(dark)) > 100
    for found in (light, dark):
        assert [(round(ratio, 2), text) for ratio, text in found if ratio < 4.5] == []
