"""The button on the start page that hands in: what it writes, and what it says where it cannot."""

import zipfile

import pytest

import kit
from kit.records import Record, learner_name, sign


@pytest.fixture
def work(tmp_path, monkeypatch):
    monkeypatch.setenv("KIT_RECORDS", str(tmp_path / "my-work"))
    monkeypatch.delenv("KIT_LEARNER", raising=False)
    monkeypatch.chdir(tmp_path)
    return tmp_path / "my-work"


def _a_record(work, name):
    Record.open(course="autumn", learner=name, folder=work).close()


def test_one_press_puts_the_work_of_who_signed_in_beside_the_page(work, tmp_path):
    sign("wren", work)
    _a_record(work, "wren")
    _a_record(work, "finch")
    button = kit.hand_in()
    button.button.click()
    assert "hand-in-wren.zip" in button.said.value and "no name" not in button.said.value
    with zipfile.ZipFile(tmp_path / "hand-in-wren.zip") as archive:
        assert [archive.read(name) for name in archive.namelist()] == [
            path.read_bytes() for path in work.glob("wren-*.jsonl")]


@pytest.mark.parametrize("how", ["button", "enter"])
def test_a_name_is_signed_in_with_the_button_and_with_enter(work, how):
    page = kit.sign_in()
    page.name.value = "finch"
    if how == "button":
        page.button.click()
    else:
        page.name._handle_custom_msg({"event": "submit"}, [])  # what the page sends when Enter is pressed
    assert page.said.value.startswith("Signed in as finch") and learner_name(work) == "finch"


def test_without_work_it_says_so_and_writes_nothing(work, tmp_path):
    button = kit.hand_in()
    button.button.click()
    assert button.said.value.startswith("Not yet: there is no work of 'me'")
    assert not list(tmp_path.glob("*.zip"))


def test_work_under_nobodys_name_is_handed_in_with_a_word_about_it(work, tmp_path):
    _a_record(work, "me")
    button = kit.hand_in()
    button.button.click()
    assert "sign in above" in button.said.value and (tmp_path / "hand-in-me.zip").is_file()
