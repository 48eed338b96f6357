"""A recorded job done again by hand: every act of it found on the page as a learner finds it, and done by the mouse.

What the hands know of the work is only what they did; names and places come from the page's own setting, which is what
the page shows. ``JobPlayer.play`` takes acts in order and raises AssertionError where the page has no way to do one.
"""

from collections.abc import Iterable
from contextlib import nullcontext
from itertools import pairwise

from playwright.sync_api import Locator, expect
from workshop import PATIENCE, answered, spot, turn_to

from kit.bay import MachineBay
from kit.exercises.acts import (
    Act,
    Ask,
    Explain,
    Feel,
    Find,
    HandBack,
    Lift,
    Look,
    MoveFuse,
    Note,
    Operate,
    Plug,
    Prepare,
    Press,
    Probe,
    Prove,
    Reason,
    Refer,
    Renew,
    Repair,
    Swap,
    Tidy,
    Undo,
    Unplug,
    Verify,
    Warm,
    Wiggle,
)

BESIDE = {Look: "Look closely", Feel: "Feel it", Wiggle: "Wiggle it", Unplug: "Take it off", Plug: "Put it on again"}
METER = "multimeter"
# Nine places on a thing, its middle first: the first of them where a click meets it.
FREE = """(node) => {
  const box = node.getBoundingClientRect(), steps = [.5, .2, .8];
  for (const across of steps) for (const down of steps) {
    const [x, y] = [box.x + across * box.width, box.y + down * box.height], at = document.elementFromPoint(x, y);
    if (at === node || (node.matches(".kit-spot") && at?.closest(".kit-mark"))) return [x, y];
  }
  return null;
}"""


