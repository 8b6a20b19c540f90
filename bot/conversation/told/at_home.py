"""What is told of a cold machine by the way and would be asked of the customer: that it stands in a garage, and what a
full thaw did."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.meaning import HeardResult
from bot.language.words.text import drop_apostrophes

PLACE: Final = "place_ask"
THAW: Final = "after_thaw"
CLEAR: Final = 0.8
_MACHINE: Final = r"(?:fridge|frig|refrigerator|freezer|frzr|unit|machine|icebox|box|it|its|this one|one|thing)"
_WHOSE: Final = r"(?: (?:the|that|this|a|an|their|her|his|my|customers|custs|unheated|cold|hot|detached|attached))*"
_OUTSIDE: Final = r"(?:garage|porch|carport|shed|barn|cellar|patio|outbuilding|cochera|garaje)"
_STANDS: Final = re.compile(
    rf"\b{_MACHINE}(?: (?:is|s|sits|sitting|stands|standing|lives|kept|thats|out|over|down|they have|was|has been|"
    rf"been|got|moved|put|all))* (?:in|on|into|to|out in){_WHOSE} (?P<its>{_OUTSIDE})\b|"
    rf"\b(?P<named>{_OUTSIDE}) (?:fridge|frig|refrigerator|freezer|unit|machine|icebox)\b|"
    rf"\b(?:cold|freezing|freezin|hot|chilly|frigid) (?:out |up |down )?(?:in|on)(?: (?:that|this|the|their|her|his))+ "
    rf"(?P<cold>{_OUTSIDE})\b|"
    r"\b(?:moved|put|set|rolled|stuck)(?: (?:it|her|the \w+|there|out|down|over))+ (?:in|into|to|on|out to|out in)"
    rf"{_WHOSE} (?P<moved>{_OUTSIDE})\b", re.IGNORECASE)
_NOT_THERE: Final = re.compile(
    r"\?|\b(?:breaker|panel|outlet|plug|parts?|spare|other|another|second|last|used to|before|from|out of|not|isnt|"
    r"wasnt|moving|will|ill|gonna|going to|should|could|if|door|opener)\b", re.IGNORECASE)
_THAWED: Final = re.compile(
    r"\b(?:thawed|defrosted|thawd)\b|"
    r"\b(?:did|had|got|gave it|after|tried)\b[^.;!?]{0,25}\b(?:thaw(?:ing|ed)?|defrost(?:ing|ed)?)\b", re.IGNORECASE)
_AFTER: Final = re.compile(
    r"\b(?P<none>(?:no|not|wasnt|isnt|never|didnt|doesnt)"
    r"(?: (?:any|get|got|help|do|make|change|fix|it|come|a|much|one bit))* "
    r"(?:better|help|good|difference|cold|change|fix|it|nothing|anything|thing)|"
    r"same (?:thing|after|as before)|still (?:warm|the same|same))\b|"
    r"\b(?P<week>(?:good|fine|ok|okay|cold|worked|works|ran|held|lasted|better)\b[^.;!?]{0,20}\b"
    r"(?:weeks?|months?|fortnight|(?:few|several|[3-9]|\d\d|three|four|five|six|ten) days|a while)\b)|"
    r"\b(?P<soon>(?:back|warm|bad|same|iced|frosted)\b[^.;!?]{0,20}\b"
    r"(?:next (?:day|morning)|same day|in a day|day or two|overnight)|"
    r"(?:good|fine|cold|worked|lasted)\b[^.;!?]{0,15}\b(?:a|one) day)\b", re.IGNORECASE)
_PLANNED: Final = re.compile(
    r"\?|\b(?:will|ill|gonna|going to|should|could|if|lets|let me|want|auto|automatic|forced|heater|timer|thermostat|"
    r"board|control|havent|hasnt|(?:never|not) (?:been )?(?:thawed|defrosted))\b", re.IGNORECASE)
_OUTCOMES: Final = {"none": "no_better", "week": "week", "soon": "soon"}


def of_place(part: str) -> bool:
    """Whether a part of a line tells where a machine stands."""
    plain = drop_apostrophes(part)
    return _STANDS.search(plain) is not None and _NOT_THERE.search(plain) is None


def place_told(turn: Turn, text: str) -> HeardResult | None:
    """Where it stands: 'top freezer fridge out in their garage'."""
    plain = drop_apostrophes(text)
    found = next((found for part in _PARTS.split(plain) if of_place(part)
                  for found in [_STANDS.search(part)] if found is not None), None)
    return _heard(turn, PLACE, next((g for g in found.groups() if g), "")) if found is not None else None


_PARTS: Final = re.compile(r"[,.;]|\b(?:and|n|but)\b", re.IGNORECASE)


def thaw_told(turn: Turn, text: str) -> HeardResult | None:
    """What a full thaw did: 'thawed it all out last week, no better'. None where it is only planned, or nothing is said
    of what came of it."""
    plain = drop_apostrophes(text)
    done = _THAWED.search(plain)
    after = _AFTER.search(plain, done.end()) if done is not None else None
    check = turn.pack.checks.get(THAW)
    if done is None or after is None or check is None or _PLANNED.search(plain[max(0, done.start() - 25):]):
        return None
    result = _OUTCOMES.get(after.lastgroup or "", "")
    if result not in check.results or not holds_as_told(check, evidence_of(turn.job)):
        return None
    return HeardResult(THAW, result, 1.0)


def of_thaw(part: str) -> bool:
    """Whether a part of a line tells of a thaw, or of how it was after it."""
    plain = drop_apostrophes(part)
    return _THAWED.search(plain) is not None or _AFTER.match(plain.strip()) is not None


def _heard(turn: Turn, key: str, words: str) -> HeardResult | None:
    check = turn.pack.checks.get(key)
    if check is None or not holds_as_told(check, evidence_of(turn.job)):
        return None
    its = answer_to(turn, key, words)
    return HeardResult(key, its.result, its.p) if its.result is not None and its.p >= CLEAR else None


def told_at_home(turn: Turn, text: str) -> list[HeardResult]:
    """Both, as far as a line tells them."""
    if turn.job.family not in turn.context.release.knowledge.packs:
        return []
    return [told for told in (place_told(turn, text), thaw_told(turn, text)) if told is not None]
