"""What was made, and is no cure: tape on hurt wires, a repair that left it the same or half as bad. And what is one."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.safety.taped import taped_wires
from bot.conversation.wording.mended import FITTED, how_it_went, no_better, partly
from tests.conversation.test_told_beside import facts, visit

CHEWED = ("dishwasher lights blink", "wire chewed by the hinge")
HOT = ("fridge runs all the time and cabinet is hot", "hot, hardly any air", "cleaned it")
GASKET = ("fridge frost around the freezer door edge, sweat between the doors", "skip", "skip", "skip", "new gasket on")


def last(chat) -> str:
    """What the tech was shown for the last message."""
    return "\n".join(one.text for one in chat.latest)


def complaints(chat) -> set[str]:
    """What is complained of now."""
    return {fact.subject for fact in chat.job.standing("complaint")}


@pytest.mark.parametrize("told", [
    "twisted them back together and taped it, runs now", "taped it, works now", "just taped it up. runs fine now",
    "put some electrical tape on it and it starts now", "done, taped the wires", "wire nutted them, works now"])
def test_tape_on_a_hurt_wire_is_no_repair(release, told):
    """The power stays off and no run is asked for: crimped and sealed, or nothing."""
    chat = visit(release, *CHEWED, told)
    assert "Twisted or taped is no repair" in last(chat)
    assert chat.job.phase is not Phase.PROOF and chat.job.position.machine.stays_dead


def test_nor_is_it_in_the_first_line(release):
    """Nobody has said yet that the power stays off."""
    chat = visit(release, "dishwasher lights blink, mouse chewed wires at the hinge so i twisted the ends together and "
                          "put tape on, runs now")
    assert "Twisted or taped is no repair" in last(chat)
    assert chat.job.phase is not Phase.PROOF and chat.job.position.machine.stays_dead


def test_tape_told_at_the_proof_takes_the_run_back(release):
    """'Works, just taped it' holds until it is wet."""
    chat = visit(release, *CHEWED, "got one", "yes", "done")
    assert chat.job.phase is Phase.PROOF
    chat.send("works, just taped it for now")
    assert "Twisted or taped is no repair" in last(chat)
    assert chat.job.phase is Phase.FINDING and chat.job.position.machine.stays_dead


def test_that_it_runs_does_not_say_how_the_wire_was_joined(release):
    """It was to have no power: first the joint, then the run. Crimped and sealed is one."""
    chat = visit(release, *CHEWED, "works now")
    assert "Crimped and sealed holds" in last(chat)
    assert chat.job.position.machine.stays_dead
    chat.send("crimped and sealed both, works now")
    assert chat.job.phase is Phase.PROOF


def test_what_is_taped_and_is_no_joint():
    """A wire taped out of the way, a hose, a mark, tape from the factory; and a crimp with tape over it."""
    for text in ("taped the wires out of the way", "taped the hose", "put tape at the line", "didnt tape the wires",
                 "harness is taped up in the cabinet", "crimped the wires and taped over", "twisted the knob"):
        assert not taped_wires(text, hurt=True), text
    assert taped_wires("they spliced the cord with tape", hurt=False)
    assert taped_wires("wires are twisted together", hurt=False)
    assert not taped_wires("taped it", hurt=False)


@pytest.mark.parametrize("told", [
    "got a coil on the back", "no condenser fan on this one its got the black coil on the back",
    "this ones got a fan in there", "got one on the truck", "its got a plug on the side"])
def test_how_a_machine_is_built_is_no_part_that_went_in(release, told):
    """No price and no proof for a coil that was always there."""
    chat = visit(release, "fridge not cold, clicks every 3 minutes", told)
    assert chat.job.phase is Phase.CHECKS
    assert not FITTED.search(told)


def test_a_part_that_went_in_still_is_one():
    """'Got the belt on' tells what was done."""
    for text in ("got the belt on, spins now", "got it in", "got a new pump in the machine", "got that in, hums"):
        assert FITTED.search(text), text


@pytest.mark.parametrize(("told", "news"), [
    ("still same, back bottom is roasting hot", "hot_to_touch"), ("nope no better and its noisy now", "noisy"),
    ("no change. theres water under the drawers", "water_inside")])
def test_still_the_same_and_something_new_is_a_failed_repair(release, told, news):
    """The repair is out, what was complained of stands, and the new fact joins it."""
    chat = visit(release, *GASKET)
    before = complaints(chat)
    assert chat.job.phase is Phase.PROOF
    chat.send(told)
    assert "Then it wasn't that alone" in last(chat)
    assert complaints(chat) == before | {news}
    assert facts(chat, "repaired")


@pytest.mark.parametrize("told", [
    "works. air comes out warm now", "works, warm air at the grille now", "warm air coming out of the grille now"])
def test_what_a_good_one_shows_is_the_proof(release, told):
    """It was hot and hardly any air; warm air is the condenser at work, and no warm fridge."""
    chat = visit(release, *HOT)
    assert chat.job.phase is Phase.PROOF
    chat.send(told)
    assert chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize("told", ["works but now it leaks water", "works, but theres water on the floor now"])
def test_but_now_it_leaks_is_the_next_trouble(release, told):
    """The first is cured; nothing is closed over a leak."""
    chat = visit(release, *HOT, told)
    assert chat.job.phase is Phase.CHECKS
    assert complaints(chat) == {"water_on_floor"}


def test_half_as_bad_is_not_cured(release):
    """Something else has a hand in it: the repair is on file, the trouble stands."""
    chat = visit(release, "dishwasher stinks, sink water backs up in it", "hose lays on the floor no loop",
                 "put up the loop")
    assert chat.job.phase is Phase.PROOF
    chat.send("its half as bad")
    assert "Better is not cured" in last(chat)
    assert chat.job.phase is not Phase.CLOSING and facts(chat, "repaired")


def test_partly_and_the_same_in_words():
    """Better and not gone, as it was, and neither."""
    for text in ("half as loud", "not as bad", "still a bit gritty", "better but it still hums", "not all gone"):
        assert partly(text) and how_it_went(text) == "same", text
    for text in ("same code", "nope, no change", "didnt help", "still the same thing", "leak still there"):
        assert no_better(text), text
    for text in ("much better now", "works now", "no leaks", "same model as mine"):
        assert not partly(text) and not no_better(text), text


def test_same_code_at_a_look_is_heard(release):
    """What was taken out did not cure it, and nobody is told that it wasn't followed."""
    chat = visit(release, "dishwasher water stood in the bottom, code F2", "hums but nothing moves",
                 "glass in it, took it out, spins free now", "same code")
    assert "wasn't that alone" in last(chat) and "don't follow" not in last(chat)
