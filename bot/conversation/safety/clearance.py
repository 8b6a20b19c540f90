"""After gas, carbon monoxide or a fire that drove everybody out: on only once those in charge said that it is safe."""

# ruff: noqa: E501  word lists
from __future__ import annotations

import re
from dataclasses import replace
from typing import Final, Literal

from bot.conversation.advance import ask_for
from bot.conversation.intake import absorb
from bot.conversation.job import Phase
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put, put_again
from bot.conversation.questions.choosing import number_of
from bot.conversation.safety.danger import CLEARED, KEEPS_OUT, dangers, nobody_goes_in, takes_gas_signoff
from bot.conversation.safety.hazards import hazard_answer, in_doubt, settle_hazard
from bot.conversation.turn import Turn
from bot.language.meaning import Meaning
from bot.language.words.text import drop_apostrophes
from knowledge.schema import Pack

Clearance = Literal["cleared", "not_yet", "doubt"]

_IN_CHARGE: Final = (
    r"(?:(?:gas|utility|fire|meter|safety) ?(?:co|company|comp|compan\w+|people|man|men|guys?|tech|crew|board|dept|department|"
    r"service|brigade|fighters?|chief|marshal|officer|engineers?|inspector)|firem[ae]n|firefighters?|brigade|utility|"
    r"inspector|bomberos?|compania(?: de gas)?|los del gas)")
_CLEARS: Final = (
    r"(?:all clear|clear(?:ed|s)?(?! (?:out|off|every\w+|us|people|the (?:room|street|road|area|kitchen)))|signed (?:it )?off|"
    r"g[ai]ve[sn]? (?:us |me |it )?the (?:ok|okay|go ahead|all clear|green light)|let (?:us|me) (?:back )?in|"
    r"(?:we|i) (?:can|may) (?:all )?(?:go|come|get) (?:back )?in|safe to (?:go|enter|work|come|use|be)|autoriz\w+)")
_SAY: Final = r"(?:sa(?:y|ys|id|ying)|told (?:us|me)|confirm(?:s|ed)?|dic\w+|dijo|dijeron)"
_SAY_SAFE: Final = (
    rf"{_SAY}(?: (?:that|its|it|is|all|everything|everythings|the|house|place|gas|now|que|es|todo|esta))* "
    r"(?:safe|ok|okay|fine|good|clear|seguro|bien)")
_THEY_SAY: Final = re.compile(
    rf"\b{_IN_CHARGE}\b.*\b(?:{_CLEARS}|{_SAY_SAFE})\b|\b{_CLEARS}\b.*\b(?:by|from) (?:the )?{_IN_CHARGE}\b|"
    rf"\bthey (?:have |ve |had |just |did |all |now )*(?:{_CLEARS}|{_SAY_SAFE}|{_SAY}\b.*\b{_CLEARS})\b")
"""Those in charge, and that they cleared it or said so; 'they are all safe outside' is none of it."""
_ALL_CLEAR: Final = re.compile(
    r"\W*(?:ok |yes |yep |yeah |si )?(?:(?:its |it is |house is )?(?:all )?clear(?:ed)?(?: now)?|(?:got|have) the all clear|"
    r"they (?:did|have|cleared it))\W*")
_ASSENT: Final = re.compile(r"\W*(?:(?:yes|yep|yeah|yup|si)(?:,? they (?:did|have))?|they did|they have)\W*")
_NOT_YET: Final = re.compile(
    r"\b(?:not|no|nope|nah|nothing|nobody|none|wait\w*|still|on (?:the|their) way|coming|havent|hasnt|havnt|didnt|never|wont|"
    r"cant|cannot|arent|isnt|dont|doesnt|shouldnt|mustnt|yet|until|till|out|but|except|red ?tag\w*|evacuat\w*|todavia|aun)\b")
_NO_LEAK: Final = re.compile(
    r"\b(?:no|not) (?:more |any )?(?:leaks?|gas|smell|readings?|co|fire|danger|problems?|worries|issues?)\b|"
    r"\bnothing (?:found|leaking)\b|\b(?:found|finds|find) nothing\b|\bno longer\b|\b(?:came|checked it|been) out\b")
"""'No leak' in what they say is the reason why it is safe, and no denial of it."""
_DOUBT: Final = re.compile(
    r"\b(?:think|guess|hope|believe|reckon|assume|should|might|maybe|probably|perhaps|suppose\w*|almost|nearly|sounds like|"
    r"looks like|if|when|once|unless|ask\w*|will|gonna|going to|about to|last (?:week|month|year|time|night)|yesterday|ago|soon|"
    r"customer|homeowner|tenant|landlord|owner|neighbou?rs?|creo|quiza|cliente)\b|"
    r"\b(?:smell|smoke|air|fumes?|odou?r)(?: (?:has|is|have|all|now))* clear|\bclear\w* the (?:house|building|place|home|"
    r"apartment|flat)\b|\?\s*$")
