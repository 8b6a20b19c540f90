"""Water near the mains, or out of hand: 'outlet hangs out of the wall and the floor is wet', 'the hose burst'."""

from __future__ import annotations

import re
from typing import Final

_MAINS: Final = (r"\b(?:outlets?|sockets?|receptacles?|(?<!drain )(?<!spark )plugs?(?! it)|cords?|power strips?|"
                 r"extension|wir(?:es?|ing)|junction box|enchufe|contacto)\b")
_LOOSE: Final = (r"\b(?:hang\w*|dangl\w*|exposed|bare|broken|cracked|smashed|ripped|torn|pulled out|off the wall|"
                 r"out (?:of )?the wall|in pieces|colgando|suelto|pelados?)\b")
_WET: Final = (r"\b(?:floors?(?: is| are|s|'s)?(?: \w+){0,2} (?:wet|soaked|flooded|slick)|wet floors?|puddles?|"
               r"standing water|water (?:all )?(?:on|over|across) the (?:\w+ )?floor|standing in (?:the )?water|"
               r"piso mojado|charco)\b")
_IN_WATER: Final = r"\b(?:in|under) (?:the |a |some |an inch of |all that )?(?:water|puddle)\b"
_AMID: Final = r"(?:(?!\b(?:no|not|nothing|isnt|isn't|arent|never|dry|was|were)\b)[^.;!?]){0,40}?"
_OPEN_MAINS: Final = re.compile(f"{_MAINS}{_AMID}{_LOOSE}|{_LOOSE}{_AMID}{_MAINS}", re.IGNORECASE)
_MAINS_IN_WATER: Final = re.compile(f"{_MAINS}{_AMID}{_IN_WATER}", re.IGNORECASE)
_LIVE_PLACE: Final = (r"(?:outlets?|(?<!light )(?<!lamp )sockets?|receptacles?|(?<!drain )(?<!spark )(?<!hall )plugs?|"
                      r"cords?|power strips?|breaker panel|enchufe|j[ -]?box|(?:junction|connection) box)")
_ONTO_MAINS: Final = re.compile(
    r"(?<!\bno )\b(?:water|leak\w*|drip\w*|spray\w*|pour\w*|runn?(?:s|ing)?|wet)\b"
    r"(?:(?!\b(?:no|not|nothing|isnt|never|dry|from|out|was|were)\b)[^.;,:!?]){0,25}?"
    rf"\b(?:on|onto|into|over|around|round|down to)\s+(?:to )?(?:the |its |that |my )?(?:wall |power )?{_LIVE_PLACE}\b|"
    rf"\b{_LIVE_PLACE} (?:is |are |all |soaking |dripping )+(?:wet|soaked)\b|"
    rf"(?<!no )(?:{_WET}){_AMID}\b(?:at|by|near|under|beside|next to|close to) (?:the |its |that |my )?"
    rf"(?:wall |power )?{_LIVE_PLACE}\b|"
    r"\bstanding in (?:a |the )?(?:puddle|water)\b[^.;!?]{0,25}\b(?:plugged in|still on|live|power)\b", re.IGNORECASE)
"""Water on its way to what is live, or the tech in it."""
_WATER_AT_MAINS: Final = re.compile(
    r"(?<!no )(?<!any )\b(?:water(?! (?:line|hose|valve|supply|inlet|tap|heater))|puddles?|leak\w*|drip\w*|wet)\b"
    r"(?:(?!\b(?:no|not|nothing|isnt|never|dry|from|out|was|were|if|away)\b)[^.;,:!?]){0,16}?"
    r"\b(?:at|by|near|in|inside|into|under|beside|behind|next to|close to) (?:the |its |that |my )?(?:wall |power )?"
    rf"(?:{_LIVE_PLACE}|(?:breaker|junction|connection|wiring|electric\w*) (?:box|panel)|j ?box|outlet box)\b"
    r"(?! (?:hose|of|side|valve|pipe|end|fitting|tube|in the)\b)|"
    rf"\b(?:{_LIVE_PLACE}|(?:breaker|junction|connection|wiring|electric\w*) (?:box|panel)) "
    r"(?:(?:got|gets|is|are|all|feels|looks|soaking) )+wet\b", re.IGNORECASE)
