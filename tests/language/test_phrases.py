"""Phrases found in a message, and what is made only when it is needed."""

from __future__ import annotations

from bot.language.complaints.matching import matches
from bot.language.complaints.patterns import PHRASE_TRUST, Pattern
from bot.language.index import Index, Phrasing
from bot.language.words.phrases import Phrases


def test_the_longest_phrase_stands_first() -> None:
    """Of 'no heat at all' both 'no heat at all' and 'no heat' are there, 'no heat on' is not."""
    table = Phrases({("no", "heat"): "cold", ("no", "heat", "at", "all"): "stone cold", ("no", "heat", "on"): "never"})
    assert table.at(["no", "heat", "at", "all"], 0) == [(4, "stone cold"), (2, "cold")]
    assert table.at(["no", "heat", "at", "all"], 1) == []
    assert table.at(["well", "no"], 1) == []


def _pattern(name: str, *keys: str, new: bool = False) -> Pattern:
    return Pattern(f"complaint:{name}", frozenset(keys), PHRASE_TRUST, new)


def test_phrases_that_were_learned_from_wait_for_a_message_that_needs_them(index: Index) -> None:
    """No table is made for 'wont heat'; 'it's not that it wont heat' looks the phrase up."""
    phrases = Phrasing("dryer", [_pattern("no_heat", "heat-"), _pattern("no_heat", "heat-", new=True)], index.weights)
    assert matches(index, phrases, index.parse("wont heat")) == []
    assert "table" not in vars(phrases)
    found = matches(index, phrases, index.parse("its not that it wont heat"))
    assert [match.meaning for match in found] == ["denied:no_heat"]


def test_a_firms_own_phrase_is_heard_beside_what_was_learned(index: Index) -> None:
    """Of a family with one new phrase, that one is matched where its words are said, the others are not."""
    phrases = Phrasing("dryer", [_pattern("no_heat", "heat-"), _pattern("slow", "turn-", new=True)], index.weights)
    assert phrases.new_keys == {"turn-"}
    assert matches(index, phrases, index.parse("wont heat")) == []
    assert [match.meaning for match in matches(index, phrases, index.parse("wont turn"))] == ["complaint:slow"]
