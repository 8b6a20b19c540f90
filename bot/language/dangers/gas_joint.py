"""A gas joint that somebody made: 'new gas flex put in last week', 'they changed the supply hose'."""

from __future__ import annotations

import re
from typing import Final

_LINE: Final = (
    r"(?:(?:gas|propane|lp) (?:supply )?(?:flex(?:ible)?(?: (?:line|hose|connector|pipe|tube))?|lines?|hoses?|"
    r"pipes?|connect(?:or|ion)s?|connecters?|tub(?:e|ing)|fittings?|shut ?off|cock)|"
    r"flex(?:ible)?(?: (?:gas|supply))? (?:lines?|hoses?|connect(?:or|er)s?|pipes?)|"
    r"(?:gas )?(?:supply|connect(?:or|ing)) (?:hoses?|lines?|flex|pipes?)|"
    r"(?:gas )?flex(?! duct| vent| coupl| pipe vent))")
_MADE: Final = (
    r"(?:replaced|changed|swapped|fitted|installed|put (?:in|on)|hooked (?:up|back up|back)|re ?connected|connected|"
    r"screwed (?:on|in)|redid|redone|ran|moved|extended|unhooked|disconnected|took off|undid|undone)")
_AMID: Final = r"(?: (?!no\b|not\b|never\b|isnt\b|wasnt\b)[\w']+){0,4}?"
_NEW_JOINT: Final = re.compile(
    rf"\b(?:new|another|different|brand new)(?: \w+)? {_LINE}\b|"
    rf"\b{_LINE}(?:'?s)?(?: (?:is|was|are|were|got|been|just))* (?:new|{_MADE})\b|"
    rf"\b{_MADE}{_AMID} {_LINE}\b", re.IGNORECASE)
_NONE: Final = re.compile(
    r"\b(?:no|not|never|didnt|did not|wasnt|isnt|without|needs?|want\w*|will|should|could|gonna|going to)"
    rf"(?: \w+){{0,3}}? (?:new|{_MADE}|{_LINE})\b", re.IGNORECASE)
_LONG_AGO: Final = re.compile(
    r"\b(?:years? (?:ago|back|old)|last (?:year|yr)|yrs ago|since (?:19|20)\d\d)\b", re.IGNORECASE)
_TESTED: Final = re.compile(
    r"(?<!not )(?<!never )(?<!no )(?<!isnt )(?<!wasnt )(?<!nobody )\b(?:(?:leak|pressure|bubble|soap) ?(?:and \w+ )?"
    r"(?:tested|checked)|(?:(?:passed|did|done|had|got) (?:a |the |his |its )?(?:leak|pressure) (?:test|check))|"
    r"(?:leak|pressure) (?:test|check) (?:is |was )?(?:passed|good|ok|fine|done|tight)|tested (?:tight|for leaks))\b",
    re.IGNORECASE)
_LICENSED: Final = re.compile(
    r"\b(?:licen[sc]ed|plumb\w+|(?:gas )?fitters?|gas (?:co|company|guys?|man|tech|people|utility)|utility(?: \w+)?|"
    r"signed off)\b(?! (?:didnt|never|wont))", re.IGNORECASE)
_ESCAPES: Final = re.compile(
    r"(?<!\bno )(?<!\bnot )(?<!\bnever )(?<!\bdont )(?<!\bdoesnt )(?<!\bdidnt )\b(?:smel\w*|odou?rs?|whiffs?|"
    r"stink\w*|stench|reek\w*|fumes?|rotten|eggs?|hiss\w*|leak(?:s|ing|ed|y)?\b(?! (?:test|check))|escap\w*|"
    r"bubbl(?:es|ing)|dizzy|sick|headaches?|flames? (?:at|on|from)|fire|boom|bang|fail\w*|c[ao]me (?:off|loose|out)|"
    r"popped|pulled|blew|broken?|tore|torn|cracked|split|snapped)\b", re.IGNORECASE)


def new_gas_joint(text: str) -> bool:
    """Whether words tell of a gas line or hose that was put in, moved or opened lately, and nothing of a leak test."""
    return (_NEW_JOINT.search(text) is not None and not tested_tight(text)
            and _NONE.search(text) is None and _LONG_AGO.search(text) is None)


def tested_tight(text: str) -> bool:
    """Whether words say that a gas line was leak tested by somebody who may; soap of one's own is no such test."""
    return _TESTED.search(text) is not None and _LICENSED.search(text) is not None


def of_work_on_gas(text: str) -> bool:
    """Whether gas is only what a line carries that somebody put in or tested, and nobody smells or hears any."""
    return (_NEW_JOINT.search(text) or _TESTED.search(text)) is not None and _ESCAPES.search(text) is None
