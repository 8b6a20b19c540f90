"""The machine turns out to be another kind than the tech said first: the visit goes on with that one."""

from __future__ import annotations

import pytest

from bot.conversation.release import Release
from tests.conversation.test_washers_told import facts, told, visit


@pytest.mark.parametrize("line", [
    "wait no front one i meant its a front loader", "sorry its a front loader", "not a top loader, front load",
    "front load actually",
])
def test_the_kind_is_put_right_in_mid_talk(release: Release, line: str) -> None:
    """What it does not do is still so, what was heard of the other machine's parts is not, and the next question is one
    for the machine that is there."""
    chat = visit(release, "top loader wont drain", "pump hums", line)
    assert chat.job is not None and chat.job.family == "front_load_washer" and chat.job.question is not None
    assert facts(chat, "complaint") == {"no_drain": ""} and "watch_drain" not in facts(chat, "result")
    assert chat.job.question.checks[0] in chat.release.knowledge.packs["front_load_washer"].checks
    assert "Front-load washer: does not drain." in told(chat)


def test_what_is_told_with_it_is_heard_of_the_new_machine(release: Release) -> None:
    """The correction and a finding in one line."""
    chat = visit(release, "top loader wont drain", "oops its a front loader, filter is packed with coins")
    assert facts(chat, "result") == {"filter_look": "packed"}


def test_back_takes_the_correction_back(release: Release) -> None:
    """The visit stands where it stood."""
    chat = visit(release, "top loader wont drain", "pump hums", "sorry its a front loader", "back")
    assert chat.job is not None and chat.job.family == "top_load_washer"
    assert facts(chat, "result")["watch_drain"] == "hums"


@pytest.mark.parametrize("line", ["no, dryer on the same circuit", "sorry, thats the dryer hose",
                                  "no its not a front loader", "front one is loose"])
def test_another_machine_that_is_only_spoken_of_is_no_correction(release: Release, line: str) -> None:
    """What stands beside it, or what it is not."""
    chat = visit(release, "top loader wont drain", line)
    assert chat.job is not None and chat.job.family == "top_load_washer"


@pytest.mark.parametrize("word", ["front", "fl", "front one"])
def test_one_word_is_enough_where_the_machine_is_asked(release: Release, word: str) -> None:
    """Said to 'which machine is it'."""
    chat = visit(release, "washer wont drain", word)
    assert chat.job is not None and chat.job.family == "front_load_washer"


def test_the_build_told_with_the_machine_is_kept(release: Release) -> None:
    """'Front, belt drive' is both."""
    chat = visit(release, "washer wont spin", "top load, belt drive")
    assert facts(chat, "variant")["drive"] == "belt" and "Top-load washer, belt drive: no spin." in told(chat)


def test_the_same_kind_said_again_is_no_miss(release: Release) -> None:
    """'Top load yeah' is known: the question stands, and nothing is not followed."""
    chat = visit(release, "washer dead", "top loader", "top load yeah")
    assert "don't follow" not in told(chat)


def test_a_word_that_may_be_a_place_is_no_leak(release: Release) -> None:
    """'Front' of a dead machine tells of no drip."""
    assert "leaks" not in facts(visit(release, "top loader dead", "front"), "complaint")
