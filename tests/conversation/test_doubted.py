"""What was doubted: a finding that the tech was not convinced of, an answer that fits nothing else."""

from dataclasses import replace

import pytest

from bot.conversation.context import Context
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.firm import Firm
from bot.conversation.job import Fact
from bot.diagnosis.evidence import Seen


@pytest.mark.parametrize(("result", "again"), [("jammed", True), ("free", False)])
def test_what_shows_the_doubted_fault_brings_it_back(chat_of, result, again):
    """'Not convinced' of the blocked pump, then glass in its impeller: nobody is sent for over that."""
    chat = chat_of()
    chat.send("dishwasher wont drain")
    chat.send("hums")
    context = Context(chat.now, chat.release, Firm(), chat.people)
    repair = chat.release.knowledge.packs["dishwasher"].repair_of("drain_pump.blocked")[0]
    doubted = replace(chat.job, facts=(*chat.job.facts, Fact("later", "declined", repair)))
    assert repair in situation_of(doubted, context).declined
    looked = replace(doubted, facts=(*doubted.facts, Fact("last", "result", "pump_impeller", result)))
    assert (repair not in situation_of(looked, context).declined) == again


def test_an_answer_asked_for_once_more_leaves_the_first_its_share(chat_of):
    """Springs whole, which fits nothing else; once more, and one is off: either look may have been the slip."""
    chat = chat_of()
    for line in ("front load washer whole floor shakes", "tub hangs crooked", "all at once"):
        chat.send(line)
    assert chat.job.question.checks == ("spring_look",)
    chat.send("both whole")
    assert chat.job.question.checks == ("spring_look",)
    chat.send("one is off")
    history = evidence_of(chat.job).history
    assert Seen("spring_look", "broken", first="whole") in history
    assert Seen("spring_look", "broken") not in history
    chat.send("back")
    chat.send("both whole")
    assert Seen("spring_look", "whole") in evidence_of(chat.job).history


def test_an_answer_that_was_put_right_leaves_nothing(chat_of):
    """Nobody asked for it twice: the tech mistyped."""
    chat = chat_of()
    for line in ("front load washer whole floor shakes", "settles at once"):
        chat.send(line)
    chat.edit("tub hangs crooked")
    assert Seen("bounce_test", "crooked") in evidence_of(chat.job).history
