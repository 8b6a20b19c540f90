"""Water that comes with the machine off, or goes as it comes: what its words are not to be taken for."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.conversation.turn import Turn
from bot.language.complaints.by_itself import fills_by_itself
from bot.language.meaning import Guess, Meaning
from knowledge.schema import Pack

FILLS: Final = "overfill"
"""The complaint of too much water, or of water that comes with the machine off."""
AT_ONCE: Final = "fills and drains at the same time"
"""As a pack says it, among the phrases of the complaint that it is."""
_AT_ONCE: Final = re.compile(
    r"\bfill(?:s|ing|in)? (?:and|n|&|\+|while|as|but) (?:it )?drain(?:s|ing|in)?(?: out)? "
    r"(?:at (?:the )?(?:same time|once)|same time|together)\b|"
    r"\bdrain(?:s|ing|in)(?: out)? (?:while|as|whilst|when|same time(?: as)?) (?:it |its |it's )?fill(?:s|ing|in)\b",
    re.IGNORECASE)
NOT_MEANT: Final = frozenset({"no_drain", "leaks", "poor_wash"})
"""What such words sound like: water that stands, water where none should be, 'clean'."""


def with_filling_off(turn: Turn, meaning: Meaning, text: str) -> Meaning:
    """The meaning with that complaint where the words tell it, without what they only sound like."""
    pack = turn.context.release.knowledge.packs.get(turn.job.family or meaning.family or "")
    if pack is not None and _AT_ONCE.search(text):
        return _goes_as_it_comes(pack, meaning)
    if pack is None or FILLS not in pack.complaints or not fills_by_itself(text):
        return meaning
    kept = tuple(guess for guess in meaning.complaints if guess.id not in NOT_MEANT | {FILLS})
    return replace(meaning, confident=True, small_talk=None, complaints=(Guess(FILLS, 1.0), *kept), candidates=(),
                   denied=tuple(c for c in meaning.denied if c not in NOT_MEANT | {FILLS}),
                   results=tuple(r for r in meaning.results if pack.checks[r.check].results.get(r.result) is None
                                 or not NOT_MEANT & set(pack.checks[r.check].results[r.result].complaints)))


def _goes_as_it_comes(pack: Pack, meaning: Meaning) -> Meaning:
    """'Drains while it fills' is the one complaint, and no word that it fills or drains well."""
    told = next((key for key, entry in pack.complaints.items() if AT_ONCE in entry.phrases.get("en", ())), None)
    if told is None or any(guess.id == FILLS for guess in meaning.complaints):
        return meaning
    kept = tuple(guess for guess in meaning.complaints if guess.id != told)
    return replace(meaning, confident=True, small_talk=None, complaints=(Guess(told, 1.0), *kept), candidates=(),
                   denied=tuple(c for c in meaning.denied if c not in {told, "no_drain"}))
