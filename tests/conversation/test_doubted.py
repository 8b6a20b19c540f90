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
    """Springs whole, which fits nothing else; once more, and they are off: either look may have been the slip."""
    chat = chat_of()
    chat.send("front load washer whole floor shakes")
    looked = Fact("1", "result", "spring_look", "whole")
    doubted, again = Fact("2", "misfit_accepted", "spring_look"), Fact("3", "result", "spring_look", "broken")
    job = replace(chat.job, facts=(*chat.job.facts, looked, again))
    assert Seen("spring_look", "broken") in evidence_of(job).history
    job = replace(chat.job, facts=(*chat.job.facts, looked, doubted, again))
    assert Seen("spring_look", "broken", first="whole") in evidence_of(job).history
    job = replace(chat.job, facts=(*chat.job.facts, looked, doubted, replace(looked, turn="4")))
    assert Seen("spring_look", "whole") in evidence_of(job).history
