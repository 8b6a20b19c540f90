"""What is said of windings beside the way to the shell: three ohms that have to add up, or one pair that is open."""

from __future__ import annotations

import re
from typing import Final

from bot.language.text import tokens_of, word_set

_MORE: Final = word_set(
    "ol open infinity infinite no not none nothing isnt dont doesnt arent short shorts shorted low lower high off "
    "uneven beeps zero abierto abierta infinito sin")


def adds_up(text: str) -> bool:
    """False where three numbers of a line are neither alike nor two of them as much as the third."""
    numbers = sorted(float(word.replace(",", ".")) for word in re.findall(r"\d+(?:[.,]\d+)?", text))
    if len(numbers) != 3:
        return True
    low, middle, high = numbers
    return low >= ALIKE * high or abs(low + middle - high) <= (1 - ALIKE) * high


ALIKE: Final = 0.85
"""From this share on two ohm readings of a cheap meter may be the same."""


def tells_more(text: str) -> bool:
    """Whether words tell more of windings than the ohms of one: 'one pair is OL', 'doesnt add up'."""
    words = [token.word for token in tokens_of(text) if not token.is_mark]
    return bool(_MORE & set(words)) or (bool(words) and not any(word[:1].isdigit() for word in words))
