"""Searching what was said, with typing mistakes forgiven.

Looked through is what people wrote and what the bot took down of it and found; with `everything` also what it asked and
explained. Its closing list, safety card and other standing lines stand in nearly every visit and are no hits.

Words that stand in the log as typed are looked for as they are; one that stands nowhere is replaced by the words of
the log that are nearest to it. The log's words are kept in memory and followed as new messages come.
"""

from __future__ import annotations

import re
import threading
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from rapidfuzz import process
from rapidfuzz.distance import OSA

from bot.store.review import ReviewStore
from bot.store.review_rows import Filter, Found

_WORD: Final = re.compile(r"\w+")
_TOKEN: Final = re.compile(r"[^\W_]+")
MOST_WORDS: Final = 12
NEAREST: Final = 4
"""Words of the log that stand in for one that is not in it."""
SHORTEST_PREFIX: Final = 3
BATCH: Final = 200
"""Messages that are asked of the index at once."""
FOUND: Final = ("echo.full", "echo.said", "echo.reading", "finding.named", "finding.root_first", "finding.also",
                "senior.verdict", "surprise")
"""Paragraphs of ours that say what was told and what was found."""
STANDING: Final = ("closing.", "ask.closing", "safety.", "caution", "machine.", "leave.make_safe", "waiting.safe")
"""Beginnings of the keys of paragraphs that are the same in visit after visit."""


@dataclass(frozen=True, slots=True)
class Results:
    """A page of hits. `instead`: word that was typed -> words that were looked for in its place."""

    hits: tuple[Found, ...]
    instead: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    more: int | None = None
    """Where the next page begins, if there is one."""


def slips(word: str) -> int:
    """How many slips of a finger (a letter more, less, other, two swapped) are forgiven in a word."""
    return 0 if len(word) < 4 else 1 if len(word) < 6 else 2


class Vocabulary:
    """The words of the log. Safe to use from any thread; empty until `refresh` has run once."""

    def __init__(self) -> None:
        self._counts: dict[str, int] = {}
        self._place = -1
        self._lock = threading.Lock()

    def refresh(self, store: ReviewStore) -> None:
        """Read all words the first time, and those of new messages from then on."""
        with self._lock:
            if self._place < 0:
                place, _ = store.words_since(2**62)
                self._counts = dict(store.words())
                self._place = place
                return
            place, texts = store.words_since(self._place)
            self._place = place
            for text in texts:
                for word in set(tokens(text)):
                    self._counts[word] = self._counts.get(word, 0) + 1

    def forget(self) -> None:
        """Forget everything, after an erasure: the next `refresh` reads anew."""
        with self._lock:
            self._counts, self._place = {}, -1

    def knows(self, word: str) -> bool:
        """Whether the word stands in the log."""
        return word in self._counts

    def near(self, word: str) -> tuple[str, ...]:
        """The words of the log that differ by few slips, nearest and most frequent first."""
        most = slips(word)
        if not most:
            return ()
        found = process.extract(word, self._counts.keys(), scorer=OSA.distance, score_cutoff=most, limit=40)
        ranked = sorted(found, key=lambda each: (each[1], -self._counts.get(each[0], 0)))
        return tuple(each[0] for each in ranked[:NEAREST])


def tokens(text: str) -> list[str]:
    """The words of a text as the index has them: lower case, without accents."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return _WORD.findall(plain.replace("_", " ").lower())


@dataclass(frozen=True, slots=True)
class Wanted:
    """The words to look for; with `instead` a word may be one of others. The last may be the beginning of one."""

    words: Sequence[str]
    instead: Mapping[str, Sequence[str]] = field(default_factory=dict)

    @property
    def query(self) -> str:
        """As FTS5 takes it."""
        return query_of(self.words, self.instead)

    def in_text(self, text: str) -> bool:
        """Whether all of them stand in the text."""
        found = {word for token in tokens(text) for word in self._met(token)}
        return found >= set(self.words)

    def any_in(self, text: str) -> bool:
        """Whether one of them does."""
        return any(self._met(token) for token in tokens(text))

    def marked(self, text: str) -> str:
        """The text with them between \\ue000 and \\ue001."""
        return _TOKEN.sub(lambda m: f"\ue000{m[0]}\ue001" if any(map(self._met, tokens(m[0]))) else m[0], text)

    def _met(self, token: str) -> list[str]:
        last = self.words[-1]
        begun = last not in self.instead and len(last) >= SHORTEST_PREFIX and token.startswith(last)
        return [word for word in self.words
                if token == word or token in self.instead.get(word, ()) or (word == last and begun)]


def search(store: ReviewStore, vocabulary: Vocabulary, words: str, chosen: Filter, limit: int,
           before: int | None = None, *, everything: bool = False) -> Results:
    """A page of the messages that hold all the words, newest first; the last may be the beginning of one."""
    typed = tokens(words)[:MOST_WORDS]
    if not typed:
        return Results(())
    instead: dict[str, tuple[str, ...]] = {}
    if not store.any_match(query_of(typed, {})):
        vocabulary.refresh(store)
        for place, word in enumerate(typed):
            unfinished = place == len(typed) - 1 and len(word) >= SHORTEST_PREFIX
            if not vocabulary.knows(word) and not (unfinished and store.any_match(f'"{word}"*')):
                near = vocabulary.near(word)
                if near:
                    instead[word] = near
    hits = _hits(store, Wanted(typed, instead), chosen, limit + 1, before, everything)
    more = hits[limit - 1].place if len(hits) > limit else None
    return Results(hits[:limit], instead, more)


def _hits(store: ReviewStore, wanted: Wanted, chosen: Filter, limit: int, before: int | None,
          everything: bool) -> tuple[Found, ...]:
    """Up to `limit` hits. The index knows whole messages; of the bot's, the paragraph that holds the words decides."""
    found: list[Found] = []
    saying = None if everything else FOUND
    while True:
        batch = store.search(wanted.query, chosen, BATCH, before, saying)
        found += [hit for each in batch if (hit := _hit(each, wanted, everything)) is not None]
        if len(batch) < BATCH or len(found) >= limit:
            return tuple(found[:limit])
        before = batch[-1].place


def _hit(found: Found, wanted: Wanted, everything: bool) -> Found | None:
    """The message with the paragraphs that count; None if the words do not stand in them."""
    if found.direction == "in":
        return found
    said = [words for key, words in found.said
            if (not key.startswith(STANDING) if everything else key in FOUND) and wanted.any_in(words)]
    if not wanted.in_text("\n".join(said)):
        return None
    return replace(found, snippet=wanted.marked(" … ".join(said)))


def query_of(words: Sequence[str], instead: Mapping[str, Sequence[str]]) -> str:
    """The FTS5 query: only words, each in quotes, so that nothing typed is read as its syntax."""
    parts = [f"({' OR '.join(_quoted(each) for each in (word, *instead[word]))})" if word in instead else _quoted(word)
             for word in words]
    if words[-1] not in instead and len(words[-1]) >= SHORTEST_PREFIX:
        parts[-1] += "*"
    return " AND ".join(parts)


def _quoted(word: str) -> str:
    return f'"{word}"'
