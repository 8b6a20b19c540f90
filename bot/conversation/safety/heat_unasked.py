"""A dryer that heats with nobody asking: what its words are not to be taken for, and the complaint they are."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.turn import Turn
from bot.language.dangers.unasked_heat import heats_unasked, turns_on
from bot.language.meaning import Guess, Meaning

UNASKED: Final = "heats_unasked"
"""The complaint of a dryer that heats on air only, with its drum still, its door open or its control at off."""
NOT_MEANT: Final = frozenset({"no_heat", "long_dry_time", "stops_mid_cycle"})
"""What such words sound like: 'no heat' is the setting, 'stopped' the drum."""
GOES_ON: Final = "wont_stop"
"""The heat goes on, not the drum, unless that is said too."""


def with_unasked_heat(turn: Turn, meaning: Meaning, text: str) -> Meaning:
    """The meaning with that complaint where the words tell it, without what they only sound like."""
    pack = turn.context.release.knowledge.packs.get(turn.job.family or meaning.family or "")
    if pack is None or UNASKED not in pack.complaints or not heats_unasked(text):
        return meaning
    wrong = NOT_MEANT if turns_on(text) else NOT_MEANT | {GOES_ON}
    kept = tuple(guess for guess in meaning.complaints if guess.id not in wrong)
    return replace(meaning, confident=True, small_talk=None, complaints=(Guess(UNASKED, 1.0), *kept),
                   denied=tuple(c for c in meaning.denied if c not in {"too_hot", "no_heat"}),
                   results=tuple(r for r in meaning.results if r.check != "load_and_setting"))