"""Water that stands or runs where the mains come in."""
_NEARS_MAINS: Final = re.compile(
    r"\b(?:its|it s|it is|is|right|creep\w*|com(?:es?|ing)|get\w*|spread\w*|runn?(?:s|ing)?|almost|nearly|all the way|"
    r"now|up)(?: (?:right|almost|close|near|all|up|over|now))* (?:at|by|near|to|under|beside|next to|close to) "
    rf"(?:the |its |that |my |an? )?(?:wall |power )?{_LIVE_PLACE}\b|"
    r"\b(?:reach\w*|touch\w*|near(?:s|ing)?|approach\w*) (?:the |its |that |my |an? )?(?:wall |power )?"
    rf"{_LIVE_PLACE}\b", re.IGNORECASE)
_WATER: Final = re.compile(
    rf"{_WET}|\b(?:water(?! (?:line|hose|valve|supply|inlet|tap|feed|pressure|heater|level|filter))|puddles?|"
    r"flood\w*)\b", re.IGNORECASE)
_DENIED: Final = re.compile(
    r"\b(?:no|not|isnt|isn't|arent|aren't|never|nothing|away from|far from|dry|nowhere)\b", re.IGNORECASE)
_FLOOR: Final = re.compile(_WET, re.IGNORECASE)
_IS_DRY: Final = re.compile(rf"\b(?:no|not|isnt|isn't|arent|never|was|were)\b[^.;,]{{0,20}}{_WET}|"
                            rf"\bfloors? was\b|\bdry floor|\bfloors? (?:is |are )?(?:not|isnt|isn't|never|aint) ",
                            re.IGNORECASE)


_SO: Final = r"(?:(?!\b(?:no|not|if|never|was|were|used to)\b)[^.;!?])"
_ROOM: Final = r"(?:floors?|kitchen|laundry(?: room)?|basement|garage|hall\w*|room|house)"
_LOOSE_HOSE: Final = re.compile(
    rf"\b{_ROOM} (?:is |are |is all )?under water\b|\b{_ROOM}\b (?:has|with) [^.;!?]{{0,14}}\binch\w* of water\b|"
    rf"\b(?:line|hose|pipe|fitting|tubing|supply|valve)\b{_SO}{{0,30}}\b(?:broke|burst|popped off|blew off|snapped|"
    rf"let go)\b{_SO}{{0,30}}\b(?:spray\w*|gush\w*|pour\w*|shoot\w*)\b|"
    rf"\bwater\b{_SO}{{0,30}}\bover (?:all )?the floor\b[^.;!?]{{0,20}}"
    r"\b(?:no can|cannot|cant|can't|no puedo) (?:close|shut|stop)\b|"
    r"\b(?:water|supply|fill|ice ?maker) (?:line|hose|pipe|tubing) (?:has |just )?(?:burst|blew|let go)\b|"
    r"\bwater(?: is|s)?(?: still)? com(?:es|ing) (?:out |in )(?:fast|and (?:its |it is )?over)\b|"
    r"\bfull of water\b[^.;!?]{0,20}\b(?:outlets?|plugs?|cords?|sockets?)\b", re.IGNORECASE)
_KEEPS_COMING: Final = re.compile(
    rf"\b(?:overflow\w*|over the top|out fast|backed up|pour\w*|gush\w*)\b{_SO}{{0,24}}"
    rf"\b(?:all over|wont stop|won't stop|cant stop|can't stop|into the {_ROOM})\b", re.IGNORECASE)
_ICE: Final = re.compile(r"\b(?:ice|cubes?|detergent|suds)\b", re.IGNORECASE)
_SHUT: Final = re.compile(
    r"(?<!cant )(?<!can't )(?<!cannot )(?<!wont )(?<!to )\b(?:shut|turned|closed|capped) (?:it |that |the \w+ )?off\b",
    re.IGNORECASE)


def _out_of_hand(text: str) -> bool:
    """Water that nobody holds any more, whether or not something live is named."""
    if _SHUT.search(text):
        return False
    keeps = _KEEPS_COMING.search(text) is not None and _ICE.search(text) is None
    return keeps or _LOOSE_HOSE.search(text) is not None


def water_is_danger(text: str) -> bool:
    """True where a live part hangs open over a wet floor, lies in water, has water running to it, or where water runs
    with nobody to stop it."""
    if _IS_DRY.search(text):
        return False
    hangs = _FLOOR.search(text) is not None and _OPEN_MAINS.search(text) is not None
    nears = _NEARS_MAINS.search(text) is not None and _WATER.search(text) is not None and not _DENIED.search(text)
    lies = any(pattern.search(text) for pattern in (_MAINS_IN_WATER, _ONTO_MAINS, _WATER_AT_MAINS))
    return hangs or nears or lies or _out_of_hand(text)
