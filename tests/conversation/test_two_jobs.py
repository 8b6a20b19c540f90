"""Two jobs open at once: what is said of one is never filed with the other."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bot.simulation.chat import Chat


@pytest.fixture
def two(chat_of: Callable[..., Chat]) -> Chat:
    """A dryer is open, and the chat has gone on to a dishwasher."""
    chat = chat_of()
    for words in ("gas dryer no heat", "new", "dishwasher leaks"):
        chat.send(words)
    return chat


def on(chat: Chat) -> str:
    """The kind of machine that the chat is on."""
    assert chat.job is not None
    return chat.job.family or ""


def sites(chat: Chat) -> dict[str, list[str]]:
    """The addresses that were filed, by kind of machine."""
    return {job.family or "": [fact.value for fact in job.standing("site")] for job in chat.jobs.values()}


@pytest.mark.parametrize("words", ["dryer is at 12 Oak Ave", "the dryer: 12 Oak Ave", "12 oak ave, thats the dryer"])
def test_the_other_machines_address_is_asked_about(two: Chat, words: str) -> None:
    """It is that job's or this one's; nobody guesses."""
    said = two.send(words)
    assert said[0].text == "Which one is that about?" and said[0].choices[0].startswith("dryer")
    assert sites(two) == {"dryer": [], "dishwasher": []}
    two.send("1")
    assert sites(two) == {"dryer": ["12 Oak Ave"], "dishwasher": []} and on(two) == "dryer"


def test_it_was_about_this_one_all_the_same(two: Chat) -> None:
    """'It shares the outlet with the dryer' tells of the dishwasher."""
    said = two.send("shares 12 Oak Ave with the dryer")
    assert said[0].text == "Which one is that about?"
    two.send("dishwasher")
    assert sites(two) == {"dryer": [], "dishwasher": ["12 Oak Ave"]} and on(two) == "dishwasher"


@pytest.mark.parametrize("words", ["dryer", "back to the dryer", "on to the dryer now", "the dryer again"])
def test_a_machines_name_alone_goes_on_to_it(two: Chat, words: str) -> None:
    """With what is known of it, and its open question."""
    said = two.send(words)
    assert on(two) == "dryer" and said[0].paragraphs[0] == "dryer, no heat" and said[-1].choices


def test_a_trouble_of_that_kind_may_be_a_third_machine(two: Chat) -> None:
    """The open one comes first, then a new one."""
    said = two.send("the dryer squeals too")
    assert said[0].choices == ("dryer, no heat", "Another machine", "dishwasher, water on the floor")
    two.send("2")
    assert len(two.jobs) == 3


def test_a_danger_is_never_asked_about(two: Chat) -> None:
    """Whichever machine it is."""
    assert "Get out now" in two.send("the dryer smells of gas")[0].text


def test_what_is_still_open_is_said_when_one_ends(two: Chat) -> None:
    """The next word goes there."""
    two.send("stop")
    assert two.send("no access")[0].paragraphs[-1] == "Still open: dryer, no heat."
    two.send("stop")
    assert "Still open" not in two.send("no access")[0].text


def test_a_number_that_the_list_has_not_got(two: Chat) -> None:
    """It answers no question of a machine's."""
    two.send("jobs")
    assert two.send("7")[0].text == "The list goes to 2. Which one?" and len(two.jobs) == 2
    assert not any(job.standing("result") for job in two.jobs.values())
    two.send("1")
    assert on(two) == "dryer"
