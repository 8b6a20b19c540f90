"""Results of checks, heard in a message that was no answer to a question."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from bot.language.index import Index
from bot.language.matching import Match
from bot.language.meaning import HeardResult

if TYPE_CHECKING:
    from bot.language.understand import Parsed


def results_in(index: Index, family: str, parsed: Parsed, checks: Iterable[str], found: Sequence[Match],
               ) -> tuple[HeardResult, ...]:
    """Results that the text states in so many words; those of likely checks are heard more easily."""
    return ()
