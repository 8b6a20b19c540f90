"""From what was typed to words that are known: typos, joined words, spelling by ear."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from bot.language.words.lexicon import Lexicon, words_of
from bot.language.words.text import Token

MOST: Final = 60
"""Unknown words that are looked up in one message; a longer text is no longer a technician's line."""
_SOUNDS: Final = tuple((re.compile(p, re.MULTILINE), r) for p, r in (
    ("^kn", "n"), ("^wr", "r"), ("ght", "t"), ("ph", "f"), ("ck", "k"), ("qu", "kw"), ("x", "ks"), ("c(?=[eiy])", "s"),
    ("c(?!h)", "k"), ("z", "s"), ("dge", "j"), ("sch", "sk"), ("tch", "ch"), ("gu(?=[ei])", "g"), ("ll", "l"),
    ("v", "b"), ("(?<=.)[aeiouyhw]+", ""), (r"(.)\1+", r"\1")))


def sound(words: str) -> str:
    """A rough key of how a word sounds: consonants only after the first letter. Of many words, a line each, at once."""
    for pattern, replacement in _SOUNDS:
        words = pattern.sub(replacement, words)
    return words


class Speller:
    """Known words, arranged for looking up near ones.

    Words that everybody knows are no slip of another: the `common` ones, and the `plain` ones, which lie a letter or
    two from a word of danger ('joined' from 'jolted', 'spare' from 'spark').
    """

    def __init__(self, lexicon: Lexicon, more: Iterable[str]) -> None:
        self.lexicon = lexicon
        self._telling = lexicon.telling()
        self.known: frozenset[str] = frozenset(self._telling.union(lexicon.stopwords, more))
        self.common: frozenset[str] = words_of("common") | words_of("plain")
        self.good: frozenset[str] = frozenset(w for w in self._telling if len(w) > 3 and w.isalpha()
                                              and not lexicon.is_foreign(w))
        self._buckets: dict[tuple[str, int], list[str]] = {}
        self._sounds: dict[str, list[str]] = {}
        ordered = sorted(self.good)
        for word, key in zip(ordered, sound("\n".join(ordered)).split("\n"), strict=True):
            self._buckets.setdefault((word[0], len(word)), []).append(word)
            self._sounds.setdefault(key, []).append(word)
        self._cache: dict[str, str] = {}

    def spelled(self, tokens: Sequence[Token]) -> tuple[list[Token], list[str]]:
        """Tokens (a joined word becomes two) and their words as they are known."""
        out: list[Token] = []
        words: list[str] = []
        looked = 0
        for token in tokens:
            word = token.word
            if token.is_mark or len(word) < 4 or self.is_known(word) or not word.isalpha():
                out.append(token)
                words.append(word)
                continue
            looked += word not in self._cache
            near = self.near(word) if looked <= MOST else word
            if " " in near:
                first, second = near.split(" ")
                cut = min(token.start + len(first), token.end)
                out += [Token(token.start, cut, first), Token(cut, token.end, second)]
                words += [first, second]
            else:
                out.append(token)
                words.append(near)
        return out, words

    def is_known(self, word: str) -> bool:
        """True when nothing has to be looked up for this word."""
        return word in self.known or word in self.common or self.lexicon.begins(word) or (
            word.endswith("in") and (word + "g" in self.known or word + "g" in self.common))

    def near(self, word: str) -> str:
        """The known word that was meant, two words when they were typed as one, or the word itself."""
        found = self._cache.get(word)
        if found is None:
            found = self._near(word[:24])
            if len(self._cache) < 20_000:
                self._cache[word] = found
        return found

    def _near(self, word: str) -> str:
        squeezed = re.sub(r"(.)\1{2,}", r"\1\1", word)
        for form in (squeezed, re.sub(r"(.)\1+", r"\1", word)):
            if form in self.known or form in self.common:
                return form
        allowed = 1 if len(word) < 6 else 2
        pool = [w for length in range(len(word) - allowed, len(word) + allowed + 1)
                for w in self._buckets.get((word[0], length), ())]
        close = extract(word, pool, scorer=OSA.distance, score_cutoff=allowed, limit=4)
        if close and (close[0][1] == 1 or len(word) > 5):
            best = [w for w, d, _ in close if d == close[0][1]]
            return max(best, key=lambda w: (sound(w) == sound(word), w[-1] == word[-1], len(w) == len(word)))
        halves = self._halves(word)
        if halves:
            return halves
        alike = [w for w in self._sounds.get(sound(word), ()) if abs(len(w) - len(word)) <= 2]
        if alike and len(sound(word)) > 2:
            return min(alike, key=lambda w: OSA.distance(w, word))
        return self._other_first_letter(word) or word

    def _halves(self, word: str) -> str:
        for cut in range(len(word) - 2, 1, -1):
            first, second = word[:cut], word[cut:]
            if first in self.known and second in self.known and (len(first) > 2 or first in ("no", "im")) \
                    and (second in self._telling and len(second) > 2):
                return f"{first} {second}"
        return ""

    def _other_first_letter(self, word: str) -> str:
        """A slip in the first letter or a swap of the first two: 'sdrain', 'psin'."""
        tries = (word[1:], word[1] + word[0] + word[2:])
        return next((w for w in tries if w in self.good and len(w) > 3), "")
