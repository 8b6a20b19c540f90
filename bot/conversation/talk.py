"""One event of one visit, and what comes of it. The talk's table of contents."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.advance import advance
from bot.conversation.context import Context
from bot.conversation.echo import echo
from bot.conversation.effects import Effect
from bot.conversation.events import Due, Edited, Event, Other, PhotoSent, Pressed, Redacted, Typed, Undelivered
from bot.conversation.hearing import hear
from bot.conversation.job import Job
from bot.conversation.questions.asking import put_again
from bot.conversation.questions.chosen import chosen
from bot.conversation.questions.photos import again, take_photos
from bot.conversation.steering.revising import edited, late_press, redacted
from bot.conversation.turn import Turn
from bot.language.meaning import Meaning


def talk(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Apply one event to a visit. Pure: the same three always give the same two."""
    turn = Turn(job, event, context)
    meaning: Meaning | None = None
    match event:
        case Typed():
            meaning = hear(turn, event.text, event.reply_to)
        case Pressed():
            _press(turn, event)
        case PhotoSent():
            meaning = _photo(turn, event)
        case Edited():
            meaning = edited(turn, event, hear)
        case Redacted():
            redacted(turn, event)
        case Other():
            meaning = _other(turn, event)
        case Due():
            _due(turn, event)
        case Undelivered():
            turn.trace("routed", undelivered=event.target, reason=event.reason)
    if turn.go_on:
        said = echo(turn) if isinstance(event, Typed | PhotoSent) else None
        if said is not None:
            turn.texts.insert(0, said)
        advance(turn, meaning)
    return replace(turn.job, touched=context.now), tuple(turn.effects)


def _press(turn: Turn, event: Pressed) -> None:
    """A pressed choice: of the open question, or a late one that lands on its own question."""
    question = turn.job.question
    if question is not None and event.question == question.id and 1 <= event.choice <= len(question.values):
        turn.place(misses=0)
        chosen(turn, question, question.values[event.choice - 1])
        if turn.job.question is None and not turn.go_on:
            turn.send()
        return
    late_press(turn, event)


def _photo(turn: Turn, event: PhotoSent) -> Meaning | None:
    take_photos(turn, event)
    if any(c.isalnum() for c in event.caption):
        return hear(turn, event.caption, event.reply_to)
    again(turn)
    return None


def _other(turn: Turn, event: Other) -> Meaning | None:
    turn.note(f"other.{event.what}")
    if any(c.isalnum() for c in event.caption):
        return hear(turn, event.caption, None)
    again(turn)
    return None


def _due(turn: Turn, event: Due) -> None:
    turn.trace("routed", timer=event.name)
    if event.name == "remind" and turn.job.question is not None:
        turn.note("timer.still_open")
        put_again(turn, turn.job.question)
