"""Water that stands deep on a floor, or rises there: 'two inches of water in the basement', 'still coming'.

Depth in a tub or a sump is how a machine fills; on a floor it is a flood.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from bot.language.meaning import Hazard

_AMOUNT: Final = (r"(?:\d+(?:\.\d+)?|an?|one|two|three|four|five|six|seven|eight|ten|couple(?: of)?|few|several|"
                  r"half an?|half|quarter)")
_MEASURE: Final = r"(?:inch\w*|in|cm|centimet\w*|foot|feet|ft|pulgadas?)"
_DEPTH: Final = rf"(?:\b{_AMOUNT} {_MEASURE} (?:deep )?(?:of |de )?(?:\w+ )?(?:water|agua)\b|\b\d+ of water\b)"
_DEEP: Final = rf"\b{_AMOUNT} {_MEASURE} deep\b"
_ROOM: Final = (r"(?:floor|kitchen|laundry|basement|cellar|garage|hall\w*|room|house|bathroom|apartment|carpet|closet|"
                r"piso|cocina|sotano|suelo)")
_SO: Final = (r"(?:(?! (?:no|not|never|isnt|wasnt|was|were|if|had|left|used to|dry|before|last)\b| [.;!?\n])"
              r"(?: \S+))")
_RISES: Final = (
    r"\b(?:ris(?:es|ing)|climb(?:s|ing)|getting (?:deeper|higher)|going up|coming up|"
    r"(?:still|more|keeps|wont stop|wont quit) (?:on )?(?:coming|pouring|rising|climbing)"
    r"(?! (?:back|from|after|when)\b)|"
    r"wont (?:quit|stop)(?= *$| [.,;!])|sube|subiendo|sigue (?:saliendo|entrando))\b")
_HELD: Final = re.compile(
    r"\b(?:in|inside|fills?|filling|into) (?:the |its |a |that )?(?:\w+ )?(?:tub|drum|basket|machine|washer|dishwasher|"
    r"sump|basin|bucket|pan|tray|bottom|tank|pail|sink|drawer|freezer|fridge|crisper|reservoir|hose|standpipe|boot|"
    r"door)\b|\b(?:tub|drum|basket|sump|basin|bucket|pan|sink|machine|tank|standpipe|washer) "
    r"(?:is |has |had |with |holds |fills |still |full )")
"""Where water belongs, or is caught."""
_ON_FLOOR: Final = re.compile(
    rf"{_DEPTH}(?: (?:all|standing|right|now|already|over))*"
    rf" (?:on|across|over|in|through|throughout|under|en)(?! the (?:tub|drum)){_SO}{{0,4}}? {_ROOM}\b|"
    rf"\b{_ROOM}{_SO}{{0,3}}? (?:under|has|with|got|took) (?:about |like |maybe )?{_DEPTH}|"
    rf"\bstanding in (?:about |like )?{_DEPTH}|\b(?:basement|laundry room|kitchen|garage|house|room|cellar)"
    r"(?: \w+)? (?:filling|fills|filled)(?: up)? with water\b|"
    r"\bwater(?: is| was|s)? (?:already |almost )?(?:up to|over|past|above|covering|over the tops? of) "
    r"(?:my|our|his|her|their|the) (?:\w+ of my |tops? of )?"
    r"(?:ankles?|shoes?|boots?|feet|knees?|baseboards?|toes|shins?|sneakers)\b(?! of)")
_RISING: Final = re.compile(
    rf"(?:{_DEPTH}|{_DEEP}|\bwater{_SO}{{0,6}}? {_ROOM}|\b{_ROOM}{_SO}{{0,4}}? (?:water|agua)|"
    rf"\bagua{_SO}{{0,4}}? {_ROOM}){_SO}{{0,6}}? {_RISES}|"
    rf"{_RISES}{_SO}{{0,4}}? (?:{_DEEP}|{_DEPTH})|"
    r"\bwater(?: is|s)? (?:still )?coming up fast\b|"
    rf"\b(?:theres|there is|got|floor|to) (?:about )?{_AMOUNT} {_MEASURE}{_SO}{{0,3}} (?:rising|climbing)\b|"
    rf"\bwater(?: on the floor)?{_SO}{{0,7}}? (?:all over|everywhere){_SO}{{0,2}} {_RISES}")
_NAMED: Final = re.compile(r"water|agua|deep|inch")
_OVER: Final = re.compile(r"\b(?:last (?:week|month|year|night|time)|yesterday|ago|mopped|pumped out|cleaned up|"
                          r"dried|used to|gone)\b")
_SHUT: Final = re.compile(r"(?<!cant )(?<!cannot )(?<!wont )(?<!to )\b(?:shut|turned|closed) (?:\w+ ){0,3}?off\b")
_DENIED: Final = re.compile(r"\b(?:no|not|never|isnt|arent|without|if)(?: \S+){0,3} *$")


def deep_water(line: str) -> Iterator[tuple[Hazard, tuple[int, int]]]:
    """Flood, with its span, where a line (lower case, its words and marks one space apart) tells of a floor under
    water; nothing where the water is in what holds it, or was."""
    if not _NAMED.search(line):
        return
    rising = _RISING.search(line)
    found = rising or _ON_FLOOR.search(line)
    if found is None or _HELD.search(line) or (_DENIED.search(line[:found.start()]) and " now " not in found.group()):
        return
    if rising is None and (_OVER.search(line) or _SHUT.search(line) or line.rstrip().endswith("?")):
        return
    yield "flood", found.span()
