"""Free-text answers to one open check."""

from __future__ import annotations

import pytest

from bot.language import Index, answer


def test_every_phrase_of_the_packs_is_understood(index: Index) -> None:
    """What an author wrote as an answer leads to its result, nearly always, and hardly ever to another."""
    asked = right = wrong = 0
    for family, pack in index.knowledge.packs.items():
        for check, entry in pack.checks.items():
            for name, result in entry.results.items():
                for phrase in (p for said in result.phrases.values() for p in said[:2]):
                    heard = answer(index, family, check, phrase)
                    asked += 1
                    right += heard.result == name or (heard.heard is not None and heard.heard.value is not None)
                    wrong += heard.result not in (None, name)
    assert right / asked > 0.97
    assert wrong / asked < 0.01


@pytest.mark.parametrize(("check", "text", "result"), [
    ("belt_look", "snapped", "broken"), ("belt_look", "looks fine", "good"), ("element_ohms", "OL", "open"),
    ("thermal_fuse_ohms", "no beep", "open"), ("thermal_fuse_ohms", "its good", "closed"),
    ("drum_by_hand", "its stuck solid", "stuck"),
])
def test_answers_in_a_technicians_words(index: Index, check: str, text: str, result: str) -> None:
    """Slang, meter words and plain praise lead to a result."""
    assert answer(index, "dryer", check, text).result == result


def test_a_reading_is_heard_and_left_to_diagnosis(index: Index) -> None:
    """The number comes back in SI; which band it falls into depends on the plate."""
    heard = answer(index, "dryer", "element_ohms", "10.9 ohms")
    assert heard.result is None and heard.heard is not None and heard.heard.value == pytest.approx(10.9)


def test_an_answer_that_fits_nothing_is_not_guessed(index: Index) -> None:
    """The bot asks again instead."""
    assert answer(index, "dryer", "belt_look", "the customer has a nice dog").result is None
