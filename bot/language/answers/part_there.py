"""A part that is said to be where it belongs: 'belt is on' is no belt that is broken or off."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Final

from bot.language.answers.about import PARTS_SAID
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, plain_words
from knowledge.schema import Check

_PART: Final = "|".join(sorted(PARTS_SAID))
_ENDS: Final = r"(?=\W*(?:$|[,.;]|(?:and|n|but|tho|though|like|still|ok|okay|fine|good|just)\b))"
_THERE: Final = re.compile(
    rf"(?<!no )(?<!not )(?<!new )\b(?P<part>{_PART})s?(?:'?s| is| are| was| sits)? "
    r"(?:(?:still|right|back|all|definitely|there and|most) )*"
    rf"(?:(?:on(?: (?:it|there))?|there|in place|on right){_ENDS}|intact\b|whole\b|in one piece\b|"
    r"(?:not|isnt|aint|never) (?:broke\w*|off|snapped|torn|missing|gone)\b)", re.IGNORECASE)
_LOST: Final = r"(?:broken|broke|off|gone|missing|snapped|torn|lost|fell off)"


def parts_there(text: str) -> frozenset[str]:
    """The parts, by their stems, that words say to be in place, whole, or not broken."""
    plain = drop_apostrophes(text)
    return frozenset(stem(found["part"].lower()) for found in _THERE.finditer(plain))


def lost_parts(check: Check, there: Collection[str]) -> frozenset[str]:
    """The results of a check that say of one of these parts that it is broken or not there."""
    return frozenset(result for result, entry in check.results.items() if any(
        _says_lost(said, part) for said in (entry.says, entry.label) for part in there))


def _says_lost(said: str, part: str) -> bool:
    words = plain_words(said)
    named = [at for at, word in enumerate(words) if stem(word) == part]
    return any((at and words[at - 1] in {"no", "without"}) or re.search(rf"^{_LOST}\b", " ".join(words[at + 1:]))
               is not None for at in named)
