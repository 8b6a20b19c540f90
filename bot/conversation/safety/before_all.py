"""What is heard before all else: hazards, unless they answer what is asked, and appliances that we only hand off."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.conversation.intake import absorb, file_result, keep_for_later
from bot.conversation.job import Phase
from bot.conversation.questions.checks import CLEAR
from bot.conversation.questions.worded import answer_to, speaks_of
from bot.conversation.repair.handing import hand_off
from bot.conversation.safety.alarming import take_alarming
from bot.conversation.safety.clearance import hears_of_clearance
from bot.conversation.safety.hazards import raise_hazard
from bot.conversation.turn import Turn
from bot.language.answers.bands import usual
from bot.language.answers.likeness import own_words
from bot.language.dangers.hurt_wiring import melts_now
from bot.language.dangers.unnamed import PLAIN_ANSWER
from bot.language.meaning import HeardResult, Meaning
from knowledge.schema import Check

_NOW: Final = re.compile(
    r"\b(?:again|me|my|i|im|getting|today|this (?:morning|afternoon)|ahora|otra vez)\b|(?:^|[.,;!?])\W*got\b|"
    r"\b(?:just|now)\b(?! (?:when|while|with|if|at|on|the|that|one)\b)",
    re.IGNORECASE)


def comes_first(turn: Turn, text: str, meaning: Meaning) -> bool:
    """Hazards, and appliances that we only hand off. True if it was one of them."""
    if hears_of_clearance(turn, text, meaning):
        return True
    if _takes_burnt_part(turn, text, meaning):
        return True
    if meaning.hazard is not None and not (
            _answers_with_burnt(turn, text, meaning) or _answers_of_shock(turn, text, meaning)
            or _answers_of_gas(turn, text, meaning)):
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


def _takes_burnt_part(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Relay smells burnt': how a part was found that is looked at with the plug out. It is filed, and nothing gets
    power; smoke, a room that smells, a motor, a cord or outlet that does are none. True if that was all."""
    if meaning.hazard != "fire" or turn.job.phase is Phase.HAZARD or turn.job.family not in (
            turn.context.release.knowledge.packs) or melts_now(text):
        return False
    if len(text.split()) > MOST_WORDS or not _BURNT_PART.search(text) or _MORE_THAN_IT.search(text):
        return False
    found = [(key, heard.result) for key, check in turn.pack.checks.items()
             if check.power == "off" and check.kind in {"look", "listen", "feel"} and speaks_of(turn, key, text)
             and (heard := answer_to(turn, key, text)).result not in {None, usual(check)} and heard.p >= CLEAR]
    if len(found) != 1:
        return False
    key, result = found[0]
    proven = turn.job.position.machine.proven
    file_result(turn, key, str(result))
    turn.machine(proven=proven, stays_dead=True)  # a nose is no meter
    turn.place(misses=0)
    turn.note("burnt.part")
    turn.go_on = True
    return True


MOST_WORDS: Final = 8
"""Words of a line that tells how a part was found and no more."""
_BURNT_PART: Final = re.compile(
    r"\b(?:relay|start (?:device|relay|cap)|ptc|overload|capacitor|cap|board|igniter|ignitor|switch|timer)\b"
    r"[^.;]{0,24}?\b(?:smell\w*|smelt|stinks?)(?: (?:like|of|real|kinda|a bit|all))*"
    r" (?:burn\w*|cooked|fried|scorch\w*)", re.IGNORECASE)
_MORE_THAN_IT: Final = re.compile(
    r"\b(?:smok\w*|flam\w*|fire|hot|glow\w*|spark\w*|arc\w*|melt\w*|wir\w+|cords?|plugs?|outlets?|house|kitchen|"
    r"room|running|runs|when|while|now|still|again|humo|fuego)\b", re.IGNORECASE)


