"""Dishwashers and ranges: an answer in one part of a line, what is denied after all, whose outlet is burnt."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.simulation.chat import Chat
from tests.conversation.test_burners_joints_and_doubts import complaints, results, visit


def dangers(chat: Chat) -> set[str]:
    """Dangers that were told."""
    assert chat.job is not None
    return {fact.subject for fact in chat.job.standing("danger")}


GRINDS = ("dishwasher makes awful grinding racket", "in the wash part", "strong")
OVEN_ON = "electric oven runs hot n wont shut off, keypad"
ONE_BURNER = ("gas stove burner wont lite, or takes forever n then woof",
              "just that one burner. others light fine n its burnin full n blue if i use a match")


@pytest.mark.parametrize(("line", "began"), [
    ("came all at once, after a party", "sudden"), ("it was bit by bit, got worse last week", "slowly"),
    ("it didnt come all at once, more bit by bit", "slowly")])
def test_one_part_of_a_line_answers(release: Release, line: str, began: str) -> None:
    """The rest of it takes nothing from that, and what it denies is not taken."""
    assert results(visit(release, *GRINDS, line))["history"] == began


def test_a_part_that_answers_goes_with_what_is_told_beside_it(release: Release) -> None:
    """Clock and lights are noted, and so is how it began."""
    chat = visit(release, "wall oven electric, no heat in bake or broil",
                 "one day to the next she says. clock n lights all fine tho")
    assert chat.job is not None
    assert results(chat)["since_when"] == "one_day"
    assert "display_dead" in {fact.subject for fact in chat.job.standing("denied")}


@pytest.mark.parametrize("line", ["no no it turns off fine, just runs hot", "it turns off fine",
                                  "wait it does shut off, just runs too hot"])
def test_a_complaint_is_denied_after_all(release: Release, line: str) -> None:
    """It is taken back, and nothing is filed of a heat at off."""
    chat = visit(release, OVEN_ON, line)
    assert complaints(chat) == {"oven_temperature_wrong"}
    assert "fan_runs" not in results(chat)


@pytest.mark.parametrize("line", ["it turns off sometimes", "does it turn off?", "wont turn off at all"])
def test_a_denial_that_is_none_takes_nothing_back(release: Release, line: str) -> None:
    """Sometimes is not always."""
    assert "wont_turn_off" in complaints(visit(release, OVEN_ON, line))


def test_a_quiet_fan_takes_back_no_noise(release: Release) -> None:
    """The door that squeaks is what was told of."""
    chat = visit(release, "so this lady bakes cookies and they come out burnt one side, raw on the other, also theres "
                 "a squeak every time u open up and the display throws some code, glass top range",
                 "fan turns nice n quiet. but hold on the door hangs crooked, wont close right")
    assert results(chat)["convection_watch"] == "turns"
    assert "noisy" in complaints(chat)


@pytest.mark.parametrize(("line", "look"), [
    ("electric range dead, receptacle burnt, melted prongs", "outlet_look"),
    ("electric stove nothing works, outlet prongs melted", "outlet_look"),
    ("electric range no clock no heat, plug prongs burnt", "outlet_look"),
    ("coil stove one coil dead, receptacle burnt, prongs black", "coil_socket_look"),
    ("coil range left front dead, prongs burnt at the receptacle", "coil_socket_look")])
def test_whose_receptacle_is_burnt(release: Release, line: str, look: str) -> None:
    """A coil's stops one coil; where all is dead it is the wall's."""
    filed = results(visit(release, line))
    assert filed[look] == "burnt"
    assert len({"outlet_look", "coil_socket_look"} & filed.keys()) == 1


@pytest.mark.parametrize("line", ["gas stove pots black underneath, flame looks ok", "gas stove, pots get black"])
def test_black_pots_are_soot(release: Release, line: str) -> None:
    """No fire, and nothing is lit: soot comes with carbon monoxide."""
    chat = visit(release, line)
    assert not dangers(chat)
    assert results(chat)["flame_told"] == "sooty"
    assert "carbon monoxide" in "\n".join(message.text for message in chat.latest)


def test_a_flame_on_what_burns_no_gas_is_a_fire(release: Release) -> None:
    """An electric range has none of its own."""
    assert dangers(visit(release, "electric coil range, one coil dead", "bottom flame is yellow")) == {"fire"}


@pytest.mark.parametrize("line", ["small flame at the gas valve at the back", "yellow flame out the oven door"])
def test_a_flame_that_gets_out_is_a_fire(release: Release, line: str) -> None:
    """At a fitting or out of the door it is none of the burner's."""
    assert dangers(visit(release, "gas range, one burner wont light", line)) == {"fire"}


