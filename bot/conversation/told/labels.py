"""A choice of another question told in its own words: 'never warm' while the breaker is looked at, 'no glow' at the
hood."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told, senseless
from bot.language.answers.likeness import choices_of, learned, own_words
from bot.language.meaning import HeardResult
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, plain_words, word_set
from knowledge.schema import Check


def label_of_another(turn: Turn, text: str, asked: Sequence[str], *, whole: bool = True) -> HeardResult | None:
    """The one result that is called so and belongs to a complaint that stands, where nothing that is asked has these
    words: of a question to the customer, or of what is watched if what is asked never speaks of such a thing. A `whole`
    line may be one of its phrases, too."""
    said = tuple(plain_words(_LEAD_IN.sub("", drop_apostrophes(text))))
    if len(said) < 2:
        return None
    if any(said == tuple(plain_words(way)) for key in asked for way in _ways(turn.pack.checks[key])):
        return None
    evidence = evidence_of(turn.job)
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    strange = bool(asked) and _strange(turn, said, asked)
    called = [(key, result) for key, check in turn.pack.checks.items()
              if check.kind == "ask" or (strange and check.kind in {"look", "listen"})
              for result, entry in check.results.items()
              if (stands & set(entry.complaints) and said == tuple(plain_words(entry.label)))
              or (check.kind == "ask" and _names_itself(check, result, said))]
    called = called or (_phrased(turn, said, asked) if whole else [])
    if len(called) != 1:
        return None
    key, result = called[0]
    check = turn.pack.checks[key]
    if key in asked or not holds_as_told(check, evidence) or senseless(turn.pack, check, evidence):
        return None
    return HeardResult(key, result, 1.0)


def _phrased(turn: Turn, said: Sequence[str], asked: Sequence[str]) -> list[tuple[str, str]]:
    """The results of which words are a phrase letter by letter that names the check's own part, where nothing that is
    asked speaks of that part: 'filter is clean' is no clean load."""
    if not asked or len(said) < FEWEST:
        return []
    words = {stem(word) for word in said} - _NO_PARTS
    spoken = {stem(word) for key in asked for line in _lines(turn.pack.checks[key])[:OF_ITSELF]
              for word in plain_words(line)}
    return [(key, result) for key, check in turn.pack.checks.items()
            if words & {stem(word) for word in plain_words(check.name)} - spoken
            for result, entry in check.results.items()
            if any(said == tuple(plain_words(phrase)) for phrase in entry.phrases.get("en", ()))]


OF_ITSELF: Final = 4
"""Of a check's lines those before its steps, which speak of much else."""
FEWEST: Final = 3
"""Words of a phrase that says of which part it is: 'no flame' may be any burner's."""
_NO_PARTS: Final = frozenset(map(stem, word_set("the a an is are it its no not good fine all on off up down in out")))


def _lines(check: Check) -> tuple[str, ...]:
    """All that a check says of itself."""
    return (check.name, check.ask, check.again or "", check.good, *check.steps)


def _names_itself(check: Check, result: str, said: Sequence[str]) -> bool:
    """Whether words are one way to tell a result, and name what is asked in it: 'no code'."""
    named = {stem(word) for word in plain_words(check.name)}
    return bool(named & {stem(word) for word in said}) and any(
        tuple(said) == tuple(plain_words(way)) for way in own_words(check, result))


def _strange(turn: Turn, said: Sequence[str], asked: Sequence[str]) -> bool:
    """Whether the last word of what is said, its thing, never comes up in what is asked or is answered to it."""
    thing, family = stem(said[-1]), turn.job.family or ""
    for key in asked:
        check = turn.pack.checks[key]
        if any(thing in {stem(word) for word in plain_words(line)} for line in _lines(check)) or (
                f"'{thing}" in choices_of(turn.context.release.index, family, key, learned()).traits):
            return False
    return True


_LEAD_IN: Final = re.compile(r"^\W*(?:(?:well|so|and|but|nope|no,) )?(?:there(?:s| is| was)|i (?:see|saw|get|got)|"
                             r"it(?:s| is| has)(?: got)?|(?:we )?got|just|still|got) (?=no\b)", re.IGNORECASE)


def _ways(check: Check) -> list[str]:
    """Every way that the pack knows to say a result of a check."""
    return [way for result in check.results for way in own_words(check, result)]
