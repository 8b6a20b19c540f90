"""The case as a senior reads it in ten seconds: who, where, what was said, what was found, what I lean to."""

from __future__ import annotations

from bot.conversation.advance import leading
from bot.conversation.context import Context
from bot.conversation.echo import machine_name, phrases, said_of
from bot.conversation.effects import Effect, Offer, Record, Say, Text
from bot.conversation.events import Edited, Event, PhotoSent, Typed
from bot.conversation.facts import evidence_of
from bot.conversation.ids import derive
from bot.conversation.job import Job
from bot.conversation.turn import Turn
from bot.diagnosis.belief import believe


def with_brief(offer: Offer, job: Job, event: Event, context: Context) -> tuple[Effect, ...]:
    """The brief as a message to the junior, to be read out or passed on, and as a record of the hand-off."""
    texts = brief(job, event, context)
    say = Say(id=derive(offer.id, "brief"), to=job.tech, conversation=job.conversation, job=job.id,
              texts=(Text("handoff.brief"), *texts), urgent=offer.urgent)
    record = Record(id=derive(offer.id, "record"), job=job.id, what="handoff",
                    data={"reason": offer.reason, "brief": [[t.key, _plain(t.params)] for t in texts]})
    return say, record


def brief(job: Job, event: Event, context: Context) -> tuple[Text, ...]:
    """The paragraphs of the brief."""
    turn = Turn(job, event, context)
    tech = context.people[job.tech]
    site = next((f.value for f in reversed(job.standing("site"))), None)
    minutes = max(1, round((context.now - job.opened).total_seconds() / 60))
    head = Text("brief.head", {
        "name": tech.name, "site": site or Text("brief.no_site"), "minutes": minutes,
        "signed": Text("brief.live") if "live" in tech.signoffs else Text("brief.no_live"),
        "machine": _machine(turn)})
    lines = [head]
    said = _words(event)
    if said:
        lines.append(Text("brief.said", {"words": said}))
    if not _known(job, context):
        return tuple(lines)
    told = phrases(turn, job.standing("complaint", "denied"))
    if told:
        lines.append(Text("brief.complaint", {"said": told}))
    found = [said_of(turn, f) for f in job.standing("result")]
    if found:
        lines.append(Text("brief.found", {"said": found}))
    done = [turn.pack.repair_of(turn.pack.faults_of(f.subject)[0])[1].name for f in job.standing("repaired")
            if turn.pack.faults_of(f.subject)]
    if done:
        lines.append(Text("brief.repaired", {"said": done}))
    if told or found:
        lines.append(Text("brief.lean", {"leading": leading(turn, believe(turn.model, evidence_of(job)))}))
    plate = next((f.value for f in reversed(job.standing("plate"))), None)
    if plate:
        lines.append(Text("brief.plate", {"plate": plate}))
    return tuple(lines)


def _machine(turn: Turn) -> str | Text:
    if _known(turn.job, turn.context):
        return machine_name(turn, turn.job.standing("variant"))
    return next((f.value for f in turn.job.standing("appliance")), Text("job.unnamed"))


def _known(job: Job, context: Context) -> bool:
    return job.family is not None and job.family in context.release.models


def _words(event: Event) -> str:
    match event:
        case Typed() | Edited():
            return event.text[:300]
        case PhotoSent():
            return event.caption[:300]
        case _:
            return ""


def _plain(value: object) -> object:
    if isinstance(value, Text):
        return {"key": value.key, "params": _plain(value.params)}
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(v) for v in value]
    return value
