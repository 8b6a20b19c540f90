"""What is told of a breaker at any question: half tripped is the look at the panel, and no complaint; and where it
never trips, no answer stands that said it does."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.language.answers.gainsaid import says_never_trips
from bot.language.answers.half_tripped import half_tripped
from bot.language.meaning import HeardResult

PANEL: Final = "panel_look"
TRIPPED: Final = "tripped"
TRIPS: Final = "trips_breaker"
"""The complaint that a breaker which is found tripped sounds like."""


def half_tripped_told(turn: Turn, text: str) -> HeardResult | None:
    """The look at the panel, where words say that a breaker stood half tripped."""
    check = turn.pack.checks.get(PANEL)
    if check is None or TRIPPED not in check.results or not half_tripped(text):
        return None
    return HeardResult(PANEL, TRIPPED, 1.0)


def take_half_tripped(turn: Turn, text: str) -> bool:
    """File it; the same words tell of no machine that trips its breaker. True if it was told."""
    heard = half_tripped_told(turn, text)
    if heard is None:
        return False
    turn.withdraw([f for f in turn.job.standing("complaint") if f.subject == TRIPS and f.turn == turn.key])
    file_heard(turn, heard)
    turn.go_on = True
    return True


WHEN: Final = "trip_moment"
NEVER: Final = "never"
_IT_DOES_NOT: Final = re.compile(
    r"^\W*(?:(?:no|nope|nah|but|well|wait|it|that|they|nothing|none)\b\W*)+"
    r"(?:doesnt|doesn't|does not|dont|don't|didnt|didn't|never|isnt|isn't)\b(?! know| think| have| see)", re.IGNORECASE)
"""Where the question is what trips: 'no it doesn't, it stops half way'."""


def take_never_trips(turn: Turn, text: str) -> bool:
    """'Breaker never trips, it just stops', after an answer that made it one that trips: that answer is replaced, and
    what it alone reported is gone. True if it was told."""
    question = turn.job.question
    if question is None or turn.job.family not in turn.context.release.knowledge.packs:
        return False
    check = turn.pack.checks.get(WHEN)
    trips = [fact for fact in turn.job.standing("result") if fact.subject == WHEN and fact.value != NEVER]
    if check is None or NEVER not in check.results or not trips:
        return False
    of_a_trip = any(TRIPS in turn.pack.checks[key].told for key in question.checks if key in turn.pack.checks)
    if not says_never_trips(turn.context.release.index, text) and not (of_a_trip and _IT_DOES_NOT.search(text)):
        return False
    turn.withdraw([fact for fact in turn.job.standing("complaint") if fact.subject == TRIPS
                   and fact.turn in {its.turn for its in trips}])
    if of_a_trip:
        turn.close_question(closed="passed")
    file_heard(turn, HeardResult(WHEN, NEVER, 1.0))
    turn.place(misses=0)
    turn.go_on = True
    return True
