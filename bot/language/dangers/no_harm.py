"""Words of a danger that are of something else where they stand: 'got a bit wet', 'bled it first', 'a fire hose'."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from bot.language.meaning import Hazard
from bot.language.words.text import word_set

_MOVES: Final = word_set(
    "wiggle wiggles wiggled move moves moved wobble wobbles wobbled loose slack rattle rattles fall falls crumble "
    "crumbles stop stops stopped click clicks turn turns spin spins give gives stick sticks sticky soft cold wet "
    "beep beeps respond responds react reacts work works flex flexes bend bends")
"""What a part does 'when i touch it', and no current."""
_BLED_OFF: Final = word_set("it them that off down out first cap capacitor charge")
_WHO: Final = word_set(
    "i im ive he hes she shes they theyre we were me him her them is are was got get gets getting be been and but help "
    "kid kids child toddler baby boy girl man guy woman lady wife husband son daughter helper partner tech buddy dad "
    "mom cat dog customer cust owner hand hands arm arms leg legs foot feet finger fingers thumb head hair")
"""Who may be 'stuck under' a machine; a label or a coin is no case for a doctor."""
_INTO: Final = word_set("in inside into under underneath down behind up through thru near by against over between to")


def no_harm(hazard: Hazard, words: Sequence[str], first: int, end: int) -> bool:
    """Whether the words [first, end) that told a danger are of something else here."""
    told, before, after = words[first:end], words[max(0, first - 2):first], words[end:end + 3]
    match hazard:
        case "shock":
            return ("a", "bit") in pairwise(told) or (told[0] == "when" and bool(before) and before[-1] in _MOVES)
        case "injury":
            bled = told == ["bled"] and (after[:1] == ["the"] or not _BLED_OFF.isdisjoint(after[:1]))
            return bled or (told == ["stuck", "under"] and bool(before) and before[-1] not in _WHO)
        case "fire":
            return told[-1] == "fire" and after[:1] in (["hose"], ["hydrant"], ["extinguisher"])
        case "flood":
            return told[-2:] == ["hose", "split"] and "air" in words and "water" not in words
        case _:
            return False


def put_in(words: Sequence[str], place: int) -> bool:
    """Whether the part of the body at `place` was put somewhere of one's own will: 'stuck my arm in, its cold'."""
    return words[place - 2:place - 1] == ["stuck"] and not _INTO.isdisjoint(words[place + 1:place + 2])