class JobPlayer:
    """Two hands on the bay of one job. ``numbers`` leads from the number of a recorded act to that of the act done."""

    def __init__(self, bay: Locator, kit_bay: MachineBay) -> None:
        self.bay, self.kit_bay, self.numbers = bay, kit_bay, {}
        self.setting = kit_bay.setting
        form = self.setting["card"]["form"]
        self.headings = {heading: f"{number} {heading}" for number, heading in enumerate(form, 1)}

    def play(self, acts: Iterable[Act]) -> None:
        """Do the acts one after another."""
        for number, act in enumerate(acts):
            self.play_one(number, act)

    def play_one(self, number: int, act: Act) -> None:
        """Do the act that has this number in the record it comes from."""
        self.do(act)
        self.numbers[number] = self.done - 1
        if isinstance(act, Probe) and act.reason:
            self.do(Reason(reading=number, text=act.reason))

    @property
    def done(self) -> int:
        return len(self.kit_bay._steps)

    def do(self, act: Act) -> None:
        match act:
            case Ask():
                self.turn_to("The owner says")
                self.press(act.question)
            case Prepare() | Tidy():
                steps, section = (("preparations", "Prepare safely"), ("tidy", "Tidy up"))[isinstance(act, Tidy)]
                self.turn_to(section)
                words = self.setting["card"][steps][act.step]
                with answered(self.bay):
                    self.click(self.bay.locator(".kit-card").get_by_text(words, exact=True))
            case Prove():
                self.take_up(act.instrument if act.instrument != METER else "volts")
                self.press("Prove it")
            case Renew():
                self.take_up("amps" if act.instrument == METER else act.instrument)
                self.press("New fuse in it")
            case Operate():
                with answered(self.bay):
                    self.click(self.control(act.control).get_by_role("button", name=act.position, exact=True))
            case Press():
                self.hold(act)
            case Probe():
                self.measure(act)
            case Lift():
                self.take_off()
            case Look() | Feel() | Wiggle() | Unplug() | Plug():
                self.pick(act.part)
                self.press(BESIDE[type(act)])
            case Warm():
                self.pick(act.part)
                self.press("Warm it up" if act.to == "warm" else "Let it cool")
            case Swap():
                self.pick(act.part)
                self.press("Try a good spare" if act.to == "spare" else "Put its own back")
            case MoveFuse():
                self.pick(act.part)
                about = self.setting["parts"][act.part]
                self.press({"out": "Take it out", "in": "Put it back", "new": f"Fit a new {about['fuse']} fuse",
                            "bigger": f"Fit a {about['bigger']} fuse"}[act.to])
            case Note():
                self.turn_to("Suspects")
                self.choose("Suspected", act)
                self.fill("because", act.text)
                self.press("Note it")
            case Reason():
                row = self.row(self.numbers[act.reading])
                self.click(row.get_by_role("button", name="Write why"))
                self.bay.page.keyboard.type(act.text)
                with answered(self.bay):
                    self.bay.page.keyboard.press("Enter")
            case Undo():
                with answered(self.bay):
                    self.click(self.row(self.numbers[act.reading]).get_by_role("button", name="Withdraw"))
            case Find():
                self.tick(act.readings)
                self.turn_to("Finding")
                title, word = {"fault": ("What is wrong:", "State the fault"),
                               "cause": ("What made it happen:", "State the cause")}[act.role]
                self.choose(title, act)
                self.press(word)
            case Refer():
                self.tick(act.readings)
                self.turn_to("Finding")
                self.click(self.bay.get_by_text("Beyond my authority: refer it", exact=True))
                self.bay.get_by_label("Referred part", exact=True).select_option(act.part)
                self.fill("What is beyond my authority, and whose it is", act.text)
                self.press("Refer it")
            case Repair():
                self.mend(act)
            case Verify():
                self.turn_to("Verify")
                if act.text:
                    self.fill("What you tried, and what it did", act.text)
                self.press("Verified: the owner's complaint is gone")
            case Explain():
                self.turn_to("Explain")
                self.fill("What you tell the owner", act.text)
                self.press("Keep this")
            case HandBack():
                self.turn_to("Explain")
                self.press("Hand the machine back")
            case _:
                raise AssertionError(f"nobody showed these hands how to do {act}")

    # --- where things are

    def click(self, node: Locator) -> None:
        node.click(timeout=PATIENCE)

    def press(self, name: str) -> None:
        """A button by what stands on it; one switched off is no way to do anything."""
        node = self.bay.get_by_role("button", name=name, exact=True)
        expect(node).not_to_have_attribute("aria-disabled", "true")
        with answered(self.bay):
            self.click(node)

    def turn_to(self, section: str) -> None:
        turn_to(self.bay, self.headings[section])

    def fill(self, label: str, text: str) -> None:
        self.bay.get_by_label(label, exact=True).fill(text)

    def choose(self, title: str, act: Note | Find) -> None:
        self.bay.get_by_label(f"{title} part", exact=True).select_option(act.part)
        self.bay.get_by_label(f"{title} fault", exact=True).select_option(act.fault)

    def control(self, name: str) -> Locator:
        title = next(control["title"] for control in self.setting["controls"] if control["id"] == name)
        return self.bay.get_by_role("group", name=title, exact=True)

    def show(self, wanted: Iterable[str], *, what: str) -> None:
        """A drawing on which these points or parts stand: the one that is there, else a stage's, else the whole."""
        wanted = set(wanted)
        shown = self.bay.locator(f"[data-{'spot' if what == 'points' else 'target'}]").evaluate_all(
            "(nodes) => nodes.map((node) => node.dataset.spot ?? node.dataset.target)")
        if wanted <= set(shown):
            return
        stage = next((name for name, plan in self.setting["pictures"].items() if wanted <= set(plan[what])), None)
        self.click(self.bay.get_by_role("button", name=stage or "whole machine", exact=True))

    def pick(self, part: str) -> None:
        """Take a part in hand, on the drawing, unless it is in hand."""
        if self.bay.get_by_label("Part", exact=True).input_value() == part:
            return
        self.show([part], what="parts")
        self.click_on_drawing(self.bay.locator(f'[data-target="{part}"]').first)
        expect(self.bay.get_by_label("Part", exact=True)).to_have_value(part)

    def click_on_drawing(self, node: Locator) -> None:
        """A place on it where no other thing lies over it; a lead that stands on a test point is that point as well."""
        node.scroll_into_view_if_needed()
        place = node.evaluate(FREE)
        name = node.get_attribute("data-spot") or node.get_attribute("data-target")
        assert place, f"{name} cannot be hit: something lies over all of it"
        self.bay.page.mouse.click(*place)

    def row(self, number: int) -> Locator:
        place = [line["number"] for line in self.kit_bay.view["sheet"]].index(number)
        return self.bay.locator(".kit-sheet tbody").first.locator("tr").nth(place)

    def tick(self, readings: Iterable[int]) -> None:
        """Tick these lines of the test sheet and no others; what stands on no line cannot be ticked."""
        wanted = {self.numbers[number] for number in readings}
        for line in self.kit_bay.view["sheet"]:
            box = self.row(line["number"]).get_by_role("checkbox")
            if box.is_enabled() and box.is_checked() != (line["number"] in wanted):
                self.click(box)

    # --- instruments

    @property
    def instrument(self) -> str:
        """The one in hand, by what is pressed in."""
        group = self.bay.get_by_role("group", name="Instruments")
        kind = group.locator('[aria-pressed="true"]').inner_text()
        ranged = [name for name, tool in self.setting["tray"].items() if tool["kind"] == kind and tool["range"]]
        if not ranged:
            return next(name for name, tool in self.setting["tray"].items() if tool["kind"] == kind)
        scale = self.bay.get_by_role("group", name="Dial").locator('[aria-pressed="true"]').inner_text()
        return next(name for name in ranged if self.setting["tray"][name]["range"] == scale)

    def take_up(self, name: str) -> None:
        """Take an instrument in hand, its dial turned; a meter that reads already comes off first."""
        tool = self.setting["tray"][name]
        if self.setting["tray"][self.instrument]["kind"] != tool["kind"]:
            self.one_of("Instruments", tool["kind"])
        if tool["range"] and self.instrument != name:
            if "" not in self.stand():
                self.take_off()
            self.one_of("Dial", tool["range"])

    def one_of(self, group: str, name: str) -> None:
        self.click(self.bay.get_by_role("group", name=group).get_by_role("button", name=name, exact=True))

    def take_off(self) -> None:
        node = self.bay.get_by_role("button", name="Take the leads off", exact=True)
        if node.get_attribute("aria-disabled") == "true":
            return
        # Where nothing is on the machine any more, it is only taken out of the drawing.
        with answered(self.bay) if self.kit_bay.view["probe"] else nullcontext():
            self.click(node)
        expect(node).to_have_attribute("aria-disabled", "true")

    def stand(self) -> list[str]:
        """Where the leads of the instrument in hand are; empty text for one in the hand."""
        words = self.bay.locator(".kit-lead:not([hidden])").all_inner_texts()
        return [text.partition(": ")[2].replace("…", "") for text in words]

    def measure(self, act: Probe) -> None:
        tool = self.setting["tray"][act.instrument]
        leads = list(act.leads)
        if self.instrument != act.instrument:
            self.take_up(act.instrument)
        if tool["on"] != "point":
            self.show(leads, what="parts")
            with answered(self.bay):
                self.click_on_drawing(self.bay.locator(f'[data-target="{leads[0]}"]').first)
            return
        hold = self.bay.get_by_role("button", name="min max", exact=True)
        turned = tool["holds"] and (hold.get_attribute("aria-pressed") == "true") != bool(act.hold)
        # A lead that moves alone reads on its way, and so does a meter turned to min max: they come off first.
        if self.moves(leads) is None or turned:
            self.take_off()
        if turned:
            self.click(hold)
        before = self.done
        for which in self.moves(leads):
            self.show([leads[which]], what="points")
            self.click(self.bay.locator(".kit-lead").nth(which))
            self.click_on_drawing(spot(self.bay, leads[which]))
        for _ in range(PATIENCE // 20):
            if self.done > before:
                break
            self.bay.page.wait_for_timeout(20)
        read = self.kit_bay._steps[-1].act
        assert read == Probe(instrument=act.instrument, leads=act.leads, hold=act.hold), (read, act)

    def moves(self, leads: list[str]) -> list[int] | None:
        """Which leads to move, in an order that reads nothing on the way; None where there is none."""
        now = self.stand()
        there = [which for which, lead in enumerate(leads) if now[which] != lead]
        if not there:
            return [1]
        for order in (there, there[::-1]):
            ways = [list(now)]
            for which in order:
                ways.append([leads[n] if n == which else lead for n, lead in enumerate(ways[-1])])
            if all("" in way or way[0] == way[1] for way in ways[1:-1]):
                return order
        return None

    # --- holding and mending

    def hold(self, act: Press) -> None:
        title = next(control["title"] for control in self.setting["controls"] if control["id"] == act.control)
        positions = next(control["positions"] for control in self.setting["controls"] if control["id"] == act.control)
        named = f"{title} at {act.position}" if len(positions) > 2 else title
        self.press(f"press {named} for {act.seconds:g} {'second' if act.seconds == 1 else 'seconds'}")

    def mend(self, act: Repair) -> None:
        self.pick(act.part)
        if act.how:
            self.bay.get_by_label("How it is put right", exact=True).select_option(act.how)
        for step in act.steps:
            self.click(self.bay.get_by_text(self.setting["ways"][act.how]["steps"][step], exact=True))
        self.press("Mend or renew it")


def same_but_for_the_way(recorded: Iterable[Act], done: Iterable[Act]) -> tuple[list[dict], list[dict]]:
    raise NotImplementedError


__all__ = ["JobPlayer", "pairwise"]