def _answers_with_burnt(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Smells burnt' as the answer to a check of a dead part is a result; smoke and flames never are."""
    question = turn.job.question
    if meaning.hazard != "fire" or question is None or question.kind != "check":
        return turn.job.phase is Phase.HAZARD and question is not None and question.data.get("hazard") == meaning.hazard
    if melts_now(text) or any(
            word in text.lower() for word in ("smok", "flame", "fire", "crackl", "sizzl", "humo", "fuego", "llama")):
        return False
    check, heard = turn.pack.checks[question.checks[0]], answer_to(turn, question.checks[0], text)
    if heard.result is None or heard.p < CLEAR:
        return False
    return _SPARKED.search(text) is None or any(
        _OF_SPARKS.search(words) for words in (check.name, check.ask, *own_words(check, heard.result)))


_SPARKED: Final = re.compile(
    r"\b(?:spark(?:ed|ing)|sparks? (?:fl\w+|came|come|jump\w*|shot|at me)|threw (?:a |some )?sparks?|arc(?:ed|ing)|"
    r"flashed|chispe\w+|echó chispas?)\b", re.IGNORECASE)
"""'Big plug, and it sparked when I touched it' tells which plug, and no result of a check that speaks of sparks."""
_OF_SPARKS: Final = re.compile(r"\b(?:spark|arc|flash|ignit|glow|burn|lamp|light|chisp)\w*", re.IGNORECASE)


def _answers_of_shock(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Steady tingle' where it is asked how the shock was that was told before: a result, the machine being dead. So is
    what surely answers a question for a shock with a result that has the machine made dead at once. One that somebody
    gets now never is."""
    question = turn.job.question
    if meaning.hazard != "shock" or question is None or question.kind != "check" or _NOW.search(text):
        return False
    heard = [(turn.pack.checks[key], its) for key in question.checks
             if (its := answer_to(turn, key, text)).result is not None and its.p >= CLEAR]
    told = any(f.subject == "shock" and f.value == "dead" for f in turn.job.standing("danger"))
    if told and turn.job.position.machine.stays_dead:
        return bool(heard)
    if not any(its.p >= PLAIN_ANSWER and check.kind == "ask" and check.results[str(its.result)].unsafe
               and _asks_for(turn, check, "shock") for check, its in heard):
        return False
    turn.machine(stays_dead=True)
    return True


def _asks_for(turn: Turn, check: Check, hazard: str) -> bool:
    """Whether a result of a check is a complaint of that hazard: whoever answers it speaks of it, present or not."""
    complaints = {c for result in check.results.values() for c in result.complaints}
    return any(turn.pack.complaints[c].hazard == hazard for c in complaints if c in turn.pack.complaints)


def _answers_of_gas(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Just a whiff when it lights, gone in a second', where the nose is asked: a result. Any smell that stays, or that
    is more than a whiff, sends everybody out."""
    question = turn.job.question
    if (meaning.hazard != "gas" or question is None or question.kind != "check" or not _BRIEF.search(text)
            or _LASTS.search(text)):
        return False
    return any(its.result is not None and its.p >= PLAIN_ANSWER and not check.results[its.result].unsafe
               and _asks_for(turn, check, "gas")
               for check, its in ((turn.pack.checks[key], answer_to(turn, key, text)) for key in question.checks))


_BRIEF: Final = re.compile(
    r"^(?=.*\b(?:lights?|lighting|lit|ignit\w*|catch\w*|prend\w*|enciend\w*)\b).*\b(?:gone|"
    r"a (?:sec|second|moment)|short|tiny|brief|quick)\b", re.IGNORECASE)
_LASTS: Final = re.compile(
    r"\b(?:stays?|linger\w*|strong\w*|still|all the time|always|constant\w*|steady|heavy|heavi\w*|even|off|room|house|"
    r"kitchen|everywhere|fill\w*|not|never|wont|dont|doesnt|isnt|cant|hiss\w*|leak\w*|now|sick|dizzy|boom|bang|"
    r"who+\w*|thump|slow|late|delay\w*|tries|before|first|minutes?|seconds|\d+|"
    r"worse|more|lots?|fuerte)\b|n't\b", re.IGNORECASE)
