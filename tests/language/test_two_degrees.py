"""How cold a fridge and its freezer are, or are set, told as two figures."""

from __future__ import annotations

import pytest

from bot.language import Index, answer

FAMILY = "refrigerator"


@pytest.mark.parametrize(("text", "result"), [
    ("3 and minus 18", "both_right"), ("37 n 0", "both_right"), ("0 and 38", "both_right"),
    ("glass 4 C, packs -19", "both_right"), ("freezer 0 fridge 52", "fridge_warm"),
    ("fridge side 55, freezer 2", "fridge_warm"), ("48f and 22f", "both_warm"),
    ("fridge 38 freezer 24", "freezer_soft"),
    ("28 n 0", "fridge_freezing")])
def test_both_temperatures_go_by_their_figures(index: Index, text: str, result: str) -> None:
    """Whichever comes first, in either scale."""
    assert answer(index, FAMILY, "temperatures", text).result == result


@pytest.mark.parametrize(("text", "result"), [
    ("theyre at 3 n minus 18, nothing in demo", "right"), ("set to 38 and 2", "right"),
    ("its at 3 and -18, no lock", "right"), ("set at 45 and 10", "odd"), ("demo mode, 37 and 0", "off_or_lock")])
def test_settings_go_by_their_figures_unless_more_is_shown(index: Index, text: str, result: str) -> None:
    """A demo that is named goes before any figure; one that is denied does not."""
    assert answer(index, FAMILY, "settings_look", text).result == result


@pytest.mark.parametrize("text", ["10 and 5", "ten min, then 20 min", "2 days, 3 nights", "120 and 240 volts"])
def test_figures_that_could_be_anything_tell_no_temperatures(index: Index, text: str) -> None:
    """Of either scale, or no degrees at all."""
    heard = answer(index, FAMILY, "temperatures", text)
    assert heard.result is None or heard.p < 0.95


@pytest.mark.parametrize("text", ["37 and 0", "3 and minus 18"])
def test_two_figures_answer_no_check_of_another_kind(index: Index, text: str) -> None:
    """The coil is looked at, the room has one thermometer."""
    for check in ("coil_look", "frost_pattern"):
        assert answer(index, FAMILY, check, text).p < 0.95
