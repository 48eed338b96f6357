"""Every job card of the solved lessons, done by the mouse to handing back: what a typed call can do, a click can."""

from dataclasses import replace
from itertools import pairwise

import pytest
from bare_page import BarePage
from job_player import JobPlayer
from playwright.sync_api import expect
from solved_jobs import Unmarked, lessons_with_jobs, solved_jobs
from workshop import PATIENCE

from kit.bay import MachineBay
from kit.exercises.acts import Lift, Operate, Probe, Reason, act_from_fields, fields_from_act
from kit.records import Record

pytestmark = pytest.mark.browser

# Marked as well, for it is soon marked; of the others the acts and the minutes are compared, all that a mark rests on.
MARKED = ("J53",)


@pytest.mark.parametrize("lesson", lessons_with_jobs())
def test_the_cards_of_a_lesson_by_mouse(chromium_page, lesson, tmp_path, monkeypatch):
    record = Record.open(folder=tmp_path, course="autumn", learner="wren")
    found = solved_jobs(lesson)
    assert found and all(job.points == 100 for job in found)
    if not {job.card.id for job in found} & set(MARKED):
        monkeypatch.setattr("kit.bay.machine_bay.Judging", Unmarked)
    bays = [MachineBay(job.card.machine, record=record, faults=job.faults, card=job.card) for job in found]
    bare = BarePage(chromium_page, *bays)
    for number, (job, kit_bay) in enumerate(zip(found, bays, strict=True)):
        card, bay = job.card, chromium_page.locator(".kit-bay").nth(number)
        JobPlayer(bay, kit_bay).play(job.acts)
        entries = [entry for entry in record.about(job=card.id) if entry.kind == "act"]
        done = [act_from_fields(entry.fields) for entry in entries]
        assert told(done) == told(job.acts), card.id
        assert kit_bay.view["minutes"] == pytest.approx(job.minutes), card.id
        # Where a control springs back it was held for some time, and the page says for how long.
        assert all(act.held for before, act in pairwise(done) if lets_go(card.machine, before, act))
        if card.id in MARKED:
            expect(bay.locator(".kit-points")).to_have_text(f"{job.points} of 100 points. Passed.", timeout=PATIENCE)
        else:
            expect(bay).to_contain_text("Going through your work")
    assert bare.went_wrong == []


def told(acts):
    """Acts as fields, however the hand went: reasons with their readings, leads taken off or not, nothing counted.

    A reading's number becomes its place among what is left.
    """
    acts = list(acts)
    kept = [number for number, act in enumerate(acts) if not isinstance(act, (Lift, Reason))]
    place = {number: here for here, number in enumerate(kept)}
    why = {act.reading: act.text for act in acts if isinstance(act, Reason)}
    found = []
    for number in kept:
        act = acts[number]
        if isinstance(act, Probe):
            act = replace(act, reason=why.get(number, act.reason))
        elif isinstance(act, Operate):
            act = replace(act, held=0.0)
        fields = fields_from_act(act)
        if "readings" in fields:
            # Taking the leads off is a line as well, but no proof of anything.
            fields["readings"] = sorted(place[line] for line in fields["readings"] if line in place)
        found.append(fields)
    return found


def lets_go(machine, before, act):
    """Whether an act moves a control out of where a hand must hold it."""
    both = isinstance(before, Operate) and isinstance(act, Operate) and before.control == act.control
    return both and machine.controls[act.control].let_go(before.position) != before.position
