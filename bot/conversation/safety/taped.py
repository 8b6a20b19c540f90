"""Hurt wires that were only twisted or taped, or that run again with no word on the joint: power stays off, and there
is no proof run until they are crimped and sealed."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.intake import file_result
from bot.conversation.job import Phase
from bot.conversation.phases import Move
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import how_it_went, plain, told_of_repair
from bot.conversation.wording.ways import way_of
from bot.language.answers.about import parts_of
from bot.language.dangers.hurt_wiring import hurt_wiring, seen_on_wires

HARNESS: Final = "harness_wiggle"
HURT: Final = "bad"
"""The look along the wires, and what it shows where one is hurt."""
_WIRES: Final = (
    r"(?:wires?(?! (?:rack|shel\w+|basket|brush|mesh|tie|hanger))|wiring|(?:wire )?harness|splices?|conductors?|"
    r"(?:power )?cords?|insulation|cables?(?: \w+)?|bare (?:ends?|spots?|bits?)|cableado|alambres?)")
_TAPED: Final = (
    r"(?:taped?|taping|tap(?:ing|ed) up|wrapped|twist(?:ed|ing)?|bandaged|wire ?nutt?ed|encint\w+|torc[ií]\w*)")
_STICKS: Final = r"(?:(?:electrical|electric|elec|black|duct|insulating|masking|friction) )?tape"
_AMID: Final = r"(?: (?!no\b|not\b|hose|duct|vent|door|out\b|to\b|around\b|lock\b)\w+){0,4}?"
_OF_WIRES: Final = re.compile(
    rf"\b{_TAPED}{_AMID} {_WIRES}\b|\b{_WIRES}{_AMID} (?:taped|wrapped (?:in|with)|twisted (?:together|and)|"
    rf"wire ?nutted|bandaged)\b|"
    rf"\b{_STICKS} (?:\w+ )?(?:on|over|around|round)(?: \w+){{0,3}}? {_WIRES}\b|"
    rf"\b{_WIRES}{_AMID} (?:with|in|has|have) (?:some |a bit of |a piece of )?{_STICKS}\b", re.IGNORECASE)
_OF_IT: Final = re.compile(
    r"\b(?:taped?|taping) (?:it|them|that|those|both|up|over|together)\b|\btwist(?:ed|ing)? (?:(?:it|them|both|those|"
    r"the ends) )?(?:(?:back )?together|and tap\w+)|\bwire ?nutt?ed\b|\b(?:just|all|only|got|is|are|its) (?:taped|"
    r"twisted together)\b|^\W*(?:just |i )?(?:taped|twisted them)\b|"
    rf"\b(?:put|with|used|threw|wrapped)(?: \w+){{0,3}}? (?:{_STICKS}|wire ?nuts?)\b", re.IGNORECASE)
"""The same of 'it' and 'them', where hurt wires are what is spoken of."""
_NO_JOINT: Final = re.compile(
    r"\b(?:not|never|didnt|dont|doesnt|isnt|arent|wont|wasnt|no|nothing|without|instead of|cant|took|take|removed?|"
    r"pulled|cut) (?:\w+ ){0,2}(?:tap(?:e|ed|ing)|twist\w*|wrapp\w*|wire ?nut\w*)\b|"
    r"\btaped? (?:\w+ ){0,3}(?:aside|out of the way|to the|against|in the|in place|along|from (?:the )?factory|"
    r"measure)\b|\b(?:factory|foil) tape|\btape measure|\btwist ?(?:lock|tie)|"
    r"\b(?:hoses?|pipe|duct(?! tape)|vent|doors?|latch|strike|lid|shut|marks?|marked|line|glass|threads?|front|breaker|"
    r"burnt|burned|melted|cooked|browned?)\b",
    re.IGNORECASE)
"""No joint: not taped, the tape taken off, a wire taped out of the way, another thing that is taped."""
_SOUND: Final = re.compile(
    r"\b(?:crimp\w*|solder\w*|(?:heat ?)?shr[iu]nk\w*|butt (?:splice|connector)s?|(?:new|another) (?:\w+ )?"
    r"(?:harness|wires?|cord|pigtail|terminals?)|replaced)\b", re.IGNORECASE)
"""A joint that holds; tape over it takes nothing from it."""


def taped_wires(text: str, *, hurt: bool) -> bool:
    """Whether words tell of wires that are held together by tape or a twist alone. `hurt`: hurt wires are what is
    spoken of, so that 'taped it' is of them."""
    said = plain(text)
    if _NO_JOINT.search(said) or _SOUND.search(said):
        return False
    return _OF_WIRES.search(said) is not None or (
        (hurt or hurt_wiring(text)) and _OF_IT.search(said) is not None)


def take_taped(turn: Turn, text: str) -> str | None:
    """Refuse a joint that does not hold. What the line tells besides the joint and that it runs; None if it is told of
    no such joint."""
    hurt = _hurt_stands(turn)
    if not taped_wires(text, hurt=hurt):
        if not (hurt and _ran(turn, text)):
            return None
        turn.note("wires.ran")
        _keep_dead(turn)
        return ""
    if turn.job.family in turn.context.release.knowledge.packs and seen_on_wires(text) and not re.search(
            r"\bcord\b", text, re.IGNORECASE):
        check = turn.pack.checks.get(HARNESS)
        if check is not None and HURT in check.results and not hurt:
            proven = turn.job.position.machine.proven
            file_result(turn, HARNESS, HURT)
            turn.machine(proven=proven)  # seen is not metered
    turn.note("wires.taped")
    _keep_dead(turn)
    return ", ".join(part for part in parts_of(text) if not taped_wires(part, hurt=True) and (
        turn.job.phase is Phase.INTAKE or not _says_done(part)))


def _says_done(part: str) -> bool:
    """'Runs now', 'done': of a joint that does not hold it counts for nothing."""
    return (how_it_went(part) == "cured" or way_of("repair", part) == "done"
            or told_of_repair(part, asked_for=True) is not None)


def _keep_dead(turn: Turn) -> None:
    """No power; a proof or a closing that was on its way is off."""
    turn.machine(stays_dead=True)
    if turn.job.phase in {Phase.PROOF, Phase.CLOSING}:
        turn.close_question()
        turn.move(Move.FAILED)


def _hurt_stands(turn: Turn) -> bool:
    """Whether hurt wires were seen and not made new; once their repair was proved, 'it' is another thing."""
    seen = any(f.subject == HARNESS and f.value == HURT for f in turn.job.standing("result"))
    mended = any(f.subject.startswith(("wiring", "mend_wir", "harness")) for f in turn.job.standing("repaired"))
    return seen and not mended


def _ran(turn: Turn, text: str) -> bool:
    """Whether it is told to run, with power off for hurt wires, and not a word on how they were joined."""
    question = turn.job.question
    if question is None or question.kind not in {"check", "finding", "consent"} or (
            not turn.job.position.machine.stays_dead):
        return False
    told = told_of_repair(text, asked_for=True)
    return told is not None and told.plainly and not (told.fitted or told.cleaned)
