"""Who will not run the machine, or has it open, is asked what needs no run; and what was seen by hand is kept."""

from __future__ import annotations

import pytest

from bot.conversation.facts import WILL_NOT, kept_from_running
from bot.conversation.job import Phase
from bot.conversation.wording.not_run import says_not_run
from bot.simulation.chat import Chat
from tests.conversation.test_repairs_told import after

NO_DRAIN = "front load washer wont drain"


def power(chat: Chat) -> str:
    """What power the check that is asked takes."""
    assert chat.job is not None and chat.job.question is not None
    pack = chat.release.knowledge.packs[chat.job.family or ""]
    return pack.checks[chat.job.question.checks[0]].power


@pytest.mark.parametrize("text", [
    "im not running it", "i dont want to run that", "no way im starting that, tub is cracked",
    "not plugging that back in",
    "id rather not start it", "not safe to run", "customer wont let me run it again", "no la quiero prender",
    "its unplugged and open already", "got it apart on the floor", "plugs out", "machine's unplugged, front panel off"])
def test_a_run_is_not_asked_of_who_will_not_make_one(chat_of, text):
    """The check is passed over, a word is said on it, and the next takes no run."""
    chat = after(chat_of, NO_DRAIN)
    assert power(chat) == "run"
    said = chat.send(text)
    assert power(chat) != "run"
    assert "don't follow" not in str(said)


def test_a_refusal_stands_for_the_whole_search(chat_of):
    """Whatever is answered or passed over afterwards."""
    chat = after(chat_of, NO_DRAIN, "im not running it with that noise")
    while chat.job.phase is Phase.CHECKS and chat.job.question.kind == "check":
        assert power(chat) not in {"run", "live"}
        chat.send("skip")
    assert kept_from_running(chat.job) == WILL_NOT


def test_who_has_put_it_together_may_be_asked_to_run_it(chat_of):
    """'Back together' takes it back."""
    chat = after(chat_of, NO_DRAIN, "im not running it like that", "got it back together")
    assert kept_from_running(chat.job) is None


def test_a_refusal_in_the_first_line_is_no_complaint(chat_of):
    """'I don't want to run it' does not say that it won't start."""
    chat = after(chat_of, "front load washer noisy, i dont want to run it")
    assert {f.subject for f in chat.job.standing("complaint")} == {"noisy"}
    assert power(chat) != "run"


def test_a_danger_named_with_it_comes_first(chat_of):
    """'Not running that again, it sparked'."""
    assert after(chat_of, NO_DRAIN, "not running that again, it sparked").job.phase is Phase.HAZARD


@pytest.mark.parametrize("text", [
    "it wont run", "she wont start", "it dont want to start", "im not sure it runs", "i cant turn it by hand",
    "dryer not running it just hums", "should i not run it?", "i dont hear it run", "runs and wont stop"])
def test_what_the_machine_does_is_no_refusal(text):
    """'It won't run' is the complaint."""
    assert says_not_run(text) is None


@pytest.mark.parametrize("text", [
    "bounces on, and the drum wobbles too", "settles. rim runs out of true when i turn it",
    "1, drum flops around loose"])
def test_a_drum_that_wobbles_is_kept_beside_any_answer(chat_of, text):
    """It must not spin again, whatever was asked."""
    chat = after(chat_of, "front loader bangs on spin")
    said = chat.send(text)
    assert {f.subject: f.value for f in chat.job.standing("result")}["drum_play"] == "wobbles"
    assert "Don't let it spin again" in str(said)


def test_shaking_in_the_spin_is_no_drum_out_of_true(chat_of):
    """It all shakes then."""
    chat = after(chat_of, "front loader bangs on spin", "drum wobbles when it spins")
    assert "drum_play" not in {f.subject for f in chat.job.standing("result")}
