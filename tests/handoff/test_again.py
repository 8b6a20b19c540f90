"""A senior let go of a case, or passed it on, and has more to say: orders, a question, or the case once more."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Handing, Phase
from bot.conversation.release import Release
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

ALL = frozenset({"live", "gas", "refrigerant", "lifting"})


@pytest.fixture
def crew(release: Release) -> Chat:
    """Marta had Rui's washer and gave it back; Olek is a senior, too."""
    chat = Chat(release, Person("rui", "Rui", phone="555-0101"), FIRM, crew=(
        Person("marta", "Marta", "senior", signoffs=ALL),  # type: ignore[arg-type]
        Person("olek", "Olek", "senior", signoffs=ALL)))  # type: ignore[arg-type]
    chat.send("toploader belt drive washes and drains but wont spin")
    chat.send("senior")
    chat.press(1, who="marta")
    chat.send("carry on", who="marta")
    return chat


def state(crew: Chat) -> Handing:
    """How the hand-off stands."""
    assert crew.job is not None and crew.job.handoff is not None
    return crew.job.handoff.state


@pytest.mark.parametrize("words", ["take it back", "i'll take it", "mine", "I'll have it back", "take the case again"])
def test_the_case_once_more(crew: Chat, words: str) -> None:
    """Given back too early: it is theirs again, and the junior knows."""
    crew.send(words, who="marta")
    assert crew.job is not None and crew.job.handed_to == "marta" and state(crew) is Handing.TAKEN
    assert crew.heard["rui"][-1].text.startswith("Marta has it.")
    assert crew.heard["marta"][-1].text.startswith("It's yours.")
    crew.send("what do you hear", who="marta")
    assert crew.heard["rui"][-1].text == "Marta: what do you hear"
    crew.send("carry on", who="marta")
    assert crew.job.handed_to is None and crew.job.phase is Phase.CHECKS


def test_a_finding_afterwards_is_the_finding(crew: Chat) -> None:
    """Not words that the junior has to make something of."""
    crew.send("found worn drive belt", who="marta")
    assert crew.job is not None and crew.job.position.fault == "drive_belt.worn" and crew.job.handed_to is None
    assert "Marta says: worn drive belt." in crew.heard["rui"][-1].text


def test_another_finding_afterwards_takes_its_place(crew: Chat) -> None:
    """A senior may put his own word right."""
    for words in ("found worn drive belt", "found open lid switch"):
        crew.send(words, who="marta")
    assert crew.job is not None and crew.job.position.fault == "lid_switch.open"


def test_a_check_afterwards_is_a_proper_question(crew: Chat) -> None:
    """Its answer comes to the senior, who has the case for it."""
    crew.send("ask belt grip", who="marta")
    assert "Marta asks:" in crew.heard["rui"][-1].text and state(crew) is Handing.TAKEN
    crew.send("1")
    assert crew.heard["marta"][-1].text.startswith("belt grip: belt grips.")


@pytest.mark.parametrize("words", ["found flux capacitor", "ask flux capacitor", "pass to Bob"])
def test_an_order_that_cannot_be_followed_takes_nothing(crew: Chat, words: str) -> None:
    """The case stays where it is, and the senior hears why."""
    crew.send(words, who="marta")
    assert crew.job is not None and crew.job.handed_to is None and crew.job.phase is Phase.CHECKS
    assert "I know no" in crew.heard["marta"][-1].text


@pytest.mark.parametrize("words", ["call", "carry on"])
def test_an_order_that_needs_the_case_says_so(crew: Chat, words: str) -> None:
    """The junior is not told to call anybody."""
    before = len(crew.heard["rui"])
    crew.send(words, who="marta")
    assert "not with you now" in crew.heard["marta"][-1].text and len(crew.heard["rui"]) == before


def test_after_the_end_nothing_is_taken(crew: Chat) -> None:
    """A closed visit stays closed."""
    for words in ("stop", "not fixed"):
        crew.send(words)
    crew.send("take it back", who="marta")
    assert crew.heard["marta"][-1].text == "That one is settled."


def test_who_passed_it_on_is_heard_for_a_while(crew: Chat) -> None:
    """Their words reach the junior; their finding opens no visit of their own; what another has is not taken away."""
    for words in ("take it back", "pass to Olek", "lid switch, i would bet"):
        crew.send(words, who="marta")
    assert crew.heard["rui"][-1].text == "Marta: lid switch, i would bet"
    crew.send("1", who="olek")
    for words in ("found worn drive belt", "take it back"):
        crew.send(words, who="marta")
        assert crew.heard["marta"][-1].text == "Olek has it already."
    assert len(crew.jobs) == 1


def test_an_answer_that_the_talk_makes_nothing_of_goes_to_the_senior(crew: Chat) -> None:
    """Who asks hears it, and the junior is not told that nobody follows."""
    crew.send("did you bring the long probe?", who="marta")
    said = crew.send("yeah its in my bag")
    assert crew.heard["marta"][-1].text == "Rui: yeah its in my bag" and said[-1].text == "Told Marta."
    said = crew.send("flappy thing wobbly")
    assert "follow" in said[-1].text and crew.heard["marta"][-1].text == "Rui: yeah its in my bag"


def test_an_answer_that_tells_something_counts_too(crew: Chat) -> None:
    """It is evidence, and the senior reads it."""
    crew.send("does the lid switch click?", who="marta")
    crew.send("nope lid switch does not click")
    assert crew.job is not None and any(f.subject == "lid_click" for f in crew.job.standing("result"))
    assert crew.heard["marta"][-1].text == "Rui: nope lid switch does not click"


def test_a_reply_to_the_seniors_words_is_the_seniors(crew: Chat) -> None:
    """Whatever else it could mean: a 1 under their message chooses nothing."""
    crew.send("1 or 2 belts on that model?", who="marta")
    crew.send("1", reply_to=crew.heard["rui"][-1].id)
    assert crew.heard["marta"][-1].text == "Rui: 1" and crew.job is not None and not crew.job.standing("result")


def test_a_danger_in_the_answer_comes_first(crew: Chat) -> None:
    """And the senior reads it as well."""
    crew.send("anything odd around it?", who="marta")
    assert "Get out now" in crew.send("yeah i smell gas")[0].text
    assert any(said.text == "Rui: yeah i smell gas" for said in crew.heard["marta"])


@pytest.mark.parametrize("words", ["call", "did you see oil?", "take it back"])
def test_an_order_or_a_question_is_no_note(crew: Chat, words: str) -> None:
    """The next tech does not read 'call'."""
    crew.send("found worn drive belt", who="marta")
    crew.send(words, who="marta")
    assert not any(type(effect).__name__ == "KeepNote" for effect in crew.effects)


@pytest.mark.parametrize("words", ["carry on", "pass to Olek", "found worn belt"])
def test_orders_without_any_case_open_no_visit(crew: Chat, words: str) -> None:
    """Olek never had one."""
    crew.send(words, who="olek")
    assert crew.heard["olek"][-1].text.startswith("No case is with you right now.") and len(crew.jobs) == 1
