"""While a senior holds the case, the junior's word on an open danger still settles it; nothing else goes on by that."""

from __future__ import annotations

from bot.conversation.context import Context
from bot.conversation.effects import Effect
from bot.conversation.events import Pressed, Typed
from bot.conversation.job import Job, Phase
from bot.conversation.phases import Move
from bot.conversation.questions.answering import answered
from bot.conversation.questions.asking import put_again
from bot.conversation.questions.chosen import chosen
from bot.conversation.safety.clearance import ask_cleared, hears_of_clearance
from bot.conversation.safety.danger import nobody_goes_in, not_safe_yet, takes_gas_signoff
from bot.conversation.turn import Turn
from bot.language.meaning import Meaning

Stepped = tuple[Job, tuple[Effect, ...]]


def settles_danger(job: Job, event: Typed, context: Context, meaning: Meaning, *, back: bool) -> Stepped | None:
    """What words of the junior do to an open danger: 'out', 'they cleared it', and that `back` waits for that.

    None if they are about something else, or if there is none.
    """
    question, turn = job.question, Turn(job, event, context)
    if not not_safe_yet(job) and not takes_gas_signoff(job, context):
        return None
    if hears_of_clearance(turn, event.text, meaning):
        return _still_held(turn)
    if back:
        _not_back_yet(turn)
        return _still_held(turn)
    if job.phase is Phase.HAZARD and question is not None and question.kind == "hazard":
        return _still_held(turn) if answered(turn, event.text, meaning) else None
    return None


def settles_by_press(job: Job, event: Pressed, context: Context, value: str) -> Stepped | None:
    """The same by a choice; None for a question of another kind."""
    question = job.question
    if question is None or question.kind not in {"hazard", "cleared"}:
        return None
    turn = Turn(job, event, context)
    chosen(turn, question, value)
    return _still_held(turn)


def _not_back_yet(turn: Turn) -> None:
    question = turn.job.question
    if turn.job.phase is Phase.HAZARD and question is not None:
        put_again(turn, question)
    elif nobody_goes_in(turn.job) is not None:
        ask_cleared(turn)
    else:
        turn.note("hazard.takes_gas_signoff")
        turn.send()


def _still_held(turn: Turn) -> Stepped:
    """The senior has it: the visit does not go on by itself."""
    turn.go_on = False
    if turn.job.phase not in {Phase.HAZARD, Phase.HANDED_OFF}:
        turn.move(Move.HAND_OFF)
    turn.send()
    return turn.job, tuple(turn.effects)
