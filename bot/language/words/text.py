"""From typed characters to plain words that still know where they stood."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from sys import intern
from typing import Final, NamedTuple

LONGEST: Final = 10_000
"""Characters that are read; what a longer message says after them is left unread."""
_APOSTROPHES: Final = dict.fromkeys(map(ord, "\u2019\u2018\u00b4`\u02bc\u2032"), "'")
_WORD: Final = re.compile(r"\d+(?:[.,]\d+)+|\bd/w\b|[^\W_]+(?:'[^\W_]+)*|[.,;:!?\n()/&+=-]")
_STOPS: Final = frozenset(".;!?\n")
_DISHWASHER: Final = "d/w"
"""How trade writes it short: one word, no choice of two."""


class Token(NamedTuple):
    """One word or punctuation mark: `word` is folded (lower case, no accents, no apostrophes)."""

    start: int
    end: int
    word: str

    @property
    def is_mark(self) -> bool:
        """True for punctuation."""
        return not self.word[0].isalnum()


def fold(text: str) -> tuple[str, list[int] | None]:
    """Lower case without accents, and for each of its characters the place it came from (None: the same place)."""
    text = text[:LONGEST]
    if text.isascii():
        return text.replace("`", "'").lower(), None
    text = text.translate(_APOSTROPHES)
    if text.isascii():
        return text.lower(), None
    out: list[str] = []
    places: list[int] = []
    for place, char in enumerate(text):
        plain = char if char.isascii() else _plain(char)
        out.append(plain)
        places.extend([place] * len(plain))
    return "".join(out), places


def _plain(char: str) -> str:
    parts = unicodedata.normalize("NFKD", char)
    return "".join(c for c in parts if not unicodedata.combining(c)).lower()[:4]


def tokens_of(text: str) -> list[Token]:
    """The words and marks of a message, with their places in it."""
    folded, places = fold(text.lower() if text.isascii() else text)
    folded = folded.lower()
    found: list[Token] = []
    for match in _WORD.finditer(folded):
        word = match.group()
        if "'" in word:
            word = _without_apostrophes(word)
        elif word == _DISHWASHER:
            word = _DISHWASHER.replace("/", "")
        if not word or (word == "-" and _joins(folded, match.start())):
            continue
        start, end = match.span()
        if places is not None:
            start, end = places[start], places[end - 1] + 1
        if word == "t" and found and found[-1].word in _CUT_OFF and found[-1].end >= start - 1:
            found[-1] = Token(found[-1].start, end, found[-1].word + "t")
        else:
            found.append(Token(start, end, word))
    return found


_SHOWN: Final = re.compile(
    r"(?<!\w)(?<![0-9] )(?:[a-z]{1,2}[A-Z][A-Za-z]?|[A-Z][a-z][A-Z]|[Ee][rRlLeE]?[-:][A-Za-z0-9]{1,3}"
    r"|[Ff][eEhHlL]?[-:][A-Za-z0-9]{1,2})(?![\w'])")
_NOT_SHOWN: Final = frozenset(["dB", "kW", "mA", "uF", "mV", "kV", "dH", "hE", "SxS", "iP", "pH"])


def codes_shown(text: str) -> dict[int, int]:
    """Where codes stand that are written as displays write them, 'bAL', 'oF', 'Er:in', 'E-do': start -> end."""
    return {found.start(): found.end() for found in _SHOWN.finditer(text[:LONGEST]) if found.group() not in _NOT_SHOWN}


def _without_apostrophes(word: str) -> str:
    """'won't' is 'wont'; the "'s" of "the dryer's belt" and "the dryer's dead" says nothing of the dryer."""
    if word.endswith("'s") and word[:-2] not in _SHORT_IS:
        word = word[:-2]
    return word.replace("'", "")


def _joins(folded: str, place: int) -> bool:
    """True for the hyphen of 'top-loading': no border between things said."""
    return 0 < place < len(folded) - 1 and folded[place - 1].isalpha() and folded[place + 1].isalpha()


@lru_cache(maxsize=4096)
def plain_words(phrase: str) -> tuple[str, ...]:
    """The words of an author's phrase, folded, without their places: what thousands of phrases are read with,
    so each word is kept once."""
    if phrase.isascii():
        folded = phrase.lower()
        if folded.replace(" ", "").isalnum():
            return tuple(map(intern, folded.split()))
    else:
        folded = fold(phrase)[0].lower()
    return tuple(intern(w.replace("'", "").replace("/", "")) for w in _WORD.findall(folded) if w[0].isalnum())


_SHORT_IS: Final = frozenset(["it", "that", "what", "there", "here", "he", "she", "who", "where", "let", "how", "when"])
_CUT_OFF: Final = frozenset("won don doesn didn isn aren wasn weren can couldn wouldn hasn haven")


_ARE: Final = re.compile(
    r"(?<=[a-z]{3}) r(?= (?!(?:side|front|rear|back|hand|burner|unit|leg|knob)\b)[a-z]{3,})", re.IGNORECASE)


_WITH: Final = re.compile(r"(?<=[a-z,]) w(?:/ ?| )(?=[a-z])(?P<out>o )?", re.IGNORECASE)


def spelled_out(text: str) -> str:
    """'Taps r open' with its verb, 'lights w a bang' and 'packed w/lint' with 'with'. Watts follow a number."""
    return _WITH.sub(lambda found: " without " if found["out"] else " with ", _ARE.sub(" are", text))


def word_set(text: str) -> frozenset[str]:
    """The words of a line, as a set."""
    return frozenset(text.split())


def ends_sentence(mark: str) -> bool:
    """True for marks after which a new sentence begins."""
    return mark in _STOPS


def drop_apostrophes(text: str) -> str:
    """'its' for both "it's" and the typographic one."""
    return text.replace("’", "").replace("'", "")
