"""Words while no job is open: help by role, hours, pages, and what is no machine."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.release import Release
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


@pytest.fixture
def crew(release: Release) -> Chat:
    """Rui, a junior; Marta, a senior; Ines, the owner."""
    return Chat(release, Person("rui", "Rui"), FIRM, crew=(
        Person("marta", "Marta", "senior"), Person("ines", "Ines", "owner")))


def said(crew: Chat, who: str, words: str) -> str:
    """What that person is told."""
    return "\n".join(each.text for each in crew.send(words, who=who))


@pytest.mark.parametrize(("who", "has", "lacks"), [
    ("rui", ["sheet", "off today"], ["take it back", "invite"]),
    ("marta", ["sheet", "off today", "take it back", "pages"], ["invite"]),
    ("ines", ["sheet", "off today", "take it back", "pages", "invite junior Sam"], [])])
def test_help_has_the_words_of_the_role(crew: Chat, who: str, has: list[str], lacks: list[str]) -> None:
    """Nobody has to know the manual for what they alone may write."""
    told = said(crew, who, "help")
    assert all(word in told for word in has) and not any(word in told for word in lacks)


@pytest.mark.parametrize("opening", [[], ["dishwasher leaks"]])
def test_hours_that_cannot_be_are_asked_for(crew: Chat, opening: list[str]) -> None:
    """With a job open or without, and no machine is asked for."""
    for words in opening:
        crew.send(words)
    assert said(crew, "rui", "hours mon-fri 7-25").startswith("Which hours?") and len(crew.jobs) == len(opening)


def test_hours_alone_say_how_it_stands(crew: Chat) -> None:
    """And open no visit."""
    assert said(crew, "rui", "hours") == "You are on duty." and not crew.jobs


def test_pages_where_there_are_none(crew: Chat) -> None:
    """Seniors and owners hear how to get there; a junior has none."""
    assert "chargehand pages" in said(crew, "ines", "pages") and "chargehand pages" in said(crew, "marta", "pages")
    assert "chargehand pages" not in said(crew, "rui", "pages")


def test_an_owner_is_not_sent_to_the_office(crew: Chat) -> None:
    """They are the office."""
    assert "office" not in said(crew, "ines", "can i have friday off") and "office" in said(
        crew, "rui", "can i have friday off")


def test_a_number_that_answers_nothing_says_so(crew: Chat) -> None:
    """It is no word for the office."""
    assert said(crew, "rui", "1").startswith("No open job.")
