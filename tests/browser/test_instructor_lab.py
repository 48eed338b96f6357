"""The instructor's page in a real JupyterLab: the corner, and the bay of the room below it, move together."""

import pytest
from playwright.sync_api import expect
from workshop import PATIENCE, Seat, answered, move, press

pytestmark = pytest.mark.browser


def test_the_corner_and_its_bay_work_together_in_jupyterlab(chromium, lab):
    lab.fresh()
    page = chromium.new_page(viewport={"width": 1300, "height": 1000})
    seat = Seat(page=page, learner="heron", lab=lab)
    seat.listen()
    seat.open("instructor.ipynb")
    seat.press_the_button()
    desk = seat.shown.locator(".kit-corner")
    room = seat.shown.locator(".kit-bay:not(.kit-corner)").first
    expect(desk).to_have_attribute("data-number", "0", timeout=PATIENCE)
    desk.get_by_label("the fault: part").select_option("F1")
    desk.get_by_label("the fault: what is wrong with it").select_option("blown")
    before = len(seat.received)
    press(desk, "Set it, hidden")
    move(room, "key", "on")
    expect(room.locator(".kit-noticed")).to_contain_text("Nothing lights")
    desk.get_by_role("button", name="Vote", exact=True).click()
    desk.get_by_label("Tip on").select_option("F1.2")
    press(desk, "Ask what the lamp shows there")
    with answered(desk):
        desk.get_by_label("Hands for out").fill("5")
        desk.get_by_label("Hands for out").press("Tab")
    # Letters typed here stay here: the notebook's own keys delete cells by them.
    assert not [frame for frame in seat.received[before:] if b"F1 blown" in frame]
    press(desk, "Reveal")
    expect(desk).to_contain_text("It shows: out. 5 of 5 hands had it.")
    expect(room.locator(".kit-bubble")).to_have_text("out")
    press(desk, "Reveal what it is")
    expect(desk.locator(".kit-told")).to_contain_text("F1 blown")
    expect(room.locator(".kit-truth")).to_contain_text("F1 blown")
    # The fault of the day, on the same page as a learner meets it.
    today = seat.shown.locator(".kit-bay:not(.kit-corner)").nth(1)
    expect(today.locator(".kit-said")).to_contain_text("The owner says:")
    page.close()
    assert seat.went_wrong == []
