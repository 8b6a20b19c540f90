"""How an answer is put: it only asks in part, says the question back to deny it, or tells two things by how often."""

from __future__ import annotations

import re
from typing import Final

from bot.language.answers.about import parts_of
from bot.language.words.text import drop_apostrophes

_FIRST: Final = (r"^\W*(?:(?:ok|okay|wait|hey|sorry|so|and|but|um+|uh+|btw|yes|yeah|no|well|then|just|quick question|"
                 r"before i (?:do|start)(?: that| it)?)\W+)*")
_WHO: Final = r"(?:i|we|you|u|they|she|he|it|this|that|these|those|there|the \w+|my \w+|her \w+|his \w+)"
_AS_EVER: Final = (r"(?:when|on|every|at|after|all|with|w|in|only|both|each|again|too|also|while|if|no|right|from|even|"
                   r"as|by|now|sometimes|once|twice|either|most|mostly|cold|hot|still|just|maybe|about|like|for|so)\b|\W|$")
"""Behind 'does it': what it does was told before, and nothing is asked: 'does it every time'."""
_ASKS: Final = re.compile(
    _FIRST + r"(?:"
    r"how (?:do|does|to|can|should|would|am|is|are|far|much|long|many|hot|hard|high|fast)\b|"
    rf"(?:do (?!it\b)|(?:should|shall|shud|can|could|may|must|will|would|is|are|am|isnt|arent|shouldnt|wont|wouldnt) )"
    rf"{_WHO}\b|does (?:this|that|there|the \w+) (?:need|have|matter|go|come|stay|get|run|open)\b|"
    rf"does it (?!{_AS_EVER})|doesnt it (?=need|have|matter)|"
    r"which (?:\w+ )?(?:is|are|do|does|should|would|can)\b|(?:on )?which (?:way|side|end|pins?|wires?|terminals?)\b|"
    r"where (?:is|are|do|does|should|would|can|exactly|abouts)\b|wheres\b|why\b|"
    r"what (?:do|does|should|would|if|is an?|are the|size|kind of)\b|whats (?:an?|the (?:point|difference|reason)) |"
    r"(?:you|u) (?:want|need) me to\b|want me to\b|"
    r"(?:c[oó]mo (?:se|lo|la|le|hago|pongo|puedo|saco)|d[oó]nde est[aá]n?|por ?qu[eé]|cu[aá]l|tengo que|debo|puedo)\b)",
    re.IGNORECASE)
_ASKS_BACK: Final = re.compile(_FIRST + rf"(?:was|were|did|had|has) {_WHO}\b.*\?\W*$", re.IGNORECASE)
_TELLS_NO_LESS: Final = re.compile(_FIRST + r"is (?:that|it) (?:the|its|a|an)\b", re.IGNORECASE)
"""'Is it the belt?' is a suspicion, and others hear it."""
_APART: Final = re.compile(r"(?<=[.?!;\n])\s+|(?<=,)\s+|\n")


def without_questions(text: str) -> str:
    """A line without what only asks ('how do i run spin only', 'does it need to spin up'); '' where nothing else is
    said."""
    told: list[str] = []
    asking = False
    for piece in _APART.split(text):
        plain = drop_apostrophes(piece)
        goes_on = asking and piece.rstrip().endswith("?")
        asks = _ASKS.search(plain) is not None or _ASKS_BACK.search(plain) is not None
        asking = goes_on or (asks and _TELLS_NO_LESS.search(plain) is None)
        if not asking:
            told.append(piece)
    return " ".join(told).strip(" ,;")


_NOT: Final = r"(?:doesnt|does not|dont|isnt|wont|cant|aint|never|not|no)"
_FOR_IT_STANDS: Final = re.compile(
    rf"(?:(?:^|[,;.]|\b(?:but|and|n)\b)\s*)?\b(?:it |that |its |the \w+ )?{_NOT} \w+(?: \w+){{0,2}},? "
    r"(?:because|cause|coz|cuz|bc|since|as|when) (?:it|she|the machine|machine|the thing|nothing|the motor) "
    rf"{_NOT} (?:even |ever )?(?:run|start|go|turn on|come on|running|starting|work|working)s?(?: at all| anyway)?\b",
    re.IGNORECASE)


def without_for_it_stands(text: str) -> str:
    """A line without what is not done only since the machine does not run: 'has a dial, doesnt creep cause it wont
    start' tells of a dial."""
    plain = drop_apostrophes(text)
    left = _FOR_IT_STANDS.sub(" ", plain)
    return text if left == plain else left.strip(" ,;.")


_ECHO: Final = re.compile(
    r"^\W*(?P<echo>[^?.!,;]{2,40}?)\s*\?+\s*(?:no|nope|nah|not (?:really|at all)|never|hardly)\b(?P<more>.*)$",
    re.IGNORECASE | re.DOTALL)


def echo_denied(text: str) -> tuple[str, str] | None:
    """What was asked, said again and denied, and what is said on: 'as designed? no it stops half way'."""
    found = _ECHO.match(text)
    return (found["echo"], found["more"].strip(" ,;.")) if found is not None else None


_MOSTLY: Final = re.compile(
    r"\b(?:mostly|mainly|usually|normally|generally|as a rule|(?:most|the rest) of the time|mas que nada|"
    r"casi siempre)\b", re.IGNORECASE)
_AT_TIMES: Final = re.compile(
    r"\b(?:some ?times|now and (?:then|again)|once in a while|every so often|occasionally|at times|a veces)\b",
    re.IGNORECASE)


def often_and_seldom(text: str) -> tuple[str, str] | None:
    """What is mostly so and what is at times, where words tell both: 'mixed mostly, one bath mat sometimes'."""
    if not (_MOSTLY.search(text) and _AT_TIMES.search(text)):
        return None
    parts = parts_of(text)
    often = [part for part in parts if _MOSTLY.search(part)]
    seldom = [part for part in parts if _AT_TIMES.search(part) and part not in often]
    return (", ".join(often), ", ".join(seldom)) if often and seldom else None
