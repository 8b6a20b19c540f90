"""The complaint told closer, in the words of a choice not asked: 'never warm' while the breaker is looked at."""

from __future__ import annotations

from collections.abc import Sequence

from bot.conversation.facts import evidence_of
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told, senseless
from bot.language.likeness import own_words
from bot.language.meaning import HeardResult
from bot.language.text import plain_words
from knowledge.schema import Check


def label_of_another(turn: Turn, text: str, asked: Sequence[str]) -> HeardResult | None:
    """The one result of a question to the customer that is called so and belongs to a complaint that stands, where
    nothing that is asked has these words."""
    said = tuple(plain_words(text))
    if len(said) < 2:
        return None
    if any(said == tuple(plain_words(way)) for key in asked for way in _ways(turn.pack.checks[key])):
        return None
    evidence = evidence_of(turn.job)
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    called = [(key, result) for key, check in turn.pack.checks.items() if check.kind == "ask"
              for result, entry in check.results.items()
              if stands & set(entry.complaints) and said == tuple(plain_words(entry.label))]
    if len(called) != 1:
        return None
    key, result = called[0]
    check = turn.pack.checks[key]
    if key in asked or not holds_as_told(check, evidence) or senseless(turn.pack, check, evidence):
        return None
    return HeardResult(key, result, 1.0)


def _ways(check: Check) -> list[str]:
    """Every way that the pack knows to say a result of a check."""
    return [way for result in check.results for way in own_words(check, result)]
