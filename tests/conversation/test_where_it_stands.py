"""From the finding to the closing, in words that no choice has."""

from __future__ import annotations

import pytest

from bot.conversation.job import Outcome, Phase
from tests.conversation.test_repairs_told import AT_WORK, NAMED, after

PROOF = (*AT_WORK, "done")
ORDERED = (*NAMED, "order it", "yes", "skip", "in 3 days")


def kind(chat):
    """What is asked now."""
    return chat.job.question.kind if chat.job.question is not None else None


@pytest.mark.parametrize(("line", "asked"), [
    ("theres a spare of that behind my seat", "consent"),
    ("nothing like that on board, shop has to send one", "consent"),
    ("grabbed a belt and the lady already waved me on", "repair"), ("lemme dig through the van", "finding")])
def test_at_a_finding_where_the_part_is(chat_of, line, asked):
    """Here, to order, here and agreed, or still looked for."""
    chat = after(chat_of, *NAMED, line)
    assert kind(chat) == asked
    assert bool(chat.job.question.data.get("to_order")) == ("send" in line)


@pytest.mark.parametrize(("line", "asked"), [
    ("she nodded and went for her purse", "repair"), ("landlord foots that bill", "repair"),
    ("has to talk it over with her son", "thinking"), ("still on the phone with him", "consent")])
def test_what_the_customer_says_to_the_price(chat_of, line, asked):
    """Yes, somebody else pays, later, or not reached yet."""
    assert kind(after(chat_of, *NAMED, "got one", line)) == asked


def test_who_wont_spend_it_ends_the_visit(chat_of):
    """Declined, and left safe."""
    assert after(chat_of, *NAMED, "got one", "he wont put another dime in it").job.outcome is Outcome.DECLINED


@pytest.mark.parametrize(("line", "asked"), [
    ("courier dropped it off just now", "repair"), ("supplier says another week", "waiting"),
    ("they shipped me one thats two inches short", "due"), ("who has my belt, any news", "waiting")])
def test_while_a_part_is_on_order(chat_of, line, asked):
    """Here, late, the wrong one, or asked for."""
    assert kind(after(chat_of, *ORDERED, line)) == asked


@pytest.mark.parametrize(("line", "asked", "phase"), [
    ("belt looped on, cover back, havent run her", "proof", Phase.PROOF),
    ("fighting the last spring, gimme ten more", "repair", Phase.REPAIR),
    ("pulley bolt just spins, cant get it off", "handed_off", Phase.HANDED_OFF)])
def test_how_the_repair_gets_on(chat_of, line, asked, phase):
    """In and not run, still at it, stuck on something."""
    chat = after(chat_of, *AT_WORK, line)
    assert (kind(chat), chat.job.phase) == (asked, phase)


@pytest.mark.parametrize(("line", "held"), [
    ("basket flies, towels near dry", [True]), ("sits there just like it did", [False]),
    ("wet towels went in, ask me in ten minutes", [])])
def test_how_the_proof_went(chat_of, line, held):
    """What is seen, and nothing before it was seen."""
    chat = after(chat_of, *PROOF, line)
    assert [record.data["held"] for record in chat.records("proof")] == held


def test_a_new_trouble_after_the_cure_is_next(chat_of):
    """The first one is proved."""
    chat = after(chat_of, *PROOF, "spins like a top but now it wont fill")
    assert [record.data["held"] for record in chat.records("proof")] == [True]
    assert {fact.subject for fact in chat.job.standing("complaint")} == {"no_fill"}


def test_the_list_is_gone_through_at_ones_own_pace(chat_of):
    """Two screws left are no trouble that is back."""
    chat = after(chat_of, *PROOF, "spins now", "two screws to go on the back")
    assert kind(chat) == "closing"
    chat.send("screwed down, swept up, bag is packed")
    assert kind(chat) == "site"


def test_what_says_nothing_of_it_is_kept_and_decides_nothing(chat_of):
    """The question stays."""
    chat = after(chat_of, *NAMED, "the neighbour had the same machine once")
    assert kind(chat) == "finding" and chat.latest[-1].paragraphs[0] == "Kept with the job."
