"""Tools that are not at hand: 'no amp clamp, but it hums and trips' says one, and an answer beside it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.words.text import drop_apostrophes, word_set
from knowledge.schema import Tool

_OWN: Final = (
    r"(?:(?:a|an|my|the|any|some|amp|good|working|proper|right|decent|real|own|damn|kind of|sort of|to bring|bring|"
    r"pack|un|una|mi|el|la)\s+)*")
"""What may stand between the lack and the tool: 'no beep on my meter' lacks none."""
_NOT_HERE: Final = r"dont have|didnt bring|dont carry|havent got|dont got|left|forgot|lost|no tengo"
_LACK: Final = rf"\b(?:no|without|sin|{_NOT_HERE})\s+"
_AT_HAND: Final = rf"\b(?:(?:have|got|theres) no|{_NOT_HERE})\s+"
_SPENT: Final = (
    r"(?:\s*(?:s|is|are|has|have|just|went|all))*\s+(?:dead|died|broken?|busted|shot|flat|fried|kaput|quit|gave out|"
    r"out of (?:batter\w+|juice)|wont (?:turn|switch|power|come) on|(?:isnt|not|stopped) working|doesnt work|"
    r"se murio|no (?:sirve|prende)|(?:back )?in the (?:van|truck|shop)|at (?:home|the shop))\b")
_INSIDE: Final = r"(?:fuse|batter(?:y|ies)|leads?|probes?)"
_GONE: Final = r"(?:blew|blown|popped|dead|died|flat|gone|broken?|shot|fried|busted)"
"""'Blew the fuse in my meter' is no fuse of the machine."""
_ALONE: Final = re.compile(
    r"\b(can'?t|cannot|couldn'?t|not able to|wont|unable to)\b.{0,30}\b(alone|by myself|on my own)\b|"
    r"\b(nobody|no one|noone) (here )?to help\b", re.IGNORECASE)
_HELPER: Final = "helper"
_OF_ROOMS: Final = word_set("light level pan resistor dados pera nivel lampara")
_OF_MACHINES: Final = word_set("clamp tape terminals strap rope pinza cuerda")
"""Names of other things too: 'no light' and 'clamp is broken' speak of a tool only where it is one's own."""
_ASKS: Final = re.compile(r"\?\s*$|^\W*(do|should|can|could|what|which|how|why|where) (i|we|you|u|if)\b", re.IGNORECASE)
_FETCHED: Final = (
    r"\b(?:have|has|got|get|getting|found|borrowed|brought|fetched|ive|theres|tengo|ya tengo)\s+"
    r"(?:(?:a|an|my|the|his|her|one|another|new|un|una|mi|el|la)\s+)*")
_MOMENT: Final = r"(?:sec|second|min|minute|moment)s?"
_COMING: Final = re.compile(
    rf"\b(?:need|give me|gimme) (?:a |one |just a )?{_MOMENT}\b|\b(?:hang|hold) on(?: a {_MOMENT})?\W*$|"
    rf"^\W*(?:wait|one|just)(?: a| one)? {_MOMENT}\W*$|\bbe right back\b|\bbrb\b|"
    r"\b(?:let me|ill|im gonna|im going to|gotta|have to) (?:go )?(?:get|grab|fetch)\b", re.IGNORECASE)
"""A tool that is being fetched is not lacking."""
SHORT: Final = 9
"""Words of a line that only asks for time."""
LONGEST: Final = 80
"""Characters of a part of a line that can be about a tool."""


def lacking(turn: Turn, text: str, needed: Iterable[str] = ()) -> tuple[str | None, str]:
    """The tool that words say is not at hand, if they say so of one, and what else they say.

    `needed`: tools that are needed just now; a word that means one of them as well as a part of the machine means it.
    """
    if _ASKS.search(text) or _COMING.search(drop_apostrophes(text)):
        return None, text
    parts = parts_of(text)
    for place, part in enumerate(parts):
        tool = _tool_in(turn, part, frozenset(needed))
        if tool is not None:
            return tool, ", ".join((*parts[:place], *parts[place + 1:]))
    return None, text


def _tool_in(turn: Turn, part: str, needed: frozenset[str]) -> str | None:
    """The tool that one part of a line says is not at hand; the longest name that fits is the one meant."""
    said = drop_apostrophes(part.lower())
    if len(said) > LONGEST:
        return None
    tools = turn.context.release.knowledge.common.tools
    if _HELPER in tools and _ALONE.search(said):
        return _HELPER
    named = sorted(((name, tool) for tool, entry in tools.items() for name in _names(entry)),
                   key=lambda n: (-len(n[0]), n[1] not in needed))
    return next((tool for name, tool in named if name in said and _lacks(name, said, tool in needed)), None)


def _lacks(name: str, said: str, needed: bool) -> bool:
    tool = rf"{re.escape(name)}\b"
    if name in _OF_ROOMS | _OF_MACHINES and not needed:
        lack = _LACK if name in _OF_MACHINES else _AT_HAND
        return bool(re.search(lack + _OWN + tool, said) or re.search(rf"\bmy {tool}{_SPENT}", said))
    inside = rf"\b(?:{_INSIDE}\s+(?:in|of|on|for|to)\s+(?:my|the|this)\s+{tool}|{tool}\s+{_INSIDE}\b)"
    if re.search(inside, said) and re.search(rf"\b{_GONE}\b", said):
        return True
    return bool(re.search(_LACK + _OWN + tool, said) or re.search(rf"\b{tool}{_SPENT}", said)
                or re.search(rf"\b(?:dead|broken|need (?:a|an|my|the)) {tool}", said))


def asks_for_time(text: str) -> bool:
    """'Got the meter in the van, need a sec': no answer, and nothing that is lacking."""
    return (_COMING.search(drop_apostrophes(text)) is not None and len(text.split()) <= SHORT
            and not any(c.isdigit() for c in text) and not _ASKS.search(text))


def nods(text: str) -> bool:
    """'Ok', and nothing else, to something that is to be done: heard, and not yet done."""
    return _NOD.fullmatch(text) is not None


_NOD: Final = re.compile(
    r"\W*(ok|okay|k+|alright|sure|sure thing|will do|on it|roger|copy( that)?|vale|dale)\W*", re.IGNORECASE)


def at_hand_again(turn: Turn, text: str) -> str | None:
    """The tool that was lacking and that words say is there now."""
    said = drop_apostrophes(text.lower())
    tools = turn.context.release.knowledge.common.tools
    missing = [fact.subject for fact in turn.job.standing("cannot") if fact.subject in tools]
    if _ASKS.search(text) or len(said) > LONGEST:
        return None
    return next((tool for tool in missing for name in _names(tools[tool])
                 if re.search(_FETCHED + rf"{re.escape(name)}\b", said) and not _lacks(name, said, True)), None)


def _names(tool: Tool) -> set[str]:
    said = {tool.name.split(" ", 1)[-1], *(p for group in tool.phrases.values() for p in group)}
    return {name.lower() for name in said}


def do_without(turn: Turn, tool: str) -> bool:
    """Keep for the planner that a tool is lacking; False, and a word on it, where something else does as well."""
    instead = turn.context.release.knowledge.common.tools[tool].instead
    if instead:
        turn.quote(instead)
        return False
    turn.fact("cannot", tool)
    return True
