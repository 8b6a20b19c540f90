"""What is told of a washer at the door: it decides whether the machine may run, and which machine it is."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.release import Release
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def visit(release: Release, *texts: str) -> Chat:
    """A visit as the program leads it, with these words typed one after the other."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for text in texts:
        chat.send(text)
    return chat


def facts(chat: Chat, kind: str) -> dict[str, str]:
    """What stands of a kind: subject -> value."""
    assert chat.job is not None
    return {fact.subject: fact.value for fact in chat.job.standing(kind)}


def power_of_question(chat: Chat) -> str:
    """In what state the machine is wanted by the check that is open."""
    assert chat.job is not None and chat.job.question is not None and chat.job.family is not None
    pack = chat.release.knowledge.packs[chat.job.family]
    return pack.checks[chat.job.question.checks[0]].power


def told(chat: Chat) -> str:
    """All that the tech was told so far."""
    return " ".join(paragraph for said in chat.heard["rui"] for paragraph in said.paragraphs)


@pytest.mark.parametrize("opening", [
    "front load washer, rim wobbles once a turn",
    "front loader noisy and shaking, the drum wobbles in the tub when i turn it",
    "front loader shakes, gap at the gasket opens and closes as the drum turns",
])
def test_a_drum_that_wobbles_in_its_tub_does_not_spin_again(release: Release, opening: str) -> None:
    """The stop comes with the first answer, and what follows is done by hand."""
    chat = visit(release, opening)
    assert facts(chat, "result").get("drum_play") == "wobbles"
    assert "Don't let it spin again" in told(chat)
    assert power_of_question(chat) != "run"


def test_a_machine_that_wobbles_on_the_floor_has_no_wobbling_drum(release: Release) -> None:
    """Feet, load or dampers: nothing is noted of the drum, and still nobody starts a spin for it."""
    chat = visit(release, "front loader wobbles bad in spin")
    assert "drum_play" not in facts(chat, "result")
    assert power_of_question(chat) != "run"


@pytest.mark.parametrize("opening", [
    "front loader shakes, just delivered yesterday", "front loader jumps in spin, new install"])
def test_a_new_machine_that_jumps_is_looked_at_before_it_runs(release: Release, opening: str) -> None:
    """Shipping bolts are the first thought, and they are found standing still."""
    chat = visit(release, opening)
    assert facts(chat, "result").get("history") == "moved"
    assert power_of_question(chat) != "run"


def test_transit_bolts_are_shipping_bolts(release: Release) -> None:
    """One thing with two names."""
    assert facts(visit(release, "front loader jumps, transit bolts still in"), "result")["shipping_look"] == "bolts"


def test_a_machine_that_fills_by_itself_is_asked_when_and_then_unplugged(release: Release) -> None:
    """Two questions, how it began, and no tool to the valve."""
    chat = visit(release, "front load washer overfills", "also when its off, in the morning its full")
    assert facts(chat, "result").get("overfill_when") == "off"
    assert chat.job is not None and chat.job.question is not None
    if chat.job.question.checks == ("history",):
        chat.send("all at once")
    assert chat.job.question.checks == ("valve_unplugged",)


@pytest.mark.parametrize(("words", "lid"), [
    ("its built to lock", "lock"), ("has a latch", "lock"), ("no slot, no lamp", "switch"), ("plain switch", "switch"),
    ("i can still lift it", None), ("it clicks and tries but the lid still lifts", None),
])
def test_how_the_lid_is_built_is_not_read_off_whether_it_lifts(release: Release, words: str, lid: str | None) -> None:
    """A lock that fails lets the lid be lifted too; taken for a plain switch, somebody lifts it in a full spin."""
    chat = visit(release, "top loader wont spin", "silent", words)
    assert facts(chat, "variant").get("lid") == lid
    assert "runs_lid_open" not in facts(chat, "complaint")


def test_a_capacitor_far_under_its_stamp_is_never_noted_as_good(release: Release) -> None:
    """Eleven of twenty-five is weak; where the words are not understood it is asked, not guessed."""
    chat = visit(release, "top loader hums, wont start, if i push the basket it goes", "hums doesnt start",
                 "motor turns free. 4 ohms", "reads 11, can says 25")
    assert facts(chat, "result").get("capacitor_uf") != "good"


def test_an_agitator_whose_upper_part_stands_needs_no_run_to_be_seen(release: Release) -> None:
    """The words of the complaint are what the watched wash would have shown."""
    chat = visit(release, "top loader washes bad, only the bottom of the agitator moves, the top doesnt turn")
    assert facts(chat, "result").get("watch_wash") == "slips"
