"""A part on order: the plate, the day, and the morning on which the tech is asked."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Final

from bot.conversation.crew.dates import days_in
from bot.conversation.crew.duty import morning_of, zone_of
from bot.conversation.effects import SetTimer, Text
from bot.conversation.ids import derive
from bot.conversation.job import Outcome
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put
from bot.conversation.repair.finding import current_repair
from bot.conversation.safety.making_safe import covers_first, left_safe
from bot.conversation.turn import Turn

DUE_DAYS: Final = {"tomorrow": 1, "three_days": 3, "a_week": 7, "dont_know": 0}
"""Answers to when the part is due, and after how many days the tech is asked; 0: never."""
SAID_ALIKE: Final = frozenset({"tomorrow", "in 3 days", "in a week"})
"""Typed, these are the choices."""
MORNING: Final = 8
"""The hour at which a tech without hours of duty is asked, by their own clock."""
PART_DUE: Final = "part_due"
CHOICES: Final = ("arrived", "leave")
DECISIONS: Final = ("goes_ahead", "declines", "leave")
ON_THE_DAY: Final = ("arrived", "not_yet", "leave")


def order(turn: Turn) -> None:
    """The part is ordered: the plate is asked for, and then the day."""
    turn.move(Move.ORDERED)
    turn.record("outcome", outcome=Outcome.PART_ON_ORDER, parts=list(current_repair(turn).parts), ordered=True)
    if not turn.job.standing("plate"):
        put(turn, "plate", ("skip",), part=", ".join(current_repair(turn).parts))
        return
    ask_day(turn)


def think_over(turn: Turn, *, to_order: bool) -> None:
    """The customer wants to think: nothing is on order, and it is their word that the visit waits for."""
    turn.move(Move.ORDERED)
    turn.record("outcome", outcome=Outcome.PART_ON_ORDER, parts=list(current_repair(turn).parts), ordered=False)
    covers_first(turn)
    turn.note("waiting.safe", make_safe=left_safe(turn))
    put(turn, "thinking", DECISIONS, to_order="yes" if to_order else "")


def answer_plate(turn: Turn, text: str | None) -> None:
    """Model and serial for the part, as typed; then the day."""
    turn.close_question()
    if text:
        turn.fact("plate", "typed", text[:200])
        turn.note("plate.kept")
    ask_day(turn)


def ask_day(turn: Turn, *, asked: int = 1) -> None:
    """When should it be there?"""
    put(turn, "due", tuple(DUE_DAYS), asked=asked)


def answer_due(turn: Turn, value: str) -> None:
    """When the part should be there: that morning the tech is asked."""
    turn.close_question()
    if value.startswith("date:"):
        _until(turn, date.fromisoformat(value.removeprefix("date:")))
    elif days := DUE_DAYS[value]:
        _remind(turn, _today(turn) + timedelta(days=days))
    _wait(turn)


def day_in_words(turn: Turn, text: str) -> bool:
    """'Friday', 'in two weeks', '3/12', at the question for the day or while the job waits. True if it is a day.

    It is read back; where two days can be meant, which one is asked.
    """
    question = turn.job.question
    if question is None or (question.kind == "due" and text.strip().lower().rstrip(".!") in SAID_ALIKE):
        return False
    days = days_in(text, _today(turn))
    if not days:
        return False
    turn.close_question()
    if len(days) > 1:
        turn.note("due.which")
        put(turn, "due", (*(f"date:{day.isoformat()}" for day in days), "dont_know"), asked=2)
        return True
    _until(turn, days[0])
    if question.kind == "waiting":
        put(turn, "waiting", CHOICES)
    elif question.kind == "thinking":
        put(turn, "thinking", DECISIONS, to_order=question.data.get("to_order", ""))
    else:
        _wait(turn)
    return True


_LATER: Final = re.compile(r"\b(?:until|till?|before|on|go|go back|be there|there|back)\b(?P<day>.+)$")


def day_after(turn: Turn, text: str) -> bool:
    """'Part came but cant go til monday': the day on which it goes on. True if the end of the words is a day."""
    found = _LATER.search(text)
    return found is not None and day_in_words(turn, found["day"])


def _until(turn: Turn, day: date) -> None:
    ahead = (day - _today(turn)).days
    asked_on = _remind(turn, day)
    turn.note("due.noted" if asked_on == day else "due.noted_today",
              day=Text("day", {"day": day.isoformat(), "days": max(ahead, 2) if ahead > 1 else ahead}))


def _remind(turn: Turn, day: date) -> date:
    """Ask on the morning of that day, or on the next one if it is over; which day that is."""
    context, tech = turn.context, turn.tech
    at = morning_of(day, tech, context.firm, MORNING)
    if at <= context.now:
        day += timedelta(days=1)
        at = morning_of(day, tech, context.firm, MORNING)
    turn.effects.append(SetTimer(id=derive(turn.job.id, PART_DUE), at=at, name=PART_DUE, job=turn.job.id,
                                 person=turn.job.tech, conversation=turn.job.conversation))
    return day


def _wait(turn: Turn) -> None:
    covers_first(turn)
    turn.note("waiting.safe", make_safe=left_safe(turn))
    put(turn, "waiting", CHOICES)


def _today(turn: Turn) -> date:
    return turn.context.now.astimezone(zone_of(turn.tech, turn.context.firm)).date()
