"""Which burner it is, a new gas line, readings of the other part, doubts about another part, facts of a first line."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

RUI = Person("rui", "Rui", signoffs=frozenset({"live"}))


def visit(release: Release, *lines: str) -> Chat:
    """A visit after some typed lines."""
    chat = Chat(release, RUI, FIRM)
    for line in lines:
        chat.send(line)
    return chat


def results(chat: Chat) -> dict[str, str | None]:
    """Check -> result, as filed."""
    assert chat.job is not None
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


def numbers(chat: Chat) -> dict[str, float | None]:
    """Check -> figure, as filed."""
    assert chat.job is not None
    return {fact.subject: fact.number for fact in chat.job.standing("result")}


def complaints(chat: Chat) -> set[str]:
    """Complaints that stand."""
    assert chat.job is not None
    return {fact.subject for fact in chat.job.standing("complaint")}


def said(chat: Chat) -> str:
    """What was said last."""
    return "\n".join(message.text for message in chat.latest)


ELEMENT = ("electric range wont bake", "element OL")


@pytest.mark.parametrize("line", ["hums, hose not kinked", "buzzing, no kinks in hose", "hums n the hose aint kinked"])
def test_a_part_named_beside_the_answer_takes_nothing_from_it(release: Release, line: str) -> None:
    """The pump and the hose are filed, each on its own check."""
    filed = results(visit(release, "dishwasher wont drain", line))
    assert (filed["pump_sound"], filed["drain_hose_path"]) == ("hums", "free")


@pytest.mark.parametrize("line", ["its the rear left one", "rear left", "only the back left", "the big one in front",
                                  "lf"])
def test_the_place_of_one_burner_tells_that_the_others_light(release: Release, line: str) -> None:
    """One that is named is not several."""
    assert results(visit(release, "gas range burner wont light", line)) == {"other_burners": "catch"}


@pytest.mark.parametrize("line", ["its the rear left one", "front right one", "rr"])
def test_the_place_of_a_dead_unit_is_one_unit(release: Release, line: str) -> None:
    """Whatever is asked just then."""
    assert results(visit(release, "electric range one burner wont heat", line))["which_units"] == "one"


@pytest.mark.parametrize("first", ["gas range flame yellow", "glass top range, rf stuck on high"])
def test_the_place_of_a_burner_is_no_other_trouble(release: Release, first: str) -> None:
    """Its flame is yellow or its heat is stuck: it is not dead."""
    chat = visit(release, first, "no wait its the rear left one")
    assert "surface_dead" not in complaints(chat) and "which_units" not in results(chat)


@pytest.mark.parametrize("line", [
    "new gas flex put in last week", "they moved the stove n reconnected the gas line", "new supply hose on it",
    "handyman hooked up a new gas line", "she had the gas pipe moved",
    "new gas flex hose, i soap tested it, no bubbles"])
def test_a_new_gas_line_is_leak_tested_before_anything_is_lit(release: Release, line: str) -> None:
    """No smell, so nobody is sent out; but no check that lights it is asked."""
    chat = visit(release, "gas range burner wont light", line)
    assert chat.job is not None and chat.job.phase is Phase.CHECKS and "leak tested" in said(chat)
    question = chat.job.question
    assert question is not None
    assert all(release.knowledge.packs["range"].checks[key].power not in {"run", "live"} for key in question.checks)


def test_once_it_was_tested_it_may_be_lit(release: Release) -> None:
    """By somebody who may; the run that was put off is asked."""
    chat = visit(release, "gas range burner wont light", "new gas flex put in last week",
                 "gas co leak tested it, tight")
    assert chat.job is not None and not [f for f in chat.job.standing("declined") if f.subject == "run"]


@pytest.mark.parametrize("line", ["smells gas at the new flex hose", "the new gas line is leaking",
                                  "new gas line, bubbles at the nut", "new gas hose just popped off"])
def test_gas_that_gets_out_of_a_new_line_is_a_danger(release: Release, line: str) -> None:
    """Out first."""
    chat = visit(release, "gas range burner wont light", line)
    assert chat.job is not None and chat.job.phase is Phase.HAZARD


@pytest.mark.parametrize("line", ["gas line is years old", "gas valve open", "no new hose on it",
                                  "needs a new gas line"])
def test_an_old_line_is_no_new_one(release: Release, line: str) -> None:
    """Nothing is put off."""
    chat = visit(release, "gas range burner wont light", line)
    assert chat.job is not None and not chat.job.standing("declined") and "leak tested" not in said(chat)


def test_the_line_of_a_dishwasher_carries_water(release: Release) -> None:
    """A new supply hose there is no gas joint."""
    assert "leak tested" not in said(visit(release, "dishwasher leaks, new supply hose put in"))


@pytest.mark.parametrize("line", ["pots black on bottom", "black on bottom of pots", "leaves black on the pans",
                                  "makes pan bottoms black", "bottom of my skillet goes black"])
def test_black_pots_are_a_sooty_flame(release: Release, line: str) -> None:
    """It is turned off and left off at once."""
    chat = visit(release, f"gas range, {line}")
    assert "flame_yellow_or_weak" in complaints(chat) and results(chat)["flame_told"] == "sooty"


def test_a_reading_of_the_other_part_goes_there(release: Release) -> None:
    """Of the two elements each has its own."""
    chat = visit(release, "electric range wont bake", "bake element looks whole", "bake element 28 ohm",
                 "no wait that was the broil one, bake is OL")
    assert results(chat)["element_ohms"] == "open" and numbers(chat)["broil_ohms"] == 28


@pytest.mark.parametrize(("line", "bake"), [("sorry that was the broil, bake 22 ohms", 22.0),
                                            ("wait thats the broil one", None)])
def test_an_open_one_that_was_the_other(release: Release, line: str, bake: float | None) -> None:
    """What was told of it with no figure moves too."""
    chat = visit(release, *ELEMENT, line)
    assert results(chat)["broil_ohms"] == "open" and numbers(chat).get("element_ohms") == bake


def test_a_figure_that_is_asked_about_was_of_the_other(release: Release) -> None:
    """The complaint stands, and the right one is filed."""
    chat = visit(release, "electric range bake and broil dead", "bake 1200 ohm broil 30",
                 "no wait that was the broil one, bake is 30")
    assert complaints(chat) == {"broil_no_heat", "oven_no_heat"} and numbers(chat)["element_ohms"] == 30


@pytest.mark.parametrize("line", ["scratch that, it was 12 not 22", "make that 12 not 22", "12 ohm not 22", "sorry 12"])
def test_a_figure_that_is_put_right(release: Release, line: str) -> None:
    """The new one stands alone."""
    assert numbers(visit(release, "electric range wont bake", "bake element 22 ohm", line))["element_ohms"] == 12


@pytest.mark.parametrize("line", ["could it be the board tho?", "you sure its not the board", "what about the board?",
                                  "might it be the board instead?", "could the board be bad?"])
def test_a_doubt_about_another_part_has_its_chance_and_what_speaks_against_it(release: Release, line: str) -> None:
    """No steps; the finding stays."""
    chat = visit(release, *ELEMENT, line)
    heard = said(chat)
    assert "long shot" in heard and "Element open goes with open bake element" in heard and "1." not in heard
    assert chat.job is not None and chat.job.phase is Phase.FINDING


def test_a_doubt_about_a_part_that_nobody_knows_gets_no_steps(release: Release) -> None:
    """Nothing points there; what is believed is said."""
    heard = said(visit(release, *ELEMENT, "could it be the widget?"))
    assert "Nothing I have points there" in heard and "open bake element" in heard


@pytest.mark.parametrize("lines", [("got one", "customer agreed and its in, bakes good"),
                                   ("customer says yes", "put new one in, bakes")])
def test_a_yes_that_was_told_counts(release: Release, lines: tuple[str, ...]) -> None:
    """In the same line as the repair, or before it."""
    heard = said(visit(release, *ELEMENT, *lines))
    assert "before they said yes" not in heard and "price" not in heard


def test_a_yes_before_there_was_a_price(release: Release) -> None:
    """Nobody is told that there was none; the price is to be named."""
    heard = said(visit(release, "electric range wont bake", "element OL, customer said go ahead", "got one", "its in"))
    assert "before they said yes" not in heard and "Tell them now, if" in heard


@pytest.mark.parametrize("line", ["not yet, still putting panels on", "still wiping up", "not yet"])
def test_who_still_closes_up_is_given_time(release: Release, line: str) -> None:
    """At the list and at the proof: nothing failed and nothing is done."""
    repaired = (*ELEMENT, "got one", "yes", "done")
    proving = visit(release, *repaired, line)
    closing = visit(release, *repaired, "works", line)
    assert proving.job is not None and proving.job.phase is Phase.PROOF
    assert closing.job is not None and closing.job.phase is Phase.CLOSING and "don't follow" not in said(closing)
    closing.send("ok panels on now")
    assert closing.job.question is not None and closing.job.question.kind == "site"


def test_what_is_still_dead_is_what_was_complained_of(release: Release) -> None:
    """A socket that did not cure makes no dead range."""
    chat = visit(release, "electric range coil burner dead", "stays at place", "socket black n pitted", "got one",
                 "yes", "done still dead")
    assert chat.job is not None and chat.job.phase is Phase.CHECKS and complaints(chat) == {"surface_dead"}


def test_power_after_a_burnt_outlet_is_on_a_new_one(release: Release) -> None:
    """It is never said to be plugged back in."""
    chat = visit(release, "dishwasher dead", "wire nut melted in the box", "cut back n new wire nut")
    assert chat.job is not None and chat.job.phase is Phase.PROOF
    assert "Power only once what was burnt is new" in said(chat) and "Plug it back in" not in said(chat)
    assert results(chat)["box_look"] == "burnt" and "ground_bond" not in results(chat)


def test_what_a_line_takes_back_itself_is_not_filed(release: Release) -> None:
    """Whatever is asked."""
    chat = visit(release, "dishwasher wont drain", "breaker tripped, no wait breaker was on")
    assert "panel_look" not in results(chat)


@pytest.mark.parametrize(("line", "told"), [
    ("dishwasher wont drain, hums, air gap clear, hose new last yr", {"pump_sound": "hums", "knockout_ask": "clear"}),
    ("dishwasher not draining, filter clean, hose not kinked", {"filter_look": "clean", "drain_hose_path": "free"}),
    ("dishwasher wont fill, float free, screen clean", {"float_move": "clicks", "screen_look": "clean"}),
    ("dishwasher poor wash, arms spin free, filter clean, water 120f", {"filter_look": "clean", "tap_temp": "hot"}),
    ("dishwasher leaks at door, gasket soft", {"gasket_look": "good"}),
    ("gas range burner keeps clicking, cap seated", {"cap_look": "fine"}),
    ("electric range wont bake, element whole, sensor 1080", {"bake_look": "whole", "sensor_ohms": "good"}),
    ("coil range one burner dead, socket bright and tight", {"coil_socket_look": "bright"})])
def test_what_is_well_in_a_first_line_is_filed(release: Release, line: str, told: dict[str, str]) -> None:
    """Each on its own check."""
    assert told.items() <= results(visit(release, line)).items()


@pytest.mark.parametrize("line", ["dishwasher wont drain, new filter", "dishwasher wont drain, is the filter clean?",
                                  "dishwasher wont drain, havent looked at filter", "dishwasher wont drain, pump free"])
def test_what_nobody_saw_to_be_well_is_not(release: Release, line: str) -> None:
    """Planned, asked, or of which pump nobody can say."""
    assert not results(visit(release, line))


@pytest.mark.parametrize("line", ["igniter glows orange n lights after like 90 sec", "glows n takes 2 min to catch"])
def test_an_igniter_that_lights_late_lights(release: Release, line: str) -> None:
    """It is no glow without a flame."""
    filed = results(visit(release, "gas oven takes forever to preheat, top burners fine", line))
    assert filed["oven_light_up"] == "late"
