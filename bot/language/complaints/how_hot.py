"""How much, in words of noise: 'screaming hot' is very hot, and nothing that is heard; and whose heat it is: that of a
plug says nothing of what the machine heats."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.language.dangers.unsafe_seen import hot_at_feed, without_hot_feed
from bot.language.meaning import Meaning

_VERY: Final = re.compile(r"\b(?:screaming|roaring|howling|ripping|crying)(?= (?:hot|cold)\b)", re.IGNORECASE)


def without_how_hot(text: str) -> str:
    """The text with 'too' for these words, and blanks, so that every other word keeps its place."""
    return _VERY.sub(lambda found: "too".ljust(len(found[0])), text)


_HEAT: Final = re.compile(
    r"\b(?:heat\w*|hot|warm\w*|toasty|bak(?:es|ing)|cooks?|steam\w*|glow\w*|calient\w*)\b", re.IGNORECASE)
MISSED: Final = frozenset({"no_heat", "oven_no_heat", "surface_dead", "water_not_hot"})
"""Complaints that there is no heat, which heat anywhere seems to deny."""
TOO_HOT: Final = "too_hot"


def not_of_the_feed(text: str, meaning: Meaning) -> Meaning:
    """The meaning without 'it does heat' or 'too hot' where nothing is said to be warm but a plug or cord."""
    hot = any(guess.id == TOO_HOT for guess in meaning.complaints)
    if not (hot or MISSED & set(meaning.denied)) or hot_at_feed(text) is None or _HEAT.search(without_hot_feed(text)):
        return meaning
    return replace(meaning, denied=tuple(one for one in meaning.denied if one not in MISSED),
                   complaints=tuple(guess for guess in meaning.complaints if guess.id != TOO_HOT))
