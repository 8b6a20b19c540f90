"""Clean water in a machine that nobody ran came in by itself: what its words are not to be taken for."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.turn import Turn
from bot.language.complaints.by_itself import fills_by_itself
from bot.language.meaning import Guess, Meaning

FILLS: Final = "overfill"
"""The complaint of too much water, or of water that comes with the machine off."""
NOT_MEANT: Final = frozenset({"no_drain", "leaks", "poor_wash"})
"""What such words sound like: water that stands, water where none should be, 'clean'."""


def with_filling_off(turn: Turn, meaning: Meaning, text: str) -> Meaning:
    """The meaning with that complaint where the words tell it, without what they only sound like."""
    pack = turn.context.release.knowledge.packs.get(turn.job.family or meaning.family or "")
    if pack is None or FILLS not in pack.complaints or not fills_by_itself(text):
        return meaning
    kept = tuple(guess for guess in meaning.complaints if guess.id not in NOT_MEANT | {FILLS})
    return replace(meaning, confident=True, small_talk=None, complaints=(Guess(FILLS, 1.0), *kept), candidates=(),
                   denied=tuple(c for c in meaning.denied if c not in NOT_MEANT | {FILLS}),
                   results=tuple(r for r in meaning.results if pack.checks[r.check].results.get(r.result) is None
                                 or not NOT_MEANT & set(pack.checks[r.check].results[r.result].complaints)))
