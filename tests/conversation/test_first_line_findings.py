"""A first line, or a later one, that tells what a look showed in the words that everybody in the trade has for it."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def talked(release, *lines: str) -> Chat:
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for line in lines:
        chat.send(line)
    return chat


def results(chat: Chat) -> dict[str, str]:
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


@pytest.mark.parametrize(("lines", "result"), [
    (("gas dryer no heat, igniter glows then out no flame",), "glow_out"),
    (("gas dryer no heat", "dunno", "glows then out, no flame"), "glow_out"),
    (("gas dryer no heat, ignitor dont glow",), "no_glow")])
def test_what_the_igniter_does_is_heard_wherever_it_is_told(release, lines, result):
    """The burner is not asked for again."""
    chat = talked(release, *lines)
    assert results(chat)["burner_watch"] == result
    assert "burner_watch" not in (chat.job.question.checks if chat.job.question else ())


def test_a_glow_without_flame_may_stay_or_go(release):
    """Which of the two tells the sensor from the coils: it is not guessed."""
    assert "burner_watch" not in results(talked(release, "gas dryer no heat, igniter glows no flame"))


@pytest.mark.parametrize("line", [
    "electric oven bake element has a hole burned in it", "electric range oven no heat, bake element burned thru"])
def test_an_element_that_burned_through_is_broken(release, line):
    """No burnt wire, and no element that is still to be looked at."""
    assert results(talked(release, line)) == {"bake_look": "broken"}


def test_a_hole_in_the_filter_is_none_in_the_element(release):
    """Each part by its own name."""
    assert results(talked(release, "dryer lint screen has a hole in it")) == {"lint_screen_look": "torn"}


def test_a_fan_that_stands_is_no_silent_compressor(release):
    """Fan and compressor are asked apart; only the one that is named is filed."""
    found = results(talked(release, "fridge warm freezer ok, evap fan not running"))
    assert found["fan_listen"] == "silent" and "compressor_hum" not in found
    assert results(talked(release, "fridge warm, comp not running"))["compressor_hum"] == "silent"


def test_a_dead_burner_is_none_that_lights_late(release):
    """'Front left' answers nothing where no late lighting was told."""
    assert "late_where" not in results(talked(release, "electric range front left burner dead, others fine"))


def test_a_pump_told_humming_is_not_listened_to_again(release):
    """What the first line says of the pump is the answer."""
    chat = talked(release, "front loader drain pump hums no water out")
    assert results(chat)["pump_sound"] == "hums"


@pytest.mark.parametrize("line", ["got a belt in van", "i have a new belt on the truck", "theres a belt with me"])
def test_a_part_that_is_at_hand_is_not_in(release, line):
    """No proof is asked for, and what is asked stays open."""
    chat = talked(release, "top loader belt drive wont spin", line)
    assert chat.job.question.checks == ("watch_spin",)
    assert not chat.job.standing("repaired")
    assert "Good to have it with you" in chat.heard["rui"][-1].text


def test_a_part_from_the_van_that_went_in_is_proved(release):
    """Where it was before is no matter."""
    chat = talked(release, "top loader belt drive wont spin", "put on the belt i had in the van, spins now")
    assert chat.job.question.kind == "proof"


@pytest.mark.parametrize(("lines", "check", "result"), [
    (("dryer wont start just hums", "belt is broke"), "belt_look", "broken"),
    (("electric dryer no heat", "element is broke"), "element_look", "broken"),
    (("top load direct drive wont spin or agitate, motor hums", "yes hums then clicks", "coupler is broke"),
     "coupling_look", "sheared"),
    (("fridge ice maker not working, arm is up",), "arm_look", "off")])
def test_a_part_that_is_broke_is_filed_on_its_own_look(release, lines, check, result):
    """Whatever was asked just then."""
    assert results(talked(release, *lines))[check] == result


def test_a_doubtful_answer_to_what_is_open_is_none_beside_it(release):
    """'Sock in the pump' while the spin is asked was heard as a silent motor."""
    chat = talked(release, "top loader wont spin", "sock in the pump")
    assert "watch_spin" not in results(chat)


def test_a_gas_range_is_none_without_gas(release):
    """Of the ways an oven lights, 'no gas ignition' only shares a word with it."""
    chat = talked(release, "gas oven wont light, ignitor glows but nothing", "its a gas range")
    assert ("ignition", "none") not in {(fact.subject, fact.value) for fact in chat.job.standing("variant")}
