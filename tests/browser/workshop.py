"""A learner's hands on the lessons: real clicks and keys on a real page. The truth they work from is computed."""

from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from playwright.sync_api import Locator, Page, expect

from kit.exercises import question, truth, variant
from kit.exercises.choice import shown_options

if TYPE_CHECKING:
    from conftest import Lab

COURSE = "self-study"
PATIENCE = 30_000  # milliseconds
BUTTON = "[data-commandlinker-command]"
JOB = "Job card J1: Orchard bike"
PRACTICE = "Orchard bike"


@dataclass
class Seat:
    """One learner at one page, and all that came in and went out over the wire."""

    page: Page
    learner: str
    lab: "Lab"
    asked_for: list[str] = field(default_factory=list)
    received: list[bytes] = field(default_factory=list)
    went_wrong: list[str] = field(default_factory=list)

    def listen(self) -> None:
        self.page.on("request", lambda request: self.asked_for.append(request.url))
        self.page.on("websocket", lambda socket: socket.on("framereceived", self._keep))
        self.page.on("pageerror", lambda error: self.went_wrong.append(str(error)))

    def _keep(self, payload: str | bytes) -> None:
        self.received.append(payload.encode() if isinstance(payload, str) else payload)

    @property
    def shown(self) -> Locator:
        """The notebook in front."""
        return self.page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")

    def open(self, notebook: str) -> None:
        self.page.goto(self.lab.page(notebook))
        expect(self.shown.locator(BUTTON)).to_be_visible(timeout=PATIENCE)

    def press_the_button(self) -> None:
        """As the start page says: press it, and once more if nothing comes of it."""
        for _ in range(8):
            self.shown.locator(BUTTON).click()
            try:
                expect(self.shown.locator(".kit-ready")).to_contain_text("Ready", timeout=10_000)
            except AssertionError:
                continue
            return
        raise AssertionError("the page never said that it is ready")

    def bay(self, title: str, which: int = 0) -> Locator:
        exactly = self.page.get_by_role("heading", name=title, exact=True)
        return self.shown.locator(".kit-bay", has=exactly).nth(which)

    def sheet(self, question_id: str) -> Locator:
        return self.shown.locator(f'.kit-question[aria-label^="Question {question_id}:"]')

    def variant(self, question_id: str):
        return variant(question(question_id), COURSE, self.learner)

    def truth(self, question_id: str):
        return truth(question(question_id), self.variant(question_id))

    def letters(self, question_id: str) -> dict[str, str]:
        """The letter of each option, by the option's id."""
        shown = shown_options(question(question_id), self.variant(question_id))
        return {option.id: letter for letter, option in shown.items()}


@contextmanager
def answered(part: Locator):
    """Waits until the view that answers what is done inside is painted."""
    before = int(part.get_attribute("data-number"))
    yield
    expect(part).to_have_attribute("data-number", str(before + 1), timeout=PATIENCE)


def press(part: Locator, name: str) -> None:
    with answered(part):
        part.get_by_role("button", name=name, exact=True).click()


def move(bay: Locator, control: str, position: str) -> None:
    with answered(bay):
        bay.get_by_role("group", name=control, exact=True).get_by_role("button", name=position, exact=True).click()


def spot(bay: Locator, point: str) -> Locator:
    return bay.locator(f'[data-spot="{point}"]')


def put(bay: Locator, lead: str, point: str) -> None:
    """Take a lead and put it on a test point; the page answers once both leads are somewhere."""
    bay.locator(".kit-lead", has_text=f"{lead}:").click()
    # Where the other lead stands already, the hand meets that lead; the point is the same.
    spot(bay, point).click(force=True)


def lamp(bay: Locator, clip: str, tip: str) -> str:
    """Both leads down, tip last; returns what the bay shows."""
    if f"clip: {clip}" not in bay.locator(".kit-lead").all_inner_texts():
        # With the tip still somewhere, moving the clip is a reading of its own.
        if {"tip: …", f"tip: {clip}"} & set(bay.locator(".kit-lead").all_inner_texts()):
            put(bay, "clip", clip)
        else:
            with answered(bay):
                put(bay, "clip", clip)
    with answered(bay):
        put(bay, "tip", tip)
    return bay.locator(".kit-shows").inner_text()


def pick_part(bay: Locator, stage: str, part: str) -> None:
    """Turn to a stage's drawing and click a part on it."""
    bay.get_by_role("button", name=stage, exact=True).click()
    bay.locator(f'[data-target="{part}"]').click()


def turn_to(job: Locator, section: str) -> None:
    """Open a section of the job card."""
    job.locator(".kit-card").get_by_role("button", name=section, exact=True).click()


def hand_back(job: Locator) -> None:
    """The last section, and its button; the page answers when the work has been gone through."""
    turn_to(job, "12 Explain")
    job.get_by_role("button", name="Hand the machine back", exact=True).click()
