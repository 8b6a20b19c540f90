"""Which cautions are said: those that fit the machine in front of the tech, and none of them twice."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from bot.conversation.turn import Turn
from bot.language.words.forms import stem

MOST: Final = 3
"""Cautions said along with one step; the rest stand in `how`."""
_OF_GAS: Final = re.compile(r"(?:On gas|Gas)\b")
_LITTLE_WORDS: Final = frozenset((
    "a", "an", "and", "are", "as", "at", "in", "is", "it", "near", "never", "no", "not", "of", "only", "or", "over",
    "s", "the", "them", "they", "to", "with", "your"))


def say_cautions(turn: Turn, cautions: Iterable[str]) -> None:
    """Those that were not said already on this visit, without what this very message says in other words."""
    said = turn.job.position.machine.said
    fresh = [c for c in dict.fromkeys(cautions) if c not in said][:MOST]
    told = [str(text.params["text"]) for text in turn.texts if text.key == "caution"]
    left = without_repeats([for_machine(turn, caution) for caution in fresh], told)
    if left:
        turn.note("caution", text=" ".join(left))
    if fresh:
        turn.machine(said=(*said, *fresh))


def for_machine(turn: Turn, caution: str) -> str:
    """The caution for the machine at hand, which may be told to burn no gas."""
    fuel = {fact.value for fact in turn.job.standing("variant") if fact.subject == "fuel"}
    return without_gas(caution) if fuel == {"electric"} else caution


def without_gas(caution: str) -> str:
    """Nothing if it begins with 'Gas' or 'On gas', else all of it but the sentences that do."""
    return "" if _OF_GAS.match(caution) else " ".join(s for s in _sentences(caution) if not _OF_GAS.match(s))


def without_repeats(cautions: Iterable[str], told: Sequence[str]) -> list[str]:
    """The sentences of `cautions` that say something which neither `told` nor the others say."""
    whole = [sentence for caution in cautions for sentence in _sentences(caution)]
    left: list[str] = []
    for place, sentence in enumerate(whole):
        longer = [s for s in whole[place + 1:] if len(s) > len(sentence)]
        if not any(_words(sentence) <= _words(other) for other in (*told, *left, *longer)):
            left.append(sentence)
    return left


def _sentences(text: str) -> list[str]:
    return re.split(r"(?<=\.)\s+", text) if text else []


def _words(text: str) -> set[str]:
    """The words that count: 'Gloves: the fins cut' says no more than 'Fins cut. Gloves on'."""
    return {stem(word) for word in re.findall(r"[\w-]+", text.lower()) if word not in _LITTLE_WORDS}
