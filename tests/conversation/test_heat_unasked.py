"""A dryer that heats with nobody asking is stopped at once, and found without a run; an oven's fan is left to run."""

from __future__ import annotations

import pytest

from bot.simulation.chat import Chat

STOP = "Plug out now"


def told(chat: Chat, kind: str = "complaint") -> set[str]:
    """What stands of a kind."""
    return {fact.subject for fact in chat.job.standing(kind)}


def asked(chat: Chat) -> str:
    """The check that is open."""
    assert chat.job.question is not None and chat.job.question.kind == "check", chat.job.question
    return chat.job.question.checks[0]


def visit(chat_of, *lines: str, signoffs: tuple[str, ...] = ()) -> tuple[Chat, str]:
    """A visit with these lines typed one after the other, and all that the bot said."""
    chat = chat_of(*signoffs)
    words = [text for line in lines for sent in chat.send(line) for text in sent.paragraphs]
    return chat, "\n".join(words)


@pytest.mark.parametrize("text", [
    "electric dryer blows hot on the fluff cycle", "dryer heats on air only, electric",
    "electric dryer, elem is glowing w drum stopped", "electric dryer keeps heating after the cycle is over",
    "electric dryer heats with the door open", "electric dryer heats on no heat setting",
    "electric dryer, timer off but element still on", "electric dryer gets hot just plugged in",
    "secadora eléctrica calienta en aire frío", "gas dryer, burner stays lit when i open the door"])
def test_heat_that_nobody_asked_for_stops_the_machine_before_anything_else(chat_of, release, text):
    """Plug and breaker first, and what comes next is made on a dead machine."""
    chat, said = visit(chat_of, text)
    assert "heats_unasked" in told(chat) and STOP in said
    assert not told(chat) & {"no_heat", "wont_stop"}
    if chat.job.question is not None and chat.job.question.kind == "check":
        assert release.knowledge.packs["dryer"].checks[asked(chat)].power in {"off", "any"}


@pytest.mark.parametrize("text", [
    "electric dryer no heat on air only or on high", "electric dryer no heat, it was set to air dry, heats now",
    "electric dryer noisy, heats fine and shuts off when done", "electric dryer belt broke, heats but drum stopped",
    "electric dryer wont stop, drum keeps turning with the door open", "does the electric dryer heat on air only?",
    "electric dryer still too hot even on low"])
def test_the_same_words_in_another_order_stop_nothing(chat_of, text):
    """A setting that gives no heat is as it should be, and so is the heat of a dryer whose belt is off."""
    chat, said = visit(chat_of, text)
    assert "heats_unasked" not in told(chat) and STOP not in said


def test_a_hot_dryer_turns_out_to_be_hot_on_air_only_too(chat_of):
    """Told later, while the air outside is asked for: no run any more, and 'dead and safe' is no reading of zero."""
    chat, said = visit(chat_of, "electric dryer runs too hot", "even on air only", "dead and safe")
    assert "heats_unasked" in told(chat) and STOP in said
    assert asked(chat) in {"element_to_case", "element_look"}
    assert not told(chat, "result")
    chat.send("0.8 ohm to case")
    assert {(f.subject, f.value) for f in chat.job.standing("result")} == {("element_to_case", "grounded")}


def test_breaker_off_is_still_an_answer_where_the_breaker_is_asked(chat_of):
    """Only what was told to be done is taken for done; at the panel the same words are what was found."""
    chat, _ = visit(chat_of, "electric dryer no heat since the new panel was put in")
    assert asked(chat) == "panel_look"
    chat.send("one half tripped")
    assert ("panel_look", "tripped") in {(f.subject, f.value) for f in chat.job.standing("result")}


@pytest.mark.parametrize("text", [
    "oven fan keeps running after I turn it off", "oven fan wont stop",
    "electric wall oven, cooling fan keeps blowing 30 min after the oven is off"])
def test_a_fan_that_runs_on_cuts_no_power(chat_of, text):
    """It cools the oven: how long it runs is asked for, and nobody goes to the breaker for it."""
    chat, said = visit(chat_of, text)
    assert "fan_runs_on" in told(chat) and "wont_turn_off" not in told(chat)
    assert "Breaker off now" not in said


def test_a_fan_that_stops_by_itself_is_no_fault(chat_of):
    """A wall oven whose fan stops when it has cooled works as it should."""
    chat, _ = visit(chat_of, "electric wall oven, cooling fan keeps blowing 30 min after the oven is off")
    assert asked(chat) == "fan_runs"
    chat.send("1")
    assert ("fan_runs", "stops") in {(f.subject, f.value) for f in chat.job.standing("result")}
    assert "wont_turn_off" not in told(chat)


def test_a_wall_oven_is_asked_nothing_of_a_top(chat_of):
    """It is known for one by its name, and so what is read is the oven's own."""
    chat, said = visit(chat_of, "electric wall oven wont bake")
    assert ("surface", "none") in {(f.subject, f.value) for f in chat.job.standing("variant")}
    assert asked(chat) not in {"which_units", "watch_all", "surface_regulate"}
    assert "surface" not in said.lower()


def test_a_wall_oven_said_when_the_top_is_asked_for(chat_of):
    """No gas top, no gas cautions."""
    chat, _ = visit(chat_of, "oven wont bake", "its a wall oven no top")
    variants = {(f.subject, f.value) for f in chat.job.standing("variant")}
    assert ("surface", "none") in variants and ("fuel", "dual") not in variants


def test_a_dead_display_is_no_knob(chat_of):
    """'No display' is the trouble, not the build."""
    chat, _ = visit(chat_of, "electric range completely dead, no display")
    assert "display_dead" in told(chat)
    assert ("control", "thermostat") not in {(f.subject, f.value) for f in chat.job.standing("variant")}


def test_an_oven_that_lights_late_gets_no_lighter_and_no_cap(chat_of):
    """Told of the oven, it is the oven's igniter that is in question; told of nothing, it is asked which."""
    chat, said = visit(chat_of, "gas oven takes ten minutes to light", signoffs=("gas", "live"))
    assert ("late_where", "oven") in {(f.subject, f.value) for f in chat.job.standing("result")}
    assert "cap" not in said and "lighter" not in said
    other, _ = visit(chat_of, "gas range lights late with a puff", signoffs=("gas",))
    assert asked(other) == "late_where"


def test_what_was_seen_of_an_igniter_is_no_current(chat_of):
    """An orange glow proves nothing of the amps: a look is filed as a look."""
    chat, _ = visit(chat_of, "gas oven wont heat", "glow bar", "igniter glows orange")
    results = {(f.subject, f.value) for f in chat.job.standing("result")}
    assert "igniter_amps" not in {check for check, _ in results}
    assert ("oven_light_up", "glow_no_flame") in results
