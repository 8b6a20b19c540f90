"""A manner of speaking at an open check, and the same words where they are meant."""

from __future__ import annotations

import pytest

from bot.language.dangers.beside_answer import of_a_grip
from bot.language.dangers.figures import without_figures
from bot.language.index import Index
from bot.language.understand import understand


def _hazard(index: Index, text: str, family: str, check: str) -> str | None:
    return understand(index, text, family, (check,), "check").hazard


@pytest.mark.parametrize(("family", "check", "text"), [
    ("front_load_washer", "siphon_watch", "had a smoke, come back, same height"),
    ("refrigerator", "place_ask", "out in the garage, my breath smokes"),
    ("top_load_washer", "turnover", "packed like smoked ham in there"),
    ("dryer", "door_switch_ohms", "pushed that button till my thumb hurt, meter dont move"),
    ("front_load_washer", "pressure_switch_ohms", "blew till i was dizzy, it never changes over"),
    ("front_load_washer", "lock_contacts", "well color me shocked, 0.2 ohm when i slide it over"),
    ("dishwasher", "limit_ohms", "aint open but it aint right neither, 40 and wanderin"),
    ("front_load_washer", "flow_bucket", "gushes, nearly tore it out my hand"),
    ("dishwasher", "code_ask", "overflow one i think, flood switch in the bottom tripped"),
    ("dryer", "stop_pattern", "i bumped the front with my knee and it cut out"),
    ("refrigerator", "cord_look", "cord is nicked up bad"),
    ("dryer", "motor_to_case", "one winding touches the body, 85 ohm to the iron"),
    ("top_load_washer", "agitator_hold", "fabric softener cup was gross but evrything bites good"),
    ("refrigerator", "dispenser_try", "comes out great i flooded my sleeve a little ha ha full stream")])
def test_a_manner_of_speaking_is_no_danger(index: Index, family: str, check: str, text: str) -> None:
    """A smoke that he had, a thumb sore from pushing, a pawl that bites: the visit goes on."""
    assert _hazard(index, text, family, check) is None


@pytest.mark.parametrize(("family", "check", "text", "hazard"), [
    ("front_load_washer", "siphon_watch", "same height, and theres a smoke from the back", "fire"),
    ("refrigerator", "place_ask", "in the garage, and the back of it smokes", "fire"),
    ("dryer", "door_switch_ohms", "pushed that button and cut my thumb open", "injury"),
    ("dryer", "flame_colour", "blue, but the customer is dizzy and has a headache", "co"),
    ("front_load_washer", "lock_contacts", "0.2 ohm and it shocked me", "shock"),
    ("top_load_washer", "agitator_hold", "bites good, and the lid bites me when i touch it", "shock"),
    ("dryer", "motor_to_case", "touched the body, felt it up my arm, 85 ohm", "shock"),
    ("dryer", "stop_pattern", "it cut out and i cut my knee on the panel", "injury"),
    ("refrigerator", "cord_look", "cord is fine, nicked the line and it hisses", "refrigerant"),
    ("refrigerator", "dispenser_try", "full stream, wont stop, the kitchen is flooded", "flood")])
def test_the_same_words_in_earnest_stop_the_visit(
        index: Index, family: str, check: str, text: str, hazard: str) -> None:
    """However good the answer beside them is."""
    assert _hazard(index, text, family, check) == hazard


@pytest.mark.parametrize(("line", "grips"), [
    ("bites good", True), ("a quarter turn before it bites", True), ("it bites", False),
    ("bites good when you touch it", False), ("the door bites", False)])
def test_a_part_that_takes_hold_bites_nobody(line: str, grips: bool) -> None:
    """Only where how or when it takes hold is said."""
    assert of_a_grip(line) is grips


def test_the_words_around_a_figure_keep_their_places() -> None:
    """What follows it is found where it was typed."""
    text = "had a smoke, come back, smoke from the motor"
    read = without_figures(text)
    assert len(read) == len(text) and read.count("smoke") == 1 and read.endswith("smoke from the motor")
