# ruff: noqa: E501  tables
"""Steering words are heard as such, and ordinary talk is not."""

import pytest

from bot.conversation.steering.words import Steer, steering


@pytest.mark.parametrize(("text", "word"), [
    ("how", Steer.HOW), ("How?", Steer.HOW), ("how do i do that", Steer.HOW), ("where do i find it", Steer.HOW),
    ("why", Steer.WHY), ("why the pulley", Steer.WHY), ("ok why?", Steer.WHY), ("back", Steer.BACK), ("undo", Steer.BACK),
    ("skip", Steer.SKIP), ("skip that one", Steer.SKIP), ("where", Steer.WHERE), ("sheet", Steer.SHEET),
    ("get my senior", Steer.SENIOR), ("senior pls", Steer.SENIOR), ("can i get a senior", Steer.SENIOR), ("i need a senior please", Steer.SENIOR),
    ("can you get me the boss", Steer.SENIOR), ("want to talk to a senior", Steer.SENIOR), ("how pls", Steer.HOW), ("skip it pls", Steer.SKIP),
    ("back please", Steer.BACK), ("i need help", Steer.HELP), ("help pls", Steer.HELP), ("stop now pls", Steer.STOP), ("over my head", Steer.SENIOR), ("new", Steer.NEW), ("next machine", Steer.NEW),
    ("stop", Steer.STOP), ("/stop", Steer.STOP), ("sorry i gotta leave", Steer.STOP), ("jobs", Steer.JOBS), ("/start", Steer.START),
    ("/start ABC123", Steer.START), ("/help", Steer.HELP), ("?", Steer.HELP), ("atras", Steer.BACK),
    ("por que", Steer.WHY), ("ayuda", Steer.HELP),
    ("what?", Steer.HOW), ("huh", Steer.HOW), ("ok im back", Steer.WHERE)])
def test_words_that_steer(text, word):
    """A message that is nothing but a steering word steers."""
    assert steering(text) is word


@pytest.mark.parametrize("text", [
    "wont spin", "back panel is loose", "it stops mid cycle", "new belt fitted", "how old is it i dont know but wont spin",
    "where the belt sits its oily", "skips the rinse", "help it smokes", "", "1", "the senior model", "start", "it wont start",
    "coil is open, got to go", "the lead is off", "need the lead set", "call the boss of the building", "it wont stop now", "help me lift it"])
def test_words_that_only_look_like_it(text):
    """Talk about the machine is never taken for steering."""
    assert steering(text) is None
