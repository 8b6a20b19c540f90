"""A visit that waits for its part goes on where it stood, also in another tech's hands.

Whoever names its address is asked on arrival (`arrival.greet`); a yes wakes the waiting job by a timer of its own, so
that each of the two jobs changes on its own lane.
"""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.context import Context
from bot.conversation.echo import machine_name, phrases
from bot.conversation.effects import Alter, CancelTimer, Effect, Say, Text
from bot.conversation.events import Due
from bot.conversation.ids import derive
from bot.conversation.job import Job, Phase
from bot.conversation.questions.asking import put, put_again
from bot.conversation.repair.finding import beyond_signoffs, current_repair
from bot.conversation.repair.handing import hand_off
from bot.conversation.repair.repairing import start_repair
from bot.conversation.repair.waiting import PART_DUE
from bot.conversation.turn import Turn, capital, label_of


def take_up(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The event's person has the job from now on: they get its history and its question, the other one is told."""
    before = context.people.get(job.tech)
    if job.phase is Phase.ENDED or (before is not None and job.phase is not Phase.WAITING):
        gone = Say(id=derive(event.id, "gone"), to=event.person, conversation=event.conversation, job=job.id,
                   texts=(Text("resume.gone"),))
        return job, (gone,)
    old = job
    turn = Turn(replace(job, tech=event.person, conversation=event.conversation), event, context)
    turn.effects.append(CancelTimer(id=derive(job.id, PART_DUE)))
    if old.question is not None:
        turn.effects.append(Alter(message=old.question.message, closed="passed", reader=old.tech))
    if before is not None and before.id != event.person:
        turn.effects.append(Say(id=derive(event.id, "told"), to=before.id, job=job.id, texts=(Text("resume.told", {
            "name": context.people[event.person].name, "job": label_of(job, context)}),)))
    _history(turn, before.name if before is not None else "")
    _nothing_made_safe(turn)
    _go_on(turn)
    return turn.job, tuple(turn.effects)


def _history(turn: Turn, name: str) -> None:
    """What was told and found, in two or three lines."""
    job = turn.job
    if job.family not in turn.context.release.knowledge.packs:
        return
    said = phrases(turn, job.standing("complaint", "denied", "result"))
    turn.note("resume.history" if name else "resume.history_nobody", name=name,
              machine=capital(machine_name(turn, job.standing("variant"))), said=said or [Text("where.no_facts")])
    if job.position.fault is not None and job.position.fault in turn.pack.faults:
        repair = current_repair(turn)
        turn.note("resume.finding", fault=turn.pack.faults[job.position.fault].name,
                  part=", ".join(repair.parts) or repair.name)
    plate = next((f.value for f in reversed(job.standing("plate"))), None)
    if plate:
        turn.note("brief.plate", plate=plate)


def _nothing_made_safe(turn: Turn) -> None:
    """What the one before pulled, proved and opened is no word on how the machine stands for the next; nor was any
    caution said to them."""
    machine = turn.job.position.machine
    turn.machine(power="unknown", covers=(), maybe_open=bool(machine.covers) or machine.maybe_open, card_shown=False,
                 since=None, said=())


def _go_on(turn: Turn) -> None:
    """The question that was open; work that this tech is not signed off for goes to a senior."""
    fault = turn.job.position.fault
    if turn.job.phase is Phase.WAITING and fault is not None and beyond_signoffs(turn, fault):
        turn.place(question=None)
        hand_off(turn, "licensed", None, fault=fault)
    elif turn.job.question is not None and turn.job.question.kind == "check":
        checks = turn.job.question.checks
        turn.place(question=None)
        put(turn, "check", checks=checks)
    elif turn.job.question is not None and turn.job.question.kind == "repair":
        turn.place(question=None)
        start_repair(turn)
    elif turn.job.question is not None:
        waiting = turn.job.phase is Phase.WAITING
        question = replace(turn.job.question, asked=1 if waiting else 0)  # to this tech the others are new
        turn.place(question=None)
        put_again(turn, question)
    else:
        turn.send()