@pytest.mark.parametrize(("line", "spark"), [
    ("cap sits good. its the little spark thingy, dont spark there, all the others do", "spark_elsewhere"),
    ("cap fine. no spark here, the rest spark", "spark_elsewhere"), ("cap fine. no spark at any burner", "no_spark")])
def test_one_that_does_not_spark_while_the_others_do(release: Release, line: str, spark: str) -> None:
    """Is not all of them."""
    assert results(visit(release, *ONE_BURNER, line))["burner_watch"] == spark


@pytest.mark.parametrize(("line", "film"), [
    ("dishwasher leaves cloudy glasses", None), ("dishwasher glasses stay cloudy every load", None),
    ("dishwasher cloudy glasses, vinegar dont touch it", "stays"),
    ("dishwasher glasses cloudy, wipes off with vinegar", "clears")])
def test_who_names_no_vinegar_rubbed_with_none(release: Release, line: str, film: str | None) -> None:
    """Cloudy is the complaint."""
    chat = visit(release, line)
    assert "white_film" in complaints(chat)
    assert results(chat).get("film_vinegar") == film


@pytest.mark.parametrize(("line", "lamp"), [
    ("dishwasher wont start, outlet reads 120", "lit"), ("dishwasher dead, no power at outlet", "dead"),
    ("dishwasher wont heat, element 120", None)])
def test_what_an_outlet_has(release: Release, line: str, lamp: str | None) -> None:
    """A figure is as good as a lamp; that of a heater is none of an outlet's."""
    assert results(visit(release, line)).get("lamp_in_outlet") == lamp


@pytest.mark.parametrize(("line", "code"), [
    ("dishwasher code on display, board type", None), ("dishwasher flashes a code on the panel", None),
    ("dishwasher board code", "control"), ("dishwasher code on the display says board", "control"),
    ("dishwasher fill code on panel", "fill")])
def test_where_a_code_stands_is_not_what_it_is_about(release: Release, line: str, code: str | None) -> None:
    """Nor is how the machine is built."""
    assert results(visit(release, line)).get("code_ask") == code


def test_a_coil_that_is_always_full_is_told_by_a_swap_too(release: Release) -> None:
    """The trouble stays where it was."""
    chat = visit(release, "coil stove, one coil goes full blast no matter what, even on lo", "not convinced",
                 "swapped coils n trouble stays at that spot")
    assert results(chat)["swap_coil"] == "with_place"


@pytest.mark.parametrize("line", ["popped open this time, nothing left in the cup", "lid was open n no soap left"])
def test_the_trouble_seen_gone_proves_the_repair(release: Release, line: str) -> None:
    """Nobody has to say that it works."""
    chat = visit(release, "dishwasher soap door wont open, tab still in it", "sticks", "got one", "done, its in", line)
    assert chat.job is not None
    assert chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize("line", ["lid still shut, tab in it", "cup still full"])
def test_the_trouble_seen_again_does_not(release: Release, line: str) -> None:
    """Back to the checks."""
    chat = visit(release, "dishwasher soap door wont open, tab still in it", "sticks", "got one", "done, its in", line)
    assert chat.job is not None
    assert chat.job.phase is Phase.CHECKS


def test_an_oven_that_heats_tells_nothing_of_its_igniter(release: Release) -> None:
    """Where a build sits is no name of it."""
    chat = visit(release, "gas range burner wont light n oven wont heat", "oven heats ok, its just the burner")
    assert chat.job is not None
    assert "ignition" not in {fact.subject for fact in chat.job.standing("variant")}


def test_the_trouble_told_again_answers_nothing_by_itself(release: Release) -> None:
    """No basket was turned by hand for 'wont spin'."""
    chat = visit(release, "beltdrive toploader wont spin", "hums and wont start", "washes fine",
                 "yeah they turn over fine", "no water left, its empty", "plain lid switch", "clicks both ways",
                 "carry on", "wont spin, all the rest works")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == ("pulley_by_hand",)
    chat.send("wont spin, all the rest works")
    assert "pulley_by_hand" not in results(chat)
