"""Whether a meter reads to bare metal: one idea, the same in every family and at every check that asks for it."""

from __future__ import annotations

import pytest

from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import judge
from bot.language import Index, answer
from bot.language.answers.to_ground import apart_from_ground, reads_to_ground, sides_of

CLEAR = [
    "OL to the shell", "OL to shell on all pins", "o.l. to case", "nothing to ground", "not shorted to case",
    "infinity to earth", "no beep to the shell", "open to the frame", "clear of the shell", "no continuity to the case",
    "none of them read to the shell",
    "doesn't beep to the shell", "to the shell it stays OL", "shell: OL",
    "each one to the case: nothing", "isnt grounded", "no ground", "1 to case OL, 2 to case OL, 3 to case OL",
    "pin 2 to shell OL", "no beep between the pins and shell", "nada a tierra", "no hace tierra",
    "no, nothing to ground",
    "meter stays quiet to the shell", "zero continuity to ground"]
LEAKS = [
    "beeps to the shell", "adds up but grounded", "2 ohm to case", "continuity to ground",
    "shorted to case",
    "windings ok but it beeps to the shell", "all good, run pin beeps to the case", "40k to the frame",
    "zero to ground",
    "not clear of the shell", "isnt open to ground", "OL between pins but beeps to the case",
    "no, it beeps to the shell",
    "no its grounded",
    "start pin touches the shell", "hace tierra", "under a meg to the shell",
    "near nothing to the case",
    "nothing but the start pin beeps to the shell", "adds up fine, common has continuity to the case", "frame beeps"]


@pytest.mark.parametrize("text", CLEAR)
def test_what_is_clear_of_the_metal_is_no_leak(text: str) -> None:
    """The metal is named, and the word of the meter beside it is open, nothing, or denied."""
    assert reads_to_ground(text) == "clear"


@pytest.mark.parametrize("text", LEAKS)
def test_a_leak_outranks_any_praise_beside_it(text: str) -> None:
    """'Windings ok' is of the ohms; the beep is of the shell."""
    assert reads_to_ground(text) == "leak"


@pytest.mark.parametrize("text", [
    "ok to ground", "beeps to the shell?", "should be OL to the shell", "windings good", "ground wire is back on",
    "plugged to a grounded outlet", "havent read to the shell yet", "black lead on the shell, red on each pin"])
def test_what_was_not_measured_says_nothing(text: str) -> None:
    """Asked, expected, still to do, or of the ground wire."""
    assert reads_to_ground(text) is None


@pytest.mark.parametrize("text", ["OL to shell but run pin beeps to shell",
                                  "OL to the shell, no wait it beeps to the shell"])
def test_both_in_one_line_is_neither(text: str) -> None:
    """It is asked which."""
    assert reads_to_ground(text) == "both"


@pytest.mark.parametrize("text", [*CLEAR, *LEAKS])
def test_every_check_to_metal_hears_it_alike(index: Index, text: str) -> None:
    """Compressor, motor, stator, heater, element or plug, in every family: never the other way round; and where two
    elements are behind one check, it is asked which of them leaks."""
    checks = [(family, key, check, sides) for family, pack in index.knowledge.packs.items()
              for key, check in pack.checks.items() if (sides := sides_of(check)) is not None]
    assert {key for _, key, _, _ in checks} >= {
        "heater_to_coil", "pins_to_ground", "motor_to_ground", "stator_to_ground", "motor_insulation",
        "element_to_case",
        "winding_ohms", "motor_to_case", "heater_to_ground", "pump_to_frame", "unit_to_case"}
    for family, key, check, sides in checks:
        heard = answer(index, family, key, text)
        value = heard.heard.value if heard.heard is not None and heard.result is None else None
        result = heard.result if value is None else judge(check, Seen(key, value=value), {}).result
        if text in CLEAR:
            assert result == sides.clear, (family, key)
        elif sides.high is None and len(sides.leaks) > 1:
            assert result in sides.leaks or {guess.id for guess in heard.near} >= set(sides.leaks), (family, key)
        else:
            assert result in sides.leaks, (family, key)


@pytest.mark.parametrize(("text", "result"), [
    ("4 8 12, OL to shell", "good"), ("one pair is OL, nothing to the shell", "open"),
    ("doesnt add up, clear to ground", "uneven"), ("8 ohm run to common and nothing to the shell", "good")])
def test_the_windings_are_heard_beside_the_shell(index: Index, text: str, result: str) -> None:
    """Clear of the shell, and besides what the three pairs say."""
    assert answer(index, "refrigerator", "winding_ohms", text).result == result


def test_three_ohms_that_do_not_add_up_are_asked_about(index: Index) -> None:
    """4 and 8 are not 20, whatever the shell says."""
    heard = answer(index, "refrigerator", "winding_ohms", "4 8 20, OL to the shell")
    assert heard.result is None and {guess.id for guess in heard.near} == {"uneven", "good"}


def test_the_rest_of_a_line_is_kept_apart() -> None:
    """What is said of the metal tells nothing of the ohms."""
    assert apart_from_ground("4 8 12, OL to shell") == "4 8 12"


@pytest.mark.parametrize("text", ["below a meg to the frame", "under a meg"])
def test_under_a_megohm_is_a_leak(index: Index, text: str) -> None:
    """A number is heard in it, and it is said to be less than that."""
    assert answer(index, "dryer", "motor_to_case", text).result == "grounded"