"""Doubt, another day, somebody else's word; 'cleared the house' may mean that they sent everybody out."""
_ON: Final = re.compile(
    r"\b(?:carry|going|go|went|gone|move|get) on\b|\bcontinu\w+|\bkeep going\b|\bresum\w+|"
    r"\bback (?:to (?:it|work)|in|inside|on it|on the)\b|\b(?:on|get on) with it\b|\bgo(?:ing)? (?:back )?in(?:side)?\b|"
    r"\bnext (?:step|check|one)\b|\bwhat(?:s| is)? (?:now|next)\b|\bnow what\b|\b(?:re)?start(?:ing)? (?:work|again|on|up)\b|"
    r"\b(?:lets|let us|can (?:i|we)|ready to) (?:go|start|finish|work|get)\b|\bis it (?:safe|ok|clear)\b|\bsafe (?:now|yet)\?|"
    r"\bseguir\b|\bsigo\b|\bsigamos\b")


def clearance_in(text: str, *, asked: bool, named: bool = False) -> Clearance | None:
    """What words say of the word of those in charge.

    `asked`: whether a bare yes or no is an answer to that. `named`: whether it has to be said who cleared it, where
    'all clear' may mean that everybody is out.
    """
    said = drop_apostrophes(text.lower())
    if asked and _ASSENT.fullmatch(said):
        return "cleared"
    if not (_THEY_SAY.search(said) or (not named and _ALL_CLEAR.fullmatch(said))):
        return "not_yet" if asked and _NOT_YET.search(said) else None
    if _NOT_YET.search(_NO_LEAK.sub(" ", said)):
        return "not_yet"
    return "doubt" if _DOUBT.search(said) else "cleared"


def wants_on(text: str) -> bool:
    """Whether words ask to go on, or back in."""
    return _ON.search(drop_apostrophes(text.lower())) is not None


def hears_of_clearance(turn: Turn, text: str, meaning: Meaning) -> bool:
    """Words about going on while nobody may go back in. True if that is what they were, and they were answered."""
    question = turn.job.question
    kind = question.kind if question is not None else ""
    if kind == "kept_off" and question is not None and wants_on(text):
        turn.note("hazard.takes_gas_signoff")
        put_again(turn, question)
        return True
    if nobody_goes_in(turn.job) is None or kind == "leave":
        return False
    if _no_errand(turn, text, meaning):
        return True
    asked = kind == "cleared"
    number = number_of(text, 2) if asked else None
    said = {1: "cleared", 2: "not_yet"}[number] if number else clearance_in(text, asked=asked, named=kind == "hazard")
    if said == "cleared":
        answer_cleared(turn, "cleared")
    elif kind == "hazard":
        return False  # first that all are out
    elif said == "not_yet" and (asked or wants_on(text)):
        answer_cleared(turn, "not_yet")
    elif said == "doubt" or wants_on(text):
        ask_cleared(turn, doubt=said == "doubt")
    elif asked and meaning.hazard is None and question is not None and turn.job.handed_to is None:
        turn.note("handoff.kept")
        put_again(turn, question)
    else:
        return False
    return True


_FOR_VALVE: Final = re.compile(
    r"\b(?:(?:so|but|and|then|now) )?(?:where|whereabouts|how do (?:i|we)|which way|(?:cant|cannot|couldnt) find)\b[^.;!?]{0,34}"
    r"\b(?:shut ?offs?|valves?|cock|meter|mains?|breakers?|panel)\b[^.;!?]{0,30}\??|"
    r"\b(?:(?:should|shall|can|could|may|do|must) (?:i|we|he|she)|want me to|let me|ill|im going to|gonna|(?:i|we) (?:need|have|want) to|gotta|"
    r"about to)\b[^.;!?]{0,24}\b(?:shut|turn|close|kill|find|pull|trip|unplug)\b[^.;!?]{0,34}\??", re.IGNORECASE)
"""Somebody who means to go back in for a valve, a plug or a breaker."""
_OUTRANKED: Final = frozenset({"flood", "shock", "refrigerant", "fire"})
"""Dangers whose own instruction may send somebody back to a breaker or a tap."""


