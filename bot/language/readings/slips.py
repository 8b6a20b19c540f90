"""Slips of the keyboard in the words that make an answer: 'twnety two', 'absolutley', 'contniuity', 'ys'."""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from bot.language.words.lexicon import data, words_of
from bot.language.words.text import word_set

SHORTEST: Final = 5
"""Letters under which too many words are a slip away from each other."""
_WORD: Final = re.compile(r"(?<![a-z0-9])[a-z]{5,}(?![a-z0-9])")
_SPECIALS: Final = ("open", "zero", "beeps", "no_beep", "cant_measure", "unsure", "yes", "no")
_ORDINAL: Final = re.compile(r"(?:four|fif|six|seven|eigh|nin|ten)(?:teen)?ths?$")
_REAL: Final = word_set("siente siento sieve footy sever servers tent tents thirst thirsty sweets fort forth cuarto")
"""Words of their own that stand close to a number."""
_SHORT: Final = {"yes": ("yes", "yeah", "yep", "yup"), "no": ("nope", "nah")}


def numbers_mended(folded: str) -> str:
    """Each word that is not known and a slip away from just one number word, as that one."""
    return _WORD.sub(lambda found: _mended(found[0], numbers=True), folded)


def words_mended(folded: str) -> str:
    """The same of all words that answers are made of: for an answer that tells nothing as it was typed."""
    return _WORD.sub(lambda found: _mended(found[0], numbers=False), folded)


def short_answer(folded: str) -> str | None:
    """'ys', 'yse', 'nopw': a word alone that is one slip away from yes or from no, not from both."""
    word = folded.strip(" .,!?")
    if not word.isalpha() or not 2 <= len(word) <= 5:
        return None
    near = {said for said, forms in _SHORT.items() if any(OSA.distance(word, form) <= 1 for form in forms)}
    return near.pop() if len(near) == 1 else None


@cache
def _mended(word: str, *, numbers: bool) -> str:
    if word in _known() or _ORDINAL.search(word):
        return word
    allowed = 1 if len(word) < 9 else 2
    near = extract(word, [w for w in _targets(numbers=numbers) if w[0] == word[0] and not _is_form(w, word)],
                   scorer=OSA.distance, score_cutoff=allowed, limit=2)
    alone = near and (len(near) == 1 or near[0][1] < near[1][1])
    return str(near[0][0]) if alone else word


def _is_form(one: str, two: str) -> bool:
    """'testers' is no slip of 'tester'."""
    return any(one + end == two or two + end == one for end in ("s", "d", "r", "ed", "er", "in"))


@cache
def _targets(*, numbers: bool) -> tuple[str, ...]:
    words = {w for name in ("small", "tens") for w in data("numbers")[name]} | {"hundred", "thousand"}
    if not numbers:
        words |= {w for name in _SPECIALS for phrase in data("answers")[name] for w in str(phrase).split()}
        words |= {w for typed in data("units").values() for w in typed}
    return tuple(sorted(w for w in words if len(w) >= SHORTEST and w.isalpha()))


@cache
def _known() -> frozenset[str]:
    """Words that are no slip: the common ones with their endings, and all that answers are read by."""
    common = words_of("common") | words_of("stopwords")
    forms = {w + end for w in common for end in ("s", "ed", "d", "ing", "er", "in")}
    read = {w for phrases in data("answers").values() for phrase in phrases for w in str(phrase).split()}
    return frozenset(common | forms | read | set(_targets(numbers=False)) | _REAL)
