"""After a senior named a fault: a note of the firm, if they wish, for the next tech who comes to that fault."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any, Final

from bot.conversation.context import Context
from bot.conversation.crew.case_orders import order_in, takes_again
from bot.conversation.effects import Alter, CancelTimer, Effect, KeepNote, Say, SetTimer, Text
from bot.conversation.events import Due, Edited, Event, Redacted, Typed
from bot.conversation.ids import derive
from bot.conversation.job import Job, Noting, Phase

LAPSES: Final = timedelta(hours=2)
"""Nobody thinks of a note later than that."""
TIMER: Final = "note_lapses"
LONGEST: Final = 500
"""Characters: it is read on a phone, beside a machine."""
_NO: Final = frozenset({"no", "n", "nope", "nah", "no note", "none", "skip", "not now", "no thanks", "nothing"})
_YES: Final = frozenset({"yes", "y", "yep", "yeah", "yup", "ok", "okay", "sure", "please", "yes please", "yes pls",
                         "keep it", "keep a note", "note", "a note", "thanks", "thank you", "thx", "si"})
"""That there is to be a note, and nothing of what it says."""


def ask_for_note(job: Job, event: Event, fault: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Asked once; not at all if this senior's note on the fault is there already."""
    if job.handoff is None or any((n.family, n.fault, n.person) == (job.family, fault, event.person)
                                  for n in context.notes):
        return job, ()
    message = derive(event.id, "note")
    question = derive(message, "question")
    noting = Noting(event.person, fault, message)
    timer = SetTimer(id=derive(job.id, TIMER), at=context.now + LAPSES, name=TIMER, job=job.id, person=event.person,
                     conversation=event.conversation, data={"message": message})
    say = Say(id=message, to=event.person, conversation=event.conversation or None, job=job.id,
              texts=(Text("notes.ask"),), question=question)
    return replace(job, handoff=replace(job.handoff, noting=noting)), (say, timer)


def note_lapses(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Not answered: what they write from now on is something else."""
    noting = job.handoff.noting if job.handoff is not None else None
    if job.handoff is None or noting is None or noting.kept or noting.message != event.data.get("message"):
        return job, ()
    closed = Alter(message=noting.message, closed="lapsed", reader=noting.person)
    return replace(job, handoff=replace(job.handoff, noting=None)), (closed,)


def on_note(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]] | None:
    """What a senior says to the question for a note, or changes of the note that they gave; None for anything else."""
    handoff = job.handoff
    noting = handoff.noting if handoff is not None else None
    if handoff is None or noting is None or noting.person != event.person:
        return None
    if isinstance(event, Edited | Redacted):
        if not noting.kept or event.target != noting.kept:
            return None
        text = event.text if isinstance(event, Edited) else ""
        key = "notes.changed" if text else "notes.not_kept"
        return job, (_keep(job, noting, noting.kept, text), _say(job, event, key),
                     *(_shown(job, event, text, context) if text else ()))
    if not isinstance(event, Typed) or noting.kept or job.handed_to is not None or _is_no_note(event.text):
        return None
    closed = (Alter(message=noting.message, closed="answered", reader=noting.person),
              CancelTimer(id=derive(job.id, TIMER)))
    text = " ".join(event.text.split())[:LONGEST]
    if text.lower().strip(" .!") in _NO:
        return replace(job, handoff=replace(handoff, noting=None)), (*closed, _say(job, event, "notes.not_kept"))
    if text.lower().strip(" .!") in _YES or not any(c.isalnum() for c in text):
        return job, (_say(job, event, "notes.type_it"),)
    kept = event.message or event.id
    job = replace(job, handoff=replace(handoff, noting=replace(noting, kept=kept)))
    pack = context.release.knowledge.packs[job.family or ""]
    return job, (*closed, _keep(job, noting, kept, text),
                 _say(job, event, "notes.kept", fault=pack.faults[noting.fault].name),
                 *_shown(job, event, text, context))


def _is_no_note(text: str) -> bool:
    """Orders and questions are for now, and for the junior of this visit."""
    return order_in(text) is not None or takes_again(text) or text.rstrip().endswith("?")


def _shown(job: Job, event: Event, text: str, context: Context) -> tuple[Say, ...]:
    """The note for the junior of this very visit, unless it is over."""
    if job.phase is Phase.ENDED or job.tech not in context.people:
        return ()
    note = Text("notes.shown", {"name": context.people[event.person].name, "text": " ".join(text.split())[:LONGEST]})
    return (Say(id=derive(event.id, "note_shown"), to=job.tech, conversation=job.conversation, job=job.id,
                texts=(note,)),)


def _keep(job: Job, noting: Noting, message: str, text: str) -> KeepNote:
    return KeepNote(id=derive(message, "note"), job=job.id, family=job.family or "", fault=noting.fault,
                    text=" ".join(text.split())[:LONGEST], person=noting.person)


def _say(job: Job, event: Event, key: str, **params: Any) -> Say:
    return Say(id=derive(event.id, "noted"), to=event.person, conversation=event.conversation or None, job=job.id,
               texts=(Text(key, params),))
