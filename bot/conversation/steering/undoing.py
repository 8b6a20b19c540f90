"""Taking back: `back`, edits, withdrawn messages. The log keeps everything; what no longer stands is marked."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.echo import phrases
from bot.conversation.effects import Text
from bot.conversation.job import Fact, Job, Phase, Question
from bot.conversation.questions.asking import put_again
from bot.conversation.turn import Turn


def go_back(turn: Turn) -> None:
    """Undo the last turn that changed anything: its facts, and where the talk stood; then ask that question again."""
    if not turn.job.marks:
        turn.note("back.nothing")
        if turn.job.question is not None:
            put_again(turn, turn.job.question)
        else:
            turn.send()
        return
    mark = turn.job.marks[-1]
    gone = [f for f in turn.job.standing() if f.turn == mark.turn]
    said = phrases(turn, gone) if turn.job.family else []
    marks = turn.job.marks[:-1]
    turn.close_question(closed="withdrawn")
    turn.marked = True
    turn.job = unturned(turn.job, mark.turn, turn.key)
    question = mark.position.question
    turn.job = replace(turn.job, marks=marks, position=replace(mark.position, question=None))
    turn.note("back.took", said=said or [Text("back.last")])
    if question is not None:
        put_again(turn, replace(question, asked=max(1, question.asked)))
    else:
        turn.go_on = True


def before_repair(turn: Turn) -> bool:
    """Undo to where the repair was still to be made: it was heard as done, or as failed, and is neither. True if there
    was such a thing to undo."""
    since = {mark.turn for mark in turn.job.marks[-FEW:]}
    failed = {fact.turn for fact in turn.job.standing("repaired") if fact.turn in since}
    if turn.job.phase is not Phase.PROOF and not failed:
        return False
    for _ in range(min(FEW, len(turn.job.marks))):
        mark = turn.job.marks[-1]
        turn.close_question(closed="withdrawn")
        turn.marked = True
        turn.job = unturned(turn.job, mark.turn, turn.key)
        turn.job = replace(turn.job, marks=turn.job.marks[:-1], position=replace(mark.position, question=None))
        failed.discard(mark.turn)
        if mark.position.phase is not Phase.PROOF and not failed:
            break
    turn.note("repair.not_made")
    if mark.position.question is not None:
        put_again(turn, replace(mark.position.question, asked=max(1, mark.position.question.asked)))
    else:
        turn.go_on = True
    return True


FEW: Final = 6
"""Turns back within which a repair may have been misheard."""


def unturned(job: Job, told: str, by: str) -> Job:
    """The job without what the message `told` added, and with what it had taken back. `by` is who takes it back."""

    def fact(old: Fact) -> Fact:
        if old.turn == told and old.withdrawn is None:
            return replace(old, withdrawn=by)
        if old.withdrawn == told:
            return replace(old, withdrawn=None)
        return old

    facts = tuple(fact(f) for f in job.facts)
    family = next((f.subject for f in reversed(facts) if f.kind == "family" and f.withdrawn is None), None)
    return replace(job, facts=facts, family=family)


def question_answered_by(job: Job, told: str) -> Question | None:
    """The question that a message answered, if it answered one."""
    return next((a.question for a in reversed(job.asked) if a.turn == told), None)
