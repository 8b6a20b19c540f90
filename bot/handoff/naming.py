"""What a senior names: a check for the junior to make, or the fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from bot.conversation.context import Context
from bot.conversation.crew.case_orders import nearly_found, said_flatly
from bot.conversation.effects import Effect, Text
from bot.conversation.events import Typed
from bot.conversation.facts import evidence_of
from bot.conversation.job import Handing, Job
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put
from bot.conversation.repair.finding import announce
from bot.conversation.safety.danger import not_safe_yet
from bot.conversation.turn import Turn
from bot.diagnosis.belief import believe
from bot.handoff.afterwards import still_heard
from bot.handoff.called import called, nearest
from bot.handoff.noting import ask_for_note
from bot.handoff.passing import close_yours, let_go, said_on, talk, to_writer
from bot.handoff.safety import comes_first

SURE: Final = 0.95
"""Share of the belief in all faults that go by a name, from which the likeliest of them is the one that is meant."""
SHOWN: Final = 4
"""Names that are listed where several go by the words."""


def ask(job: Job, event: Typed, what: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """A listed check as a proper question to the junior; its answer is evidence and comes back here."""
    turn = Turn(job, event, context)
    if job.family not in context.release.models:
        return talk(job, event, context)
    names = {key: c.name for key, c in turn.pack.checks.items()}
    asked_for = _without(context.people[job.tech].name, what)
    keys = called(asked_for, names) or called(asked_for, _with_ids(names))
    if not keys:
        near = [names[k] for k in nearest(what, _with_ids(names))]
        return said_on(job, event, context, Text("senior.which_check", {"names": near}))
    if len(keys) > 1:
        return job, (_which(job, event, context, "senior.which_ask", [names[k] for k in keys]),)
    key = keys[0]
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
    names = {key: f.name for key, f in turn.pack.faults.items()}
    keys = called(what, names) or called(what, _with_ids(names))
    if not said_flatly(what, " ".join(_with_ids(names)[key] for key in keys)):
        return talk(job, event, context)
    first = comes_first(job, context)
    keys = _likeliest(turn, keys)
    if len(keys) > 1 and first is None:
        return job, (_which(job, event, context, "senior.which_found", [names[k] for k in keys]),)
    key = keys[0] if keys else None
    if key is None or first is not None:
        turn.record("verdict", words=what, by=event.person)  # three alike are proposed to the owner as a new fault
        near = [names[k] for k in nearest(what, _with_ids(names))]
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


def how_to_name(job: Job, event: Typed, context: Context) -> tuple[Effect, ...]:
    """A line that went on as talk and may have been meant as the finding: how that is written, once."""
    what = nearly_found(event.text)
    if what is None or job.family not in context.release.models or comes_first(job, context) is not None:
        return ()
    names = {key: f.name for key, f in Turn(job, event, context).pack.faults.items()}
    keys = called(what, names)
    if len(keys) != 1 or not said_flatly(what, names[keys[0]]):
        return ()
    return (to_writer(event, job, Text("senior.how_to_name", {"fault": names[keys[0]]})),)


def _which(job: Job, event: Typed, context: Context, key: str, names: Sequence[str]) -> Effect:
    """Several go by these words: the senior says which, and nothing goes to the junior before that."""
    more = Text("senior.and_more") if len(names) > SHOWN else ""
    return to_writer(event, job, Text(key, {
        "names": list(names[:SHOWN]), "more": more, "name": context.people[job.tech].name}))


def _likeliest(turn: Turn, keys: Sequence[str]) -> list[str]:
    """The one that what is known leaves alone among faults of one name, else all of them, the likeliest first."""
    if len(keys) < 2:
        return list(keys)
    belief = dict(believe(turn.model, evidence_of(turn.job)).faults)
    ranked = sorted(keys, key=lambda key: -belief.get(key, 0.0))
    whole = sum(belief.get(key, 0.0) for key in keys)
    return ranked[:1] if belief.get(ranked[0], 0.0) > SURE * whole else ranked


def _with_ids(names: Mapping[str, str]) -> dict[str, str]:
    """The names with the words of their ids, which say the part where a name does not."""
    return {key: f"{name} {key.replace('.', ' ').replace('_', ' ')}" for key, name in names.items()}


def _without(name: str, what: str) -> str:
    """'Rui belt grip': the junior who is to be asked is no part of the check's name."""
    first, _, rest = what.partition(" ")
    return rest if rest and first.lower().strip(":,") == name.lower() else what
