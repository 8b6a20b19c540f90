"""What a senior names: a check for the junior to make, or the fault."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rapidfuzz import fuzz, process

from bot.conversation.context import Context
from bot.conversation.effects import Effect, Text
from bot.conversation.events import Typed
from bot.conversation.job import Handing, Job
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put
from bot.conversation.repair.finding import announce
from bot.conversation.safety.danger import not_safe_yet
from bot.conversation.turn import Turn
from bot.handoff.afterwards import still_heard
from bot.handoff.noting import ask_for_note
from bot.handoff.orders import said_flatly
from bot.handoff.passing import close_yours, let_go, said_on, talk, to_writer
from bot.handoff.safety import comes_first

NEAR: Final = 80
"""Similarity (0..100) from which a senior's words name a check or a fault."""


def ask(job: Job, event: Typed, what: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """A listed check as a proper question to the junior; its answer is evidence and comes back here."""
    turn = Turn(job, event, context)
    if job.family not in context.release.models:
        return talk(job, event, context)
    names = {key: f"{c.name} {key.replace('_', ' ')}" for key, c in turn.pack.checks.items()}
    key = _named(what, names)
    if key is None:
        near = [turn.pack.checks[k].name for k in _nearest(what, names)]
        return said_on(job, event, context, Text("senior.which_check", {"names": near}))
    first = comes_first(job, context)
    if first is not None and (not_safe_yet(job) or turn.pack.checks[key].power in {"run", "live"}):
        return said_on(job, event, context, first, Text("senior.words_went_on"))
    turn.note("senior.asks", name=context.people[event.person].name)
    put(turn, "check", checks=(key,))
    asked = to_writer(event, job, Text("senior.asked", {"name": turn.pack.checks[key].name}))
    return turn.job, (*turn.effects, asked)


def name_fault(job: Job, event: Typed, what: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The senior names the fault: kept as a label, and the visit goes on with its repair."""
    turn = Turn(job, event, context)
    if job.family not in context.release.models:
        return talk(job, event, context)
    names = {key: f"{f.name} {key.replace('.', ' ').replace('_', ' ')}" for key, f in turn.pack.faults.items()}
    key = _named(what, names)
    if not said_flatly(what, names.get(key or "", "")):
        return talk(job, event, context)
    first = comes_first(job, context)
    if key is None or first is not None:
        turn.record("verdict", words=what, by=event.person)  # three alike are proposed to the owner as a new fault
        near = [turn.pack.faults[k].name for k in _nearest(what, names)]
        words = (first, Text("senior.words_went_on")) if first else (Text("senior.which_fault", {"names": near}),)
        after, said = said_on(job, event, context, *words)
        return after, (*turn.effects, *said)
    person = context.people[event.person]
    assert job.handoff is not None
    turn.job = let_go(job, Handing.GIVEN_BACK)
    turn.effects.extend(close_yours(job))
    turn.fact("verdict", key, person.id)
    turn.record("verdict", fault=key, by=person.id, words=what)
    for move in (Move.GIVEN_BACK, Move.KNOWN):
        turn.move(move)
    turn.note("senior.verdict", name=person.name, fault=turn.pack.faults[key].name)
    announce(turn, key)
    kept = Text("senior.verdict_kept", {"fault": turn.pack.faults[key].name, "name": context.people[job.tech].name})
    after, asked = ask_for_note(turn.job, event, key, context)
    return after, (*turn.effects, *still_heard(to_writer(event, job, kept), job, context), *asked)


def _named(what: str, names: Mapping[str, str]) -> str | None:
    found = process.extractOne(what, names, scorer=fuzz.token_set_ratio, processor=str.lower, score_cutoff=NEAR)
    return str(found[2]) if found else None


def _nearest(what: str, names: Mapping[str, str]) -> list[str]:
    return [str(key) for _, _, key in process.extract(what, names, scorer=fuzz.WRatio, processor=str.lower, limit=3)]
