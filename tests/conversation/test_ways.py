"""Answers in usual words to the questions that every visit has."""

from __future__ import annotations

import json
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.firm import Person
from bot.conversation.job import Outcome, Phase
from bot.conversation.release import Release
from bot.conversation.wording.ways import WAYS, way_of
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM
from tests.language.labelled_set import FOLDER


@pytest.mark.parametrize(("kind", "text", "value"), [
    ("proof", "pumps out in a minute now", "holds"), ("proof", "still just hums", "same"),
    ("proof", "no more leak", "holds"), ("proof", "still running", "not_yet"),
    ("repair", "coins are out", "done"), ("repair", "bolt is seized", "stuck"),
    ("consent", "they dont want to pay for it", "no"), ("consent", "she said no problem, go ahead", "yes"),
    ("consent", "they want it fixed", "yes"), ("consent", "sure why not", "yes"),
    ("leave", "nobody home", "no_access")])
def test_a_usual_way_to_say_it(kind, text, value):
    """None of these is the label of the choice."""
    assert way_of(kind, text) == value


@pytest.mark.parametrize("text", [
    "cust hasnt said yes yet", "she isnt ok with it", "fine with it if its under 100",
    "yes but only if you do it today"])
def test_nobody_has_agreed_to_a_price_with_a_condition(text):
    """It is asked again: what is taken for a yes is paid for."""
    assert way_of("consent", text) is None


@pytest.mark.parametrize("kind", [*WAYS, "proof"])
def test_what_is_taken_is_right(kind):
    """Of answers that somebody wrote who had not seen the patterns, those that are taken are nearly always right."""
    lines = (FOLDER / "answers_talk.jsonl").read_text("utf-8").splitlines()
    told = Counter(way_of(kind, row["text"]) in (row["result"], "done" if row["result"] == "works" else None)
                   for row in map(json.loads, lines) if row["check"] == kind and way_of(kind, row["text"]) is not None)
    assert told[True] >= 20
    assert told[False] <= 0.12 * told.total()


@given(st.sampled_from([*WAYS, "proof", "check"]), st.text(max_size=300))
def test_any_text_is_looked_at_without_trouble(kind, text):
    """And a question back is never an answer."""
    way_of(kind, text)
    assert way_of(kind, text + "?") is None


def at_finding(release: Release) -> Chat:
    """A top-load washer that does not drain, and whoever decides is sure of the pump."""
    repair = release.knowledge.packs["top_load_washer"].repair_of("drain_pump.motor_failed")[0]

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        option = Option("repair", repair, 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send("toploader wont drain")
    for _ in range(3):
        assert chat.job is not None and chat.job.question is not None
        if chat.job.question.kind != "finding":
            chat.send("1")
    return chat


def test_a_cure_in_own_words_ends_the_visit_and_reopens_nothing(release):
    """'Pumps out in a minute now' is the proof, and the complaint that it answers stands in the record."""
    chat = at_finding(release)
    for _ in range(6):
        assert chat.job is not None and chat.job.question is not None
        if chat.job.question.kind == "proof":
            break
        ways = {"finding": "have one on the truck", "consent": "they said go ahead", "repair": "new pump is in"}
        chat.send(ways.get(chat.job.question.kind, "1"))
    assert chat.job.question.kind == "proof"
    chat.send("pumps out in a minute now")
    assert chat.job.phase is Phase.CLOSING
    assert "no_drain" in {f.subject for f in chat.job.standing("complaint")}


@pytest.mark.parametrize(("way", "next_question"), [("got one", "repair"), ("order it", "plate")])
def test_a_customer_who_thinks_it_over_has_nothing_on_order(release, way, next_question):
    """The visit waits for their word, not for a part; when they want it, it goes on where it stood."""
    chat = at_finding(release)
    chat.send(way)
    said = chat.send("they want to think about it")
    assert chat.job.phase is Phase.WAITING
    assert "Nothing is ordered" in said[-1].text
    assert "part is here" not in said[-1].text
    chat.send("she called, go ahead with it")
    assert chat.job.question.kind == next_question


def test_a_customer_who_thinks_it_over_may_say_no(release):
    """Then it is closed as declined."""
    chat = at_finding(release)
    chat.send("got one")
    chat.send("later")
    chat.send("they dont want it after all")
    assert chat.job.outcome is Outcome.DECLINED


def test_a_part_is_ordered_only_when_the_customer_agreed(release):
    """The price is asked before the order; whoever says later is asked again when the part is there."""
    chat = at_finding(release)
    chat.send("order it")
    assert chat.job.question.kind == "consent"
    chat.send("later")
    assert chat.job.phase is Phase.WAITING
    chat.send("part is here")
    assert chat.job.question.kind == "consent"


def test_a_customer_who_thinks_it_over_is_asked_about_on_the_day_they_named(release):
    """'In 3 days' is noted; that morning the question is what they decided, not where the part is."""
    chat = at_finding(release)
    chat.send("got one")
    chat.send("later")
    assert "I ask you that morning" in chat.send("in 3 days")[0].text
    said = chat.wait(4 * 24 * 60)
    assert "Have they decided?" in said[-1].text
    assert "part" not in said[-1].text
