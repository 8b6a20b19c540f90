"""'Dead and safe', 'proved it dead', 'unplugged it': what was told to be done is done, while a check is open. It is no
reading."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import stays_dead
from bot.conversation.job import Question
from bot.conversation.questions.asking import put_again
from bot.conversation.turn import Turn
from bot.language.words.text import drop_apostrophes
from knowledge.schema import Check

_WELL: Final = (r"(?:ok(?:ay)?|yes|yep|yeah|done|its|it's|it is|its all|all|alright|sure|did that|sí|si|ya|and|now|"
                r"already|both)")
_DEAD: Final = (r"(?:dead and (?:safe|tagged)|dead n safe|made (?:it )?(?:safe|dead)|safe and dead|safe now|"
                r"(?:i )?(?:un ?plugged|pulled)(?: it| the plug)?|(?:the )?plugs? (?:is |are )?(?:out|pulled)|"
                r"tagged(?: it)?|desenchufad[ao]|(?:left|stays) off|off and tagged)")
_AT_PANEL: Final = (r"(?:(?:the )?breakers? (?:is |are )?off|breaker off|(?:turned |switched |killed )"
                    r"(?:it |the breaker )(?:off )?(?:at the (?:breaker|panel))?|all off|its off|power(?: is)? off)")


def _only(*ways: str) -> re.Pattern[str]:
    way = "|".join(ways)
    return re.compile(rf"\W*(?:{_WELL}\W+)*(?:{way})(?:\W+(?:{_WELL}\W+)*(?:{way}))*(?:\W+{_WELL})*\W*", re.IGNORECASE)


_TOLD: Final = _only(_DEAD, _AT_PANEL)
_TOLD_AWAY_FROM_IT: Final = _only(_DEAD)
"""Where a check is made with the power as it is, 'breaker off' may be what was found at the panel."""


def _part(told: str) -> re.Pattern[str]:
    """What tells it as a part of a line, with where it was proved and what joins it to the rest."""
    return re.compile(
        rf"(?:^|(?<=[,.;]))\s*(?:(?:ok|yes|so|and|well|i|ive|i have|we)\s+)*(?:{told})"
        r"(?: (?:first|now|at (?:the|its) (?:cord|terminals?|block|plug|box)|on the meter|with (?:the|my) meter|"
        r"hot to hot|to (?:the )?(?:case|cabinet|ground)))*(?:\s*,?\s*(?:the )?meter says so)?"
        r"(?:\s*,?\s*(?:and|n|then|but)\b)*\s*(?=[,.;]|$|(?<=then|.and|.but|...n)\s)", re.IGNORECASE)


_PROVED: Final = _part(r"(?:proved|proven|tested|metered|verified|confirmed)"
                       r"(?: (?:it|that|its|it is|thats|everything))* (?:is )?(?:as )?dead")
_IS_DEAD: Final = _part(r"(?:(?:its|it is) (?:all )?|all )?dead|no (?:volts|voltage|power) (?:on|at|to|in) it")


def without_proved_dead(turn: Turn, question: Question, text: str) -> str:
    """The words of a line without 'proved it dead', and, where a dead machine is measured, without 'its dead': it is
    the way to the reading, and never the reading."""
    checks = [turn.pack.checks[key] for key in question.checks if key in turn.pack.checks]
    said = drop_apostrophes(text)
    left = _PROVED.sub("", said)
    if _IS_DEAD.search(left) and _measures_dead(checks):
        left = _IS_DEAD.sub("", left)
    return text if left == said else left.strip(" ,.;")


def _measures_dead(checks: Sequence[Check]) -> bool:
    """Whether something is read here, all of it without power, and 'dead' is no result of it."""
    ways = (way for check in checks for result in check.results.values()
            for way in (result.label, *(phrase for said in result.phrases.values() for phrase in said)))
    return (any(check.reading is not None for check in checks) and all(check.power == "off" for check in checks)
            and not any(_IS_DEAD.fullmatch(way) for way in ways))


def takes_made_dead(turn: Turn, text: str) -> bool:
    """A word that the machine is dead now, and nothing else, after it was told to be left dead: the question stands."""
    question = turn.job.question
    if question is None or question.kind != "check":
        return False
    if not without_proved_dead(turn, question, text):
        turn.place(misses=0)
        put_again(turn, question)
        return True
    if not stays_dead(turn.job, turn.pack):
        return False
    free = turn.pack.checks[question.checks[0]].power == "any"
    if not (_TOLD_AWAY_FROM_IT if free else _TOLD).fullmatch(text):
        return False
    turn.place(misses=0)
    turn.note("check.made_dead")
    put_again(turn, question)
    return True
