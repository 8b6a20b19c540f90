"""The junior's own words that a senior should read: the complaint as told, the last sentence, what was not followed."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.context import Context
from bot.conversation.effects import Effect, Record, Text
from bot.conversation.events import Edited, Event, PhotoSent, Redacted, Typed
from bot.conversation.job import Job, Spoken
from bot.conversation.questions.asking import labels
from bot.conversation.steering.words import steering
from bot.conversation.turn import Turn
from bot.conversation.wording import choice_words, render_choice
from bot.language.words.text import drop_apostrophes

LONGEST: Final = 300
"""Characters of a message that are kept: it is read on a phone."""
KEPT: Final = 6
"""Messages kept besides the first one."""
LEAST: Final = 5
"""Letters of a single word that may be a sentence ('anybody?')."""
NODS: Final = frozenset({"hello", "thanks", "thank you", "hi there", "good morning", "all right", "alright"})
SHOWN: Final = 2
"""Messages not followed that the brief shows, the newest."""


def remembered(before: Job, after: Job, event: Event, effects: tuple[Effect, ...], context: Context) -> Job:
    """The job with what the junior just said, changed or took back. `before`: with the question that was open."""
    match event:
        case Typed(text=text) | PhotoSent(caption=text):
            followed = not any(isinstance(e, Record) and e.what == "not_followed" for e in effects)
            if not event.message or (followed and not _is_sentence(before, event, text, context)):
                return after
            said = (*after.spoken, Spoken(event.message, text[:LONGEST], followed))
            return replace(after, spoken=(*said[:1], *said[1:][-KEPT:]))
        case Edited(target=target, text=text):
            return replace(after, spoken=tuple(
                replace(s, text=text[:LONGEST]) if s.message == target else s for s in after.spoken))
        case Redacted(target=target):
            return replace(after, spoken=tuple(s for s in after.spoken if s.message != target))
        case _:
            return after


def in_their_words(job: Job) -> tuple[Text, ...]:
    """First, last, and not followed, as paragraphs of the brief."""
    told = [s.text for s in job.spoken if s.followed] or [s.text for s in job.spoken]
    if not told:
        words = job.handoff.words if job.handoff else ""
        return (Text("brief.said", {"words": words}),) if words else ()
    missed = [s.text for s in job.spoken if not s.followed and s.text not in told][-SHOWN:]
    first = next((words for words in told if len(words.split()) > 1), told[0])
    lines = [Text("brief.first", {"words": first})]
    if told[-1] != first:
        lines.append(Text("brief.said", {"words": told[-1]}))
    lines += [Text("brief.not_followed", {"words": words}) for words in missed]
    return tuple(lines)


def _is_sentence(job: Job, event: Event, text: str, context: Context) -> bool:
    """Whether words are more than a command, a choice or a nod."""
    said = _bare(text)
    words = [word for word in said.split() if any(c.isalpha() for c in word)]
    if not words or (len(words) == 1 and len(words[0]) < LEAST) or said in NODS or steering(text) is not None:
        return False
    values = job.question.values if job.question is not None else ()
    choices = {_bare(form) for value in (*values, "carry_on", "out", "yes", "no") for form in choice_words(value)}
    if job.question is not None:
        shown = labels(Turn(job, event, context), job.question)
        choices |= {_bare(render_choice(label, context.firm)) for label in shown.values()}
    return said not in choices


def _bare(text: str) -> str:
    return " ".join("".join(c if c.isalnum() else " " for c in drop_apostrophes(text.lower())).split())
