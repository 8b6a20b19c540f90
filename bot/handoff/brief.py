"""The case as a senior reads it in ten seconds: who, where, what was said, what was found, what I lean to."""

from __future__ import annotations

from typing import Final

from bot.conversation.advance import leaning
from bot.conversation.context import Context
from bot.conversation.crew.signoffs import beyond, lacking_named
from bot.conversation.echo import machine_name, phrases, said_of
from bot.conversation.effects import Text
from bot.conversation.events import Edited, Event, PhotoSent, Typed
from bot.conversation.facts import WILL_NOT, evidence_of, kept_from_running
from bot.conversation.job import Fact, Job
from bot.conversation.safety.danger import CLEARED, KEEPS_OUT, dangers, not_safe_yet
from bot.conversation.turn import Turn
from bot.diagnosis.belief import believe
from bot.handoff.words import in_their_words, remembered
from knowledge.likelihood import distribution

LEADING: Final = 3
"""Of how many faults beyond the tech's sign-offs it is said what they take."""


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
    lines = [*_dangers(job), head, *in_their_words(_with_this(job, event, context))]
    photos = sum(not f.value for f in job.standing("photo"))
    if photos:
        lines.append(Text("photo.kept" if photos == 1 else "photo.kept_many", {"count": photos}))
    if not _known(job, context):
        return tuple(lines)
    told = [*phrases(turn, job.standing("complaint")),
            *(turn.pack.complaints[c].says for c in job.position.later if c in turn.pack.complaints)]
    if told:
        lines.append(Text("brief.complaint", {"said": told}))
    results = [f for f in job.standing("result") if not turn.pack.checks[f.subject].results[f.value].identifies]
    good = phrases(turn, [*job.standing("denied"), *(f for f in results if _is_normal(turn, f))])
    odd = [said_of(turn, f) for f in results if not _is_normal(turn, f)]
    if good:
        lines.append(Text("brief.good", {"said": good}))
    if odd:
        lines.append(Text("brief.odd", {"said": odd}))
    done = [turn.pack.repair_of(turn.pack.faults_of(f.subject)[0])[1].name
            for f in job.standing("done_before", "repaired") if turn.pack.faults_of(f.subject)]
    if done:
        lines.append(Text("brief.repaired", {"said": list(dict.fromkeys(done))}))
    if kept_from_running(job) == WILL_NOT:
        lines.append(Text("brief.not_run"))
    if (told or good or results) and not not_safe_yet(job):
        belief = believe(turn.model, evidence_of(job))
        lines.append(leaning(turn, belief))
        if job.handoff is not None and job.handoff.reason == "licensed":
            lines.append(Text("brief.lacks", {"signoffs": lacking_named(turn, list(beyond(turn, belief))[:LEADING])}))
    plate = next((f.value for f in reversed(job.standing("plate"))), None)
    if plate:
        lines.append(Text("brief.plate", {"plate": plate}))
    return tuple(lines)


def _dangers(job: Job) -> list[Text]:
    """What danger was named, what they were told to do, and whether they have written that it is done."""
    named = dangers(job)
    if "fire_out" in named:  # what grew to that needs no line of its own
        named = {hazard: stands for hazard, stands in named.items() if stands or hazard in KEEPS_OUT}
    return [Text(f"brief.danger.{hazard}", {"stands": _stands(hazard, stands)}) for hazard, stands in named.items()]


def _stands(hazard: str, stands: str) -> Text:
    if not stands or stands == CLEARED:
        return Text("brief.stands.cleared" if stands else "brief.stands.open")
    return Text("brief.stands.not_cleared" if hazard in KEEPS_OUT else "brief.stands.said", {
        "what": Text(f"choice.{stands}")})


def _with_this(job: Job, event: Event, context: Context) -> Job:
    """The job with the junior's message that is being answered, which the log does not have yet."""
    if event.person != job.tech or any(s.message == event.message for s in job.spoken):
        return job
    return remembered(job, job, event, (), context)


def _machine(turn: Turn) -> str | Text:
    if _known(turn.job, turn.context):
        return machine_name(turn, turn.job.standing("variant"))
    return next((f.value for f in turn.job.standing("appliance")), Text("job.unnamed"))


def _known(job: Job, context: Context) -> bool:
    return job.family is not None and job.family in context.release.models


def _is_normal(turn: Turn, fact: Fact) -> bool:
    """Whether a result is what a machine without the check's faults shows."""
    check = turn.pack.checks[fact.subject]
    normal = distribution(check.likelihoods["normal"], tuple(check.results))
    return fact.value == max(normal, key=lambda result: normal[result])


def words_of(event: Event) -> str:
    """What the person wrote, shortened."""
    match event:
        case Typed() | Edited():
            return event.text[:300]
        case PhotoSent():
            return event.caption[:300]
        case _:
            return ""

