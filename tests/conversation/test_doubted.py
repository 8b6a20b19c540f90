"""A finding that the tech was not convinced of comes again when something new points to it, and not before."""

from dataclasses import replace

import pytest

from bot.conversation.context import Context
from bot.conversation.facts import situation_of
from bot.conversation.firm import Firm
from bot.conversation.job import Fact


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
