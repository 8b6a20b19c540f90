"""Somebody hurt, told by a part of the body and what was done to it: 'sliced my hand', 'metal in my eye'."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.language.dangers.no_harm import put_in
from bot.language.words.lexicon import data
from bot.language.words.text import Token, word_set

BODY: Final = word_set(str(data("hazards")["body"]))
HARM: Final = word_set(str(data("hazards")["harm"]))
OWN: Final = word_set("my his her their mi su la el")


_CUTS_OUT: Final = re.compile(
    r"\b(?:it|motor|machine|dryer|washer|heat|power|drum)(?: (?:just|all|then))? cuts? (?:out|off)\b"
    r"(?! (?:my|his|her)\b)")
"""What a machine does, and no blade."""


def _hurt(words: Sequence[str]) -> int | None:
    """Place of a body part that something was done to: 'sliced my hand', 'my arm is stuck', 'metal in my eye'."""
    if BODY.isdisjoint(words):
        return None
    for place in range(1, len(words)):
        if words[place] in BODY and words[place - 1] in OWN:
            near = [*words[max(0, place - 5):place - 1], *words[place + 1:place + 5]]
            if put_in(words, place) or _in_another_sentence("stuck", words, place):
                near.remove("stuck")
            if near.count("cut") == words.count("cut") == 1 and _CUTS_OUT.search(" ".join(words)):
                near.remove("cut")  # 'bumped it with my knee and it cut out'
            if set(near) & (HARM if words[place - 1] not in ("la", "el", "su") else HARM - {"in", "el"}):
                harmed = set(near) & HARM
                if harmed != {"in"} or words[place].startswith("eye"):
                    return place
    return None


def _in_another_sentence(word: str, words: Sequence[str], place: int) -> bool:
    """Whether a word stands before a place, and a full stop between: 'stuck. put my shoulder in it'."""
    before = words[max(0, place - 5):place - 1]
    return word in before and "." in before[before.index(word):]


def injured(tokens: Sequence[Token], words: Sequence[str]) -> tuple[int, int] | None:
    """Where in the text somebody is told to be hurt: first character, last + 1."""
    place = _hurt(words)
    return None if place is None else (tokens[place - 1].start, tokens[place].end)
