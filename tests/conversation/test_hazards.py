"""Hazards: plain-word answers, what stays dead afterwards, what is no hazard, unsafe machines that are not repaired."""

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Outcome, Phase
from bot.conversation.safety.hazards import ANSWERS, hazard_answer
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM
from tests.conversation.test_told_beside import facts, visit


@pytest.mark.parametrize(("hazard", "text", "value"), [
    ("fire", "its getting worse", "worse"), ("fire", "dead n unplugged", "dead"),
    ("shock", "its off at the breaker", "dead"),
    ("fire", "unplugged but still smoking", "worse"), ("flood", "water is off", "water_off"),
    ("refrigerant", "windows open, all aired", "aired"), ("gas", "we are all outside", "out"),
    ("injury", "ambulance is here", "helped"), ("fire", "what do i do", None)])
def test_plain_words_say_how_it_stands(hazard, text, value):
    """Nobody types labels next to a burning machine; anything like worse counts as worse."""
    assert hazard_answer(text, ANSWERS[hazard]) == value


def test_after_a_shock_nothing_is_powered_until_the_repair_is_done(chat_of):
    """Only checks on a dead machine follow; the complaint stays, and it is proved dead before hands go in."""
    chat = chat_of("live")
    chat.send("toploader wont spin")
    chat.send("it just shocked me")
    chat.send("breaker is off")
    checks = chat.release.knowledge.packs["top_load_washer"].checks
    for _ in range(6):
        question = chat.job.question
        if question is None or question.kind not in {"check", "variant"}:
            break
        assert all(checks[key].power not in {"run", "live"} for key in question.checks)
        chat.press(1)
    assert "electric_shock" in {f.subject for f in chat.job.standing("complaint")}


def test_a_refrigerant_read_off_the_plate_is_no_hazard(chat_of):
    """'R600a it says' answers a question; gas hissing out is another matter."""
    chat = chat_of()
    chat.send("fridge not cold at all")
    chat.send("r600a it says")
    assert chat.job.phase is not Phase.HAZARD
    chat.send("i poked it and now gas is hissing out")
    assert chat.job.phase is Phase.HAZARD


def test_an_unsafe_machine_that_is_not_repaired_is_tagged(chat_of):
    """Declined or left: an unsafe finding ends dead and tagged, never in service."""
    for way in ("tagged", "declined"):
        chat = chat_of()
        chat.crew = (Person("marta", "Marta", "senior"),)
        chat.send("toploader wont spin")
        chat.send("senior")
        chat.press(1, who="marta")
        name = chat.release.knowledge.packs["top_load_washer"].faults["lid_switch.stuck_or_bridged"].name
        chat.send(f"found {name}", who="marta")
        assert "Dead and tagged" in chat.heard["rui"][-1].choices
        if way == "tagged":
            chat.send("dead and tagged")
        else:
            chat.send("got one")
            chat.send("no")
        assert chat.job.outcome is Outcome.UNSAFE_TAGGED


def test_no_question_goes_with_an_urgent_hazard(release):
    """A senior who is told of gas gets the case, not a check that asks for a flame."""
    chat = Chat(release, Person("rui", "Rui"), FIRM, crew=(Person("marta", "Marta", "senior"),))
    chat.send("gas dryer no heat and i smell gas strong")
    assert "Hazard: gas" in chat.heard["marta"][-1].text
    assert "One question" not in chat.heard["marta"][-1].text


def test_smoke_before_the_machine_is_known_is_kept_for_when_it_is(chat_of):
    """'Washing machine' may be either washer: both are offered when it is safe; the smell is not asked about again."""
    chat = chat_of()
    chat.send("washing machine smell of something burning when it spins")
    chat.send("dead and safe")
    assert chat.job.question.kind == "family"
    assert set(chat.job.question.values) == {"top_load_washer", "front_load_washer"}
    chat.send("top load")
    assert {f.subject for f in chat.job.standing("complaint")} == {"burning_smell"}
    assert chat.job.question.kind not in {"menu", "complaint"}


@pytest.mark.parametrize("line", [
    "relay smells burnt", "pulled the relay, smells burnt", "start relay smells like burnt"])
def test_a_part_in_hand_that_smells_burnt_is_how_it_was_found(release, line):
    """No fire is fought for it; nothing gets power before it is changed."""
    chat = visit(release, "fridge warm both sides, clicks every couple min", line)
    assert chat.job.phase is not Phase.HAZARD and chat.job.position.machine.stays_dead
    assert facts(chat, "result")["start_shake"] == "bad"


@pytest.mark.parametrize("line", [
    "relay is smoking", "smells burnt back here", "relay smells burnt and its hot", "kitchen smells burnt"])
def test_smoke_heat_or_a_room_that_smells_is_a_fire(release, line):
    assert visit(release, "fridge warm both sides, clicks every couple min", line).job.phase is Phase.HAZARD


def test_a_wire_seen_burnt_off_is_mended_before_anything_is_asked(release):
    chat = visit(release, "elec oven no bake", "looks whole", "all burners work", "wire burnt off at the back")
    assert chat.job.position.machine.stays_dead
    assert chat.job.position.fault == "wiring.open_or_burnt" and chat.job.question.kind == "finding"
