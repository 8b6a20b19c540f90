"""How a part was found that the tech put right while he was at it: 'was jammed, freed it with pliers' is jammed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

_PUT_RIGHT: Final = (
    r"(?:freed|cleared|cleaned|unstuck|unjammed|removed|pulled|took|fished|dug|scraped|straightened|seated|reseated|"
    r"tightened|pushed|plugged|worked)")
_WAS_AND: Final = re.compile(
    rf"\bwas (?P<found>[^,.;]{{3,40}}?)(?:[,.;]| and| so| but| then)+ (?:(?:i|we|just|then|and|so|it) )*{_PUT_RIGHT}\b",
    re.IGNORECASE)
_NOW_WAS: Final = re.compile(
    r"\b(?:free|clear|clean|ok|okay|good|fine|turns|moves|works|spins|runs out)(?: \w+)? now[,.; ]+"
    r"(?:(?:but|it|and) )*was (?P<found>[^,.;]{3,40})", re.IGNORECASE)
_NOW_OUT: Final = re.compile(
    r"\b(?:free|clear|turns|moves|spins) now[,.; ]+(?:(?:i|we|just|and|had to|after i) )*"
    r"(?:took|pulled|got|fished|dug|removed|picked) (?:the |a |an |some )?(?P<what>[a-z]+(?: [a-z]+)?) out\b",
    re.IGNORECASE)


_STATES: Final = (
    r"(?:jam\w*|stuck|seized|packed|full of|clog\w*|block\w*|plugged|choked|kink\w*|pinched|crushed|squashed|bent|"
    r"loose|half off|came off|fell off|popped off|hanging off|caked|limed|scaled|slimed|gunked|matted|filthy|dirty|"
    r"(?:breaker|gfc?i|reset(?: button)?|outlet|button|plug|half|handle)(?: \w+){0,4} "
    r"(?:tripped|popped|kicked|in the middle|half ?way|switched off)|half tripped|"
    r"twisted|tangled|wrapped|crooked|tilted|out of level|not level|too deep|stuffed|shoved|taped|"
    r"(?:sock|coins?|sand|grit|lint|hair|gunk|debris|bra|bra wire|wire|rag|glass|bone|label|pen|screw|string|toy|"
    r"button|nest|sludge|bolts?|foam|strap|tape|rods?) (?:(?:was|were|are|is|still) )*"
    r"(?:in|inside|around|on|under|behind|stuck|jammed|caught)|atascad[oa]|tapad[oa]|suci[oa])")
"""How a part is found that a hand puts right."""
_SET: Final = (
    r"(?:freed|cleared|cleaned|unclogged|unblocked|unstuck|unjammed|unkinked|flushed|scraped|scrubbed|removed|fished|"
    r"dug|straightened|leveled|levelled|tightened|reseated|seated|rerouted|unplugged|reset|limpie|saque|destape|"
    r"(?:pressed|flipped|switched|pulled|took|got|picked|pushed|put|hooked|clipped|snapped|slid|moved|turned|raised|lifted)"
    r"(?= (?:it|them|that|those|the|em|both|all)\b))")
_I: Final = r"(?:(?:i|ive|we|so|and|then|just|n|have|had to|already|also|y|lo|la)\W+)*"
_THING: Final = r"(?:it|them|that|those|these|both|all|em|him|her|everything|the \w+|a \w+)"
_WAY: Final = (r"(?:up|out|off|back|on|in|straight|away|level|home|again|good|too|already|all|a bit|with|w|by hand|"
               r"pliers|brush|vac|water)")
_THEN_SET: Final = re.compile(
    rf"^(?P<found>.{{3,140}}?)(?:[\s,.;&:-]+|\bn\b){_I}{_SET}(?:\W+{_THING})?(?:\W+{_WAY})*(?P<after>\W.*)?$",
    re.IGNORECASE | re.DOTALL)
_NOT_SO: Final = re.compile(
    r"\?|\b(?:no|not|wasnt|wasn't|isnt|isn't|never|nothing|if|maybe|might|could|should|will|would|says?|said|customer|"
    r"cust|yesterday|ago|last (?:week|month|year|time))\b(?! level)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SetRight:
    """How a part was found, and what was said after it was put right, in one breath."""

    found: str
    after: str


def found_then_set_right(text: str) -> SetRight | None:
    """'Screen packed w grit, cleaned it', 'sock in the pump, got it out, drains now'; None where a line tells no such
    thing, or supposes it."""
    told = _THEN_SET.match(text.strip())
    if told is None:
        return None
    where = re.search(rf"\b{_STATES}\b", told["found"], re.IGNORECASE)
    if where is None:
        return None
    own = re.split(r"[,.;:]|\bbut\b", told["found"][:where.start()])[-1] + told["found"][where.start():]
    if _NOT_SO.search(own):
        return None
    return SetRight(told["found"].strip(" ,.;"), (told["after"] or "").strip(" ,.;"))


def as_found(text: str) -> str | None:
    """What words say of how it was found; None where nothing was put right."""
    told = _WAS_AND.search(text) or _NOW_WAS.search(text)
    if told is not None:
        return told["found"].strip()
    taken = _NOW_OUT.search(text)
    if taken is not None:
        return f"jammed, {taken['what']} in it"
    right = found_then_set_right(text)
    return None if right is None else right.found