def _no_errand(turn: Turn, text: str, meaning: Meaning) -> bool:
    """While all stay out nobody goes back in for a valve or a breaker, nor for a lesser danger. True if that was said;
    that they are out, told with it, counts."""
    said = drop_apostrophes(text)
    question = turn.job.question
    if meaning.hazard in _OUTRANKED and not _FOR_VALVE.search(said):
        absorb(turn, replace(meaning, results=()))
        _outranked(turn, meaning.hazard)
    elif not _FOR_VALVE.search(said):
        return False
    turn.note("hazard.no_errand")
    if question is None:
        turn.send()
        return True
    rest = _FOR_VALVE.sub(" ", said).strip(" ,.")
    value = hazard_answer(rest, question.values) if question.kind == "hazard" else None
    if value is None:
        put_again(turn, question)
    elif not in_doubt(turn, question, rest):
        settle_hazard(turn, value)
    return True


def _outranked(turn: Turn, hazard: str) -> None:
    """A second danger while all are out: of it, only what can be done from where they are."""
    turn.record("hazard", hazard=hazard)
    if hazard == "shock":
        turn.note("hazard.shock.outside")
    if hazard == "fire":
        turn.note("hazard.fire.worse")
        turn.fact("danger", "fire_out")
        turn.offer("hazard", urgent=True)


def ask_cleared(turn: Turn, *, doubt: bool = False) -> None:
    """Has the gas company or the fire service said so?"""
    hazard = nobody_goes_in(turn.job) or "gas"
    again = turn.job.question is not None and turn.job.question.kind == "cleared"
    turn.close_question(closed="passed")
    if doubt or again:
        turn.note("hazard.their_word")
    put(turn, "cleared", ("cleared", "not_yet"), asked=2 if again else 1, hazard=hazard)


def answer_cleared(turn: Turn, value: str) -> None:
    """They said so, or not yet."""
    turn.close_question()
    turn.place(misses=0)
    if value == "not_yet":
        turn.note("hazard.then_out")
        put(turn, "outside", ("leave",), asked=2)
        return
    file_cleared(turn)
    kept_off = takes_gas_signoff(turn.job, turn.context)
    if kept_off or turn.job.handed_to is not None:
        holder = turn.context.people.get(turn.job.handed_to or "")
        turn.note("hazard.cleared_held" if holder and not kept_off else "hazard.cleared_noted",
                  name=holder.name if holder else "")
        if turn.job.phase is Phase.HAZARD:
            turn.move(Move.HAND_OFF)
        if kept_off:
            turn.note("hazard.takes_gas_signoff")
            put(turn, "kept_off", ("leave",))
        else:
            turn.send()
        return
    turn.move(Move.CLEARED if turn.job.phase is Phase.HAZARD else Move.GIVEN_BACK)
    turn.fact("declined", "handoff")
    go_on_cleared(turn)


def file_cleared(turn: Turn) -> None:
    """Those in charge said that it is safe: it stands so in the log."""
    named = dangers(turn.job)
    for hazard in (h for h in KEEPS_OUT if h in named):
        turn.fact("danger", hazard, CLEARED)
    turn.machine(power="unknown", said=(),  # its cautions are said anew
                 stays_dead="fire_out" in named or turn.job.position.machine.stays_dead)


def go_on_cleared(turn: Turn) -> None:
    """The visit goes on: after gas with the nose before anything is touched."""
    named = dangers(turn.job)
    turn.note(next((f"hazard.{h}.cleared" for h in KEEPS_OUT if h in named), "handoff.back_to_it"))
    if not leak_first(turn):
        turn.go_on = True


def leak_first(turn: Turn) -> bool:
    """Ask for the check that smells for gas, once after each time it was cleared. True if it was put."""
    pack = turn.context.release.knowledge.packs.get(turn.job.family or "")
    check = _smells_for_gas(pack) if pack is not None else None
    facts = [(f.kind, f.subject) for f in turn.job.standing("danger", "result")]
    if check is None or ("danger", "gas") not in facts:
        return False
    since = len(facts) - facts[::-1].index(("danger", "gas"))
    if ("result", check) in facts[since:] or turn.job.phase is not Phase.INTAKE:
        return False
    turn.move(Move.KNOWN)
    ask_for(turn, check)
    return True


def _smells_for_gas(pack: Pack) -> str | None:
    of_gas = {key for key, complaint in pack.complaints.items() if complaint.hazard == "gas"}
    return next((key for key, check in pack.checks.items() if check.kind == "smell"
                 and any(of_gas & set(result.complaints) for result in check.results.values())), None)
