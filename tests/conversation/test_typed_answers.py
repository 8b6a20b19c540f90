"""Answers to checks typed in a tech's own words, in the talk."""

from __future__ import annotations

import pytest

from bot.conversation.events import PhotoSeen
from bot.conversation.firm import Person
from bot.conversation.release import Release
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def asked(release: Release, check: str, *together: str) -> Chat:
    """A dryer that does not heat, with these checks open: whoever decides here decides so, and then on a senior."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        told = {getattr(fact, "check", "") for fact in evidence.history} | evidence.cannot | situation.declined
        if told & {check, *together}:
            option = Option("handoff", "handoff", 0.0, 0.0)
            return Decision(option, (option,))
        option = Option("check", check, 0.0, 0.0)
        return Decision(option, (option,), together=together)

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send("electric dryer no heat")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == (check, *together)
    return chat


def results(chat: Chat) -> dict[str, str]:
    """Check -> result that stands."""
    assert chat.job is not None
    return {f.subject: f.value for f in chat.job.standing("result")}


@pytest.mark.parametrize(("text", "result"), [
    ("cant see any break in it", "whole"), ("coil is snapped in the middle", "broken"),
    ("sagging onto the housing", "touching")])
def test_words_that_the_pack_does_not_have_are_filed(release, text, result):
    """A "can't" that says what is seen is no check that cannot be made."""
    chat = asked(release, "element_look")
    chat.send(text)
    assert results(chat) == {"element_look": result}


@pytest.mark.parametrize("text", ["cant get back there its built in", "cust wont let me pull it out"])
def test_a_check_that_cannot_be_made_is_done_without(release, text):
    """The planner is told, and no result is filed."""
    chat = asked(release, "element_look")
    chat.send(text)
    assert {f.subject for f in chat.job.standing("cannot")} == {"element_look"}
    assert not results(chat)


def test_two_checks_in_one_line_are_answered_in_the_order_asked(release):
    """Each part of the line is heard for its own check."""
    chat = asked(release, "belt_look", "drum_by_hand")
    chat.send("snapped, no drag")
    assert results(chat)["belt_look"] == "broken"
    assert set(results(chat)) == {"belt_look", "drum_by_hand"}


def test_the_number_of_a_question_is_no_reading(release):
    """'2 wires are off' has no ohms in it: the first is filed, the second stays open."""
    chat = asked(release, "element_look", "element_ohms")
    chat.send("1 coil is snapped in the middle. 2 wires are off, hold on")
    assert results(chat) == {"element_look": "broken"}


def test_not_knowing_answers_both(release):
    """'Don't know' to two checks leaves both; neither is asked at once again."""
    chat = asked(release, "belt_look", "drum_by_hand")
    chat.send("dont know")
    assert {f.subject for f in chat.job.standing("declined")} == {"belt_look", "drum_by_hand"}


def test_words_under_a_photo_name_what_is_on_it(release):
    """The photo is kept and the question stays; nothing is filed, and nobody is told that he was not followed."""
    chat = asked(release, "element_look")
    good = PhotoSeen("0" * 64, 1600, 1200, 120.0, 300.0)
    said = chat.photo(good, caption="the element")
    assert not results(chat)
    assert chat.job.question is not None and chat.job.question.checks == ("element_look",)
    assert "follow" not in said[0].text


def test_a_reading_is_given_to_the_part_that_it_names(release):
    """Only one of the open checks reads ohms of an element, though another looks at it."""
    chat = asked(release, "element_look", "element_ohms", "high_limit_ohms")
    chat.send("element 11 ohm")
    assert results(chat) == {"element_ohms": "good"}


@pytest.mark.parametrize("together", [(), ("element_look",)])
def test_a_reading_of_a_part_that_was_not_asked_is_asked_about(release, together):
    """'Limit' where the fuse is asked: one or the other was measured, and the two are easily mistaken."""
    chat = asked(release, "thermal_fuse_ohms", *together)
    chat.send("limit 0.1")
    assert not results(chat)
    assert chat.job.question.values[:2] == ("check:thermal_fuse_ohms", "check:high_limit_ohms")
    chat.send("the high limit")
    assert results(chat) == {"high_limit_ohms": "closed"}
