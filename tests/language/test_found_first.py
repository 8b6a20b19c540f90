"""What a first message tells of parts that were looked at, whatever stands around it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.conversation.release import Release
from bot.language.answers.found_first import (
    chances_of,
    found_first,
    may_be_found,
    stretches,
    weights,
    with_found_first,
)
from bot.language.understand import understand


def told(release: Release, text: str, family: str | None = None) -> dict[str, str | None]:
    """Check -> result that a first message tells."""
    meaning = with_found_first(release.index, text, understand(release.index, text, family))
    return {heard.check: heard.result for heard in meaning.results}


@pytest.mark.parametrize(("text", "check", "result"), [
    ("electric dryer no heat, thermal fuse blown", "thermal_fuse_ohms", "open"),
    ("electric dryer no heat thermal fuse is blown", "thermal_fuse_ohms", "open"),
    ("dryer squealing, rear roller worn flat", "drum_support", "rollers"),
    ("fridge warm, cond fan dead, coils plugged with pet hair", "coil_look", "felted"),
    ("freezer ok fridge warm, damper frozen shut", "damper_flap", "iced"),
    ("dishwasher not cleaning spray arm cracked", "arm_look", "split"),
    ("dishwasher wont drain, garbage disposal knockout still in", "knockout_ask", "plug"),
    ("top loader wont spin, belt came off", "belt_grip", "off"),
    ("top loader wont fill hot screen plugged w rust", "screens_look", "packed"),
    ("front loader leaks, boot torn at 6 oclock", "gasket_look", "torn")])
def test_a_part_that_was_found_so_is_told_with_the_trouble(release: Release, text: str, check: str,
                                                         result: str) -> None:
    """With a comma or without, in the trade's names or others."""
    assert told(release, text).get(check) == result


@pytest.mark.parametrize("text", [
    "electric dryer no heat, gonna check the thermal fuse next", "dryer slow to dry, had new rollers put in last yr",
    "fridge warm, she says the coils were cleaned", "top loader wont spin, could it be the belt?",
    "dishwasher not cleaning, maybe the spray arm", "electric dryer no heat, got a spare element in the van",
    "electric dryer no heat, my helper swears the thermal fuse is bad",
    "electric dryer no heat, on yesterdays job that one was the thermal fuse"])
def test_plans_guesses_claims_and_history_are_no_findings(release: Release, text: str) -> None:
    """Nobody has looked yet."""
    assert not told(release, text)


@pytest.mark.parametrize("text", [
    "gas stove oven takes forever to preheat", "front load washer stops half way", "top loader wont spin",
    "dryer takes two cycles", "fridge not cold enough", "dishwasher leaves water in the bottom"])
def test_the_trouble_itself_is_no_finding(release: Release, text: str) -> None:
    """What the customer has is not what a part was found like."""
    meaning = understand(release.index, text)
    assert meaning.family is not None and found_first(release.index, meaning.family, text, meaning) == []


def test_how_the_lid_stood_stays_open(release: Release) -> None:
    """Open with the lid up is as it should be."""
    assert "lid_switch_ohms" not in told(release, "top loader wont spin, lid switch no continuity")


@settings(max_examples=60, deadline=None)
@given(words=st.lists(st.sampled_from([
    "belt", "fan", "motor", "off", "broken", "ok", "no", "not", "open", "screen", "drum", "hums", "the", ",", "and",
    "5", "ohm", "lid", "pump", "clear", "new", "says"]), min_size=1, max_size=12))
def test_whatever_is_typed_each_check_is_told_once_by_one_of_its_results(release: Release, words: list[str]) -> None:
    """Stretches lie within the words, chances between 0 and 1."""
    text, family = " ".join(words), "top_load_washer"
    checks = release.knowledge.packs[family].checks
    assert all(0 <= start < end <= len(words) for start, end in stretches(release.index, family, words))
    meaning = understand(release.index, text, family)
    many = list(may_be_found(release.index, family, text, meaning))
    assert all(0 <= p <= 1 for p in chances_of(weights(), many))
    found = found_first(release.index, family, text, meaning, least=0.0)
    assert len({heard.check for heard in found}) == len(found)
    assert all(heard.result in checks[heard.check].results for heard in found)
