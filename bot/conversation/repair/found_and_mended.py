"""'Pump was jammed w a sock, freed it': what was found is kept as it was found, and what was done is proved."""

from __future__ import annotations

from typing import Final

from bot.conversation.echo import echo
from bot.conversation.facts import stays_dead
from bot.conversation.intake import file_heard
from bot.conversation.job import Phase, Question
from bot.conversation.phases import Move
from bot.conversation.questions.as_found import SetRight, found_then_set_right
from bot.conversation.questions.checks import CLEAR
from bot.conversation.questions.photos import again
from bot.conversation.questions.worded import answer_to
from bot.conversation.repair.reported import UNLIKELY, chance_of, cleans, likeliest, repair_meant, repair_named, settle
from bot.conversation.safety.taped import taped_wires
from bot.conversation.told.unasked import file_besides, set_aside
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import Told, how_it_went, told_of_repair, work_in
from bot.language.answers.about import parts_of
from bot.language.answers.bands import usual
from bot.language.meaning import HeardResult

LONGEST: Final = 120
"""Characters of what it was that are kept."""
_AT: Final = frozenset({"check", "variant", "which_check", "cover"})
_PHASES: Final = frozenset({Phase.INTAKE, Phase.CHECKS})


def takes_found_and_mended(turn: Turn, question: Question, text: str) -> bool:
    """The same told while a check is open, asked for or not. True if a repair of ours was told so."""
    right = _told(turn, text) if question.kind in _AT else None
    if right is None:
        return False
    filed = turn.job.facts
    for key in question.checks:
        heard = answer_to(turn, key, right.found)
        if heard.result is not None and heard.p >= CLEAR:
            file_heard(turn, HeardResult(key, heard.result, heard.p))
    file_besides(turn, set_aside(turn, right.found, question.checks)[1])
    if _goes_to_proof(turn, right):
        return True
    if turn.job.facts == filed:
        return False
    turn.place(misses=0)
    turn.close_question()
    turn.go_on = True
    return True


def cleaned_as_seen(turn: Turn, text: str) -> bool:
    """'Cleaned the filter' after it was seen packed, while something else is asked: kept in mind, and the question
    stands. True if that was it."""
    told = told_of_repair(text, asked_for=False) if turn.job.family in turn.context.release.knowledge.packs else None
    repair = repair_named(turn, work_in(text), told) if told is not None and told.cleaned and not told.fitted else None
    if told is None or repair is None or turn.job.phase is not Phase.CHECKS or told.how or len(parts_of(text)) > 1:
        return False
    seen = [turn.pack.checks[fact.subject].results[fact.value] for fact in turn.job.standing("result")
            if fact.subject in turn.pack.checks and fact.value in turn.pack.checks[fact.subject].results
            and fact.value != usual(turn.pack.checks[fact.subject])]
    if not any(repair_named(turn, result.says, told) == repair for result in seen):
        return False
    turn.place(misses=0)
    turn.note("repair.cleaned_beside")
    again(turn)
    return True


def mended_as_found(turn: Turn, text: str) -> bool:
    """Whether a first line tells a trouble, what it came from, and that this was put right."""
    return turn.job.phase is Phase.INTAKE and turn.job.question is None and found_then_set_right(text) is not None


def takes_mended_as_found(turn: Turn, text: str) -> bool:
    """The same, once the trouble itself was filed."""
    right = _told(turn, text)
    if right is None or not turn.job.standing("complaint"):
        return False
    file_besides(turn, set_aside(turn, right.found, ())[1])
    return _goes_to_proof(turn, right)


def _told(turn: Turn, text: str) -> SetRight | None:
    """What was found and set right, where the machine is one of ours and nothing unsafe stands."""
    known = turn.job.family in turn.context.release.knowledge.packs
    if not known or turn.job.phase not in _PHASES or taped_wires(text, hurt=False):
        return None
    return None if stays_dead(turn.job, turn.pack) else found_then_set_right(text)


def _goes_to_proof(turn: Turn, right: SetRight) -> bool:
    """On to the proof of the repair that the words name, or that what was found leaves. False if there is none that
    is done without a part, or what was found is unsafe."""
    how = how_it_went(right.after) if right.after else None
    told = Told(fitted=False, cleaned=True, did=True, how=how, now=how == "cured", plainly=False)
    repair = repair_meant(turn, "", told) or _named(turn, right, told)
    if repair is None or stays_dead(turn.job, turn.pack) or not turn.job.standing("complaint"):
        return False
    if not cleans(turn, repair):
        return False
    if repair in {fact.subject for fact in turn.job.standing("repaired")}:
        return False
    if turn.job.phase is Phase.INTAKE:
        turn.move(Move.KNOWN)
    turn.place(misses=0)
    said = echo(turn)
    if said is not None and how != "same":
        turn.texts.insert(0, said)
    if how is None:
        turn.note("found.set_right", name=turn.pack.faults[likeliest(turn, repair)].name)
    settle(turn, repair, told, right.after, right.found[:LONGEST])
    return True


def _named(turn: Turn, right: SetRight, told: Told) -> str | None:
    """The repair that the words name, unless what was seen speaks against it."""
    repair = repair_named(turn, right.found.rpartition(",")[2], told)
    return repair if repair is not None and chance_of(turn, turn.pack.faults_of(repair)) >= UNLIKELY else None
