"""Which number of an answer is its reading."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language.answers.bands import asked_for, read_for
from bot.language.index import Index
from bot.language.readings.chosen import chosen
from bot.language.readings.read import offered


def read(index: Index, family: str, check: str, text: str):
    """What is read in an answer to a check of ours."""
    entry = index.knowledge.packs[family].checks[check]
    return read_for(entry.reading, entry.ask, text, None)


@pytest.mark.parametrize(("family", "check", "text", "ohms"), [
    ("refrigerator", "valve_ohms", "14 on it, twin gives 300", 14),
    ("refrigerator", "valve_ohms", "got 48 on it, good one has 350", 48),
    ("refrigerator", "condenser_fan_ohms", "143 on the two, grommet is gone though", 143),
    ("dishwasher", "pump_winding", "22 ohms, thats about what i like to see", 22)])
def test_the_figure_of_the_part_is_told_from_those_beside_it(index: Index, family, check, text, ohms):
    """Another part's, the chart's, how many wires there are."""
    assert read(index, family, check, text).value == ohms


@pytest.mark.parametrize("text", ["got 4 colours in the plug so didnt ohm it", "three leads on it and a little board"])
def test_wires_that_are_counted_are_no_ohms(index: Index, text: str):
    """A fan with a board of its own, told by its plug."""
    heard = read(index, "refrigerator", "evap_fan_ohms", text)
    assert heard.value is None and heard.multiple is None


@pytest.mark.parametrize("text", ["nothing gets through it", "dead as a doornail across it"])
def test_nothing_that_gets_through_is_no_short(index: Index, text: str):
    """It was filed as no ohms, which is the opposite."""
    assert read(index, "dryer", "thermal_fuse_ohms", text).special == "open"


@pytest.mark.parametrize("text", ["nothing", "reads nothing"])
def test_bare_nothing_stays_either(index: Index, text: str):
    """No ohms or no circuit: who typed it is asked."""
    assert read(index, "dryer", "thermal_fuse_ohms", text).special == "zero"


@given(st.text(alphabet=st.sampled_from("0123456789. ,-kmoltwe"), max_size=40))
def test_whatever_is_typed_the_chances_add_up(text: str):
    """Every number and every kind has one, likeliest first."""
    items, amounts = offered("ohm", text)
    found = chosen("ohm", items, amounts, "What does it read?")
    assert len(found) == len(amounts) + 3
    assert sum(choice.p for choice in found) == pytest.approx(1)
    assert [choice.p for choice in found] == sorted((choice.p for choice in found), reverse=True)


def test_what_a_check_asks_for_is_what_is_read(index: Index):
    """Times are asked for in seconds and typed in minutes."""
    asked = {asked_for(entry.reading) for pack in index.knowledge.packs.values() for entry in pack.checks.values()
             if entry.reading is not None}
    assert "minutes" in asked and "seconds" not in asked
