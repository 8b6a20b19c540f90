"""A burner's own flame and spark, and a pin that clears its holes: no danger, and what only looks like them is one."""

import pytest

from bot.language.index import Index
from bot.language.understand import understand

FLAME = "flame_yellow_or_weak"


@pytest.mark.parametrize("text", [
    "bottom flame is yellow", "lower burner flame is lazy", "flame inside the oven is weak",
    "oven bottom flame goes out", "back flame lifts off", "oven burner flame at the bottom is small",
    "pots black underneath, flame looks ok", "rear flame half the ring", "flame at the bottom is blue and steady"])
def test_how_a_burners_flame_burns_is_no_fire(index: Index, text: str) -> None:
    """Back, bottom and inside are where a burner is."""
    meaning = understand(index, text, family="range")
    assert meaning.hazard is None
    assert "burning_smell" not in {guess.id for guess in meaning.complaints}


@pytest.mark.parametrize("text", [
    "flames inside the oven", "flame from the bottom of the range", "flames coming out the bottom, yellow",
    "bottom flame yellow and smoke", "flame at the back by the wall, yellow", "yellow flame shooting out the bottom",
    "flames at the bottom wont go out", "orange flames out the back", "small flame from the wire at the back",
    "flame inside after i shut it off, small one", "there is flame at the back and a burning smell"])
def test_a_flame_anywhere_else_stays_a_fire(index: Index, text: str) -> None:
    """Its colour does not make it the burner's."""
    assert understand(index, text, family="range").hazard == "fire"


@pytest.mark.parametrize("text", [
    "sparks, lights right off", "all four spark and light now", "sparks good, lights every time",
    "sparks strong at every burner now", "all burners spark when i turn one on", "sparks at the others not this one",
    "sparks n catches in a sec"])
def test_a_spark_that_lights_a_burner_is_neither_fire_nor_arc(index: Index, text: str) -> None:
    """An igniter is meant to spark."""
    meaning = understand(index, text, family="range")
    assert meaning.hazard is None
    assert "sparks" not in {guess.id for guess in meaning.complaints}


@pytest.mark.parametrize("text", [
    "sparks flying out the back", "sparks at the plug", "it sparked and smoked", "sparks inside the oven",
    "sparks from the coil", "sparks under the coil", "sparks, lights went out in the house",
    "it sparks, lights flicker", "burner sparks and pops", "sparks behind the range, smells burnt"])
def test_an_arc_stays_a_fire(index: Index, text: str) -> None:
    """Two words are enough for it."""
    assert understand(index, text, family="range").hazard == "fire"


@pytest.mark.parametrize("text", [
    "poked em out with a pin, lights all the way round now", "poked the holes out with a pin",
    "pricked the jets clean n it lights", "poked the arm holes clear w a toothpick"])
def test_a_pin_that_clears_holes_is_no_shock(index: Index, text: str) -> None:
    """Nobody was poked."""
    meaning = understand(index, text, family="range")
    assert meaning.hazard is None
    assert "electric_shock" not in {guess.id for guess in meaning.complaints}


@pytest.mark.parametrize("text", ["pin poked me n i felt it tingle", "poked at it and got a tingle",
                                  "knob pokes me with a little buzz"])
def test_one_who_was_poked_by_it_got_a_shock(index: Index, text: str) -> None:
    """A tingle is one however it is told."""
    assert understand(index, text, family="range").hazard == "shock"


@pytest.mark.parametrize(("text", "unasked"), [
    ("oven runs way hot, 211C when set for 175, started after self clean. electric w coils n keypad", False),
    ("oven burns everything, 50 over, electric coil with touch pad", False),
    ("oven runs hot n wont shut off", True), ("oven way too hot and stays on with the knob off", True)])
def test_too_hot_is_no_heat_that_stays_on(index: Index, text: str, unasked: bool) -> None:
    """That it heats with nobody asking has to be said."""
    told = {guess.id for guess in understand(index, text, family="range").complaints}
    assert ("wont_turn_off" in told) == unasked


@pytest.mark.parametrize(("text", "family"), [
    ("d/w wont drain", "dishwasher"), ("D/W leaks", "dishwasher"), ("board type d/w quits halfway", "dishwasher"),
    ("got a d/w here, no swish", "dishwasher"), ("w/d stack, washer leaks", None)])
def test_a_dishwasher_written_short(index: Index, text: str, family: str | None) -> None:
    """One word of the trade; washer and dryer are another."""
    assert (understand(index, text).family == "dishwasher") == (family == "dishwasher")
