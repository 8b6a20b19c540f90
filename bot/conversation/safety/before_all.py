"""What is heard before all else: hazards, unless they answer what is asked, and appliances that we only hand off."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.conversation.intake import absorb, keep_for_later
from bot.conversation.job import Phase
from bot.conversation.questions.checks import CLEAR
from bot.conversation.questions.worded import answer_to
from bot.conversation.repair.handing import hand_off
from bot.conversation.safety.alarming import take_alarming
from bot.conversation.safety.clearance import hears_of_clearance
from bot.conversation.safety.hazards import raise_hazard
from bot.conversation.turn import Turn
from bot.language.dangers.hurt_wiring import melts_now
from bot.language.meaning import HeardResult, Meaning

_NOW: Final = re.compile(r"\b(?:again|just|now|me|i|im|ahora|otra vez)\b", re.IGNORECASE)


def comes_first(turn: Turn, text: str, meaning: Meaning) -> bool:
    """Hazards, and appliances that we only hand off. True if it was one of them."""
    if hears_of_clearance(turn, text, meaning):
        return True
    if meaning.hazard is not None and not (
            _answers_with_burnt(turn, text, meaning) or _answers_of_shock(turn, text, meaning)):
        absorb(turn, replace(meaning, results=_told_of_it(turn, meaning)))
        take_alarming(turn, text)
        keep_for_later(turn, text)
        raise_hazard(turn, meaning.hazard, text)
        return True
    if meaning.handoff_only is not None and turn.job.family is None:
        entry = turn.context.release.knowledge.common.handoff_only[meaning.handoff_only]
        turn.fact("appliance", meaning.handoff_only, entry.name)
        hand_off(turn, "not_covered", None, caution=entry.caution)
        return True
    return False


def _told_of_it(turn: Turn, meaning: Meaning) -> tuple[HeardResult, ...]:
    """Of the results heard beside a hazard, those that only say where or when it was: they settle nothing unsafe."""
    pack = turn.context.release.knowledge.packs.get(turn.job.family or meaning.family or "")
    told = {key for key, check in pack.checks.items() if check.told} if pack is not None else set()
    return tuple(heard for heard in meaning.results if heard.check in told)


def _answers_with_burnt(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Smells burnt' as the answer to a check of a dead part is a result; smoke and flames never are."""
    question = turn.job.question
    if meaning.hazard != "fire" or question is None or question.kind != "check":
        return turn.job.phase is Phase.HAZARD and question is not None and question.data.get("hazard") == meaning.hazard
    if melts_now(text) or any(word in text.lower() for word in ("smok", "flame", "fire", "humo", "fuego", "llama")):
        return False
    heard = answer_to(turn, question.checks[0], text)
    return heard.result is not None and heard.p >= CLEAR


def _answers_of_shock(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Steady tingle' where it is asked how the shock was that was told before: a result, the machine being dead. One
    that somebody gets now never is."""
    question = turn.job.question
    told = any(f.subject == "shock" and f.value == "dead" for f in turn.job.standing("danger"))
    if (meaning.hazard != "shock" or not told or not turn.job.position.machine.stays_dead or question is None
            or question.kind != "check" or _NOW.search(text)):
        return False
    return any(heard.result is not None and heard.p >= CLEAR
               for heard in (answer_to(turn, key, text) for key in question.checks))
