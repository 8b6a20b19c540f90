"""The outcomes of a visit other than a proven repair, and its end."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.crew.daytime import in_days
from bot.conversation.effects import SetTimer
from bot.conversation.ids import derive
from bot.conversation.job import Outcome
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put, put_again
from bot.conversation.safety.making_safe import covers_first, left_safe
from bot.conversation.turn import Turn

WAYS: Final = ("not_fixed", "declined", "no_access", "not_safe", "other_trade", "beyond_repair", "unsafe_tagged",
               "fixed_already", "go_on")
SHOWN: Final = 4
"""Jobs that are still open, named when one ends; `jobs` lists them all."""
OPEN_MACHINE: Final = frozenset({Outcome.NOT_FIXED, Outcome.DECLINED, Outcome.NOT_SAFE, Outcome.BEYOND_REPAIR,
                                 Outcome.OTHER_TRADE, Outcome.UNSAFE_TAGGED})
"""Outcomes after which the machine stays as it is: put together and made safe."""


def ask_how_left(turn: Turn, *, nothing_left: bool = False) -> None:
    """`stop`: how is the visit left? The open question waits until that is answered; where nothing is left to do, there
    is nothing to go on with."""
    turn.mark()
    turn.place(interrupted=turn.job.question)
    put(turn, "leave", [way for way in WAYS if way != "go_on" or not nothing_left])


def answer_leave(turn: Turn, value: str) -> None:
    """One of the outcomes, or on with it after all."""
    turn.close_question()
    interrupted = turn.job.position.interrupted
    turn.place(interrupted=None)
    if value == "go_on":
        if interrupted is not None:
            put_again(turn, interrupted)
        else:
            turn.go_on = True
        return
    if value == "beyond_repair":
        put(turn, "age", ("skip",))
        return
    outcome = _fixed_or_open(turn) if value == "fixed_already" else Outcome(value)
    _make_safe(turn, outcome)
    end(turn, outcome)


def _fixed_or_open(turn: Turn) -> Outcome:
    """Fixed, unless a second trouble was told that nobody has looked at."""
    waits = turn.job.position.later
    if not waits:
        return Outcome.FIXED
    turn.note("later.left_open", said=[turn.pack.complaints[complaint].says for complaint in waits])
    return Outcome.NOT_FIXED


def answer_age(turn: Turn, years: float | None) -> None:
    """How old the machine is: a repair-or-replace estimate in words, then the end."""
    turn.close_question()
    if years is not None:
        turn.fact("age", "years", number=years)
        turn.note("age.old" if years >= OLD else "age.young", years=f"{years:g}")
    _make_safe(turn, Outcome.BEYOND_REPAIR)
    end(turn, Outcome.BEYOND_REPAIR)


OLD: Final = 9.0
"""Years. Household laundry and kitchen machines are usually kept ten to thirteen years (a common planning figure in
the trade, an estimate): past nine a dear repair seldom pays, before it usually does."""


FOLLOW_UP: Final = "follow_up"
BY_DAY: Final = 10


def _make_safe(turn: Turn, outcome: Outcome) -> None:
    if outcome in OPEN_MACHINE and turn.job.family in turn.context.release.knowledge.packs:
        covers_first(turn)
        turn.note("leave.make_safe", make_safe=left_safe(turn))
    if outcome is Outcome.NOT_SAFE:
        turn.note("leave.not_safe")


def end(turn: Turn, outcome: Outcome) -> None:
    """The visit ends with `outcome`; the label is kept, the tech hears how it was closed."""
    turn.mark()
    turn.move(Move.END)
    turn.job = replace(turn.job, outcome=outcome)
    turn.record("outcome", outcome=outcome, fault=turn.job.position.fault, repair=turn.job.position.repair)
    turn.note(f"end.{outcome}")
    if outcome is not Outcome.CONTINUED and (others := [job.label for job in turn.context.open_jobs if not job.taken]):
        turn.note("end.still_open", jobs=others[:SHOWN])
    turn.send()
    _ask_later(turn, outcome)


def _ask_later(turn: Turn, outcome: Outcome) -> None:
    """If the firm wants it: some days on, by day, whether the repair held."""
    days = turn.context.firm.follow_up_days
    if outcome is Outcome.FIXED and days > 0:
        at = in_days(turn.context.now, days, BY_DAY, turn.context.firm.timezone)
        turn.effects.append(SetTimer(id=derive(turn.job.id, FOLLOW_UP), at=at, name=FOLLOW_UP, job=turn.job.id,
                                     person=turn.job.tech, conversation=turn.job.conversation))
