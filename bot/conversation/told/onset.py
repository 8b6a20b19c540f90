"""How it began, told of itself: 'it started after the move', 'no heat since they cleaned behind it'."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.meaning import HeardResult

_EVENT: Final = (
    r"(?:mov(?:e|ed|ing)|remodel\w*|renovat\w*|install\w*|deliver\w*|hook(?:ed|ing|up)\w*|plumber|electrician|"
    r"gas (?:guy|man)|tech|repair\w*|work(?:ed)? (?:on|done)|clean\w*|self.?clean\w*|storm|lightning|outage|"
    r"power (?:cut|went)|surge|vacation|holiday|shop(?:ping)?|groceries|party|spill\w*|boil\w*|kitchen|"
    r"new (?:house|place|apartment|duct|vent|cord|hoses?|outlet|plumbing|disposal|disposer)|"
    r"counter|floor|fitted|put in|went in|chip\w*|stabb\w*|load(?:ed|ing) it|stock(?:ed|ing) (?:it|up)|"
    r"mudanza|limpi\w*|tormenta|instal\w*|apag[oó]n)")
_SUDDEN: Final = (
    r"(?:all of a sudden|out of (?:the blue|nowhere)|all at once|overnight|from one day (?:to|on)\b.{0,12}|"
    r"one day (?:it |she )?(?:just )?(?:quit|stopped|died|went|started)|"
    r"(?:just|suddenly) (?:quit|stopped|died)(?: (?:working|heating|cooling|on (?:em|them|her|him)))?"
    r"(?= (?:last|yesterday|one|on|this|over)\b|\W*$|[,.;]))")
_CREPT: Final = (
    r"(?:(?:(?:been|got|getting|gotten|slowly|gradually) )+(?:worse|slower|warmer|louder|longer)\b.{0,20}\b"
    r"(?:for|over|past|last|months?|weeks?|years?)\b|(?:little by little|bit by bit|gradual\w*|crept (?:in|up)\w*)|"
    r"over (?:the )?(?:last |past )?(?:few |couple (?:of )?|several )?(?:months|weeks))")
_OUT_BEFORE: Final = (
    r"(?:(?:power|lights|electricity) (?:was|were|went|had been|been) (?:out|off)|(?:storm|outage|lightning|power cut))"
    r"\b.{0,25}\b(?:then|and (?:now|after)|ever since|right before|just before|the day before)\b")
"""How it came, without an event to date it by, and an outage that came before it."""
_BEGAN: Final = re.compile(
    r"\b(?:began|begun|started|happen(?:s|ed|ing)?|been (?:like (?:this|that)|this way|doing (?:it|this|that))|"
    rf"empez[oó])\b.{{0,25}}\b(?:after|since|when|with|following|despu[eé]s|desde|cuando)\b.{{0,40}}\b{_EVENT}\b"
    rf"|\b(?:ever since|since|desde)\b.{{0,30}}\b{_EVENT}\b"
    rf"|\b(?:quit|stopped|died|failed|gave out|went (?:warm|dead|out))\b.{{0,20}}\b(?:after|since|following)\b.{{0,30}}"
    rf"\b{_EVENT}\b|\b(?P<sudden>{_SUDDEN})|\b(?P<crept>{_CREPT})\b|\b{_OUT_BEFORE}"
    r"|\b(?:mopp|wip|scrubb|wash|clean|spray|spill|boil)(?:ed|t|ing?)\b.{0,30}\b(?:yest(?:erday)?|yday|"
    r"(?:last|the other) (?:night|day|we?e?k)|this (?:mornin\w*|we?e?k)|today|just before)\b"
    r"|\b(?:put|got|had|bought|fitted|installed|changed|swapped|laid)\b.{0,25}\bnew (?:cord|plug|cable|outlet|hoses?|"
    r"duct|vent|counter|floor|disposal|disposer|sink|faucet|kitchen)\b.{0,20}\b(?:yesterday|"
    r"(?:last|this|a) (?:we?e?k|mo(?:nth)?|weekend)|(?:days?|we?e?ks?|months?) (?:ago|back)|just before|recently)\b"
    r"|\bbrand ?new\b(?= (?:front|top|fl|tl|machine|washer|dryer|fridge|range|stove|oven|dishwasher|unit|one|install)|"
    r"\W*$|[,.;])|\b(?:just|only) (?:got |been |was )?(?:moved|delivered|installed)\b"
    r"|\b(?:moved (?:in|it|house|here)|delivered|installed) (?:just )?(?:yesterday|today|this morning|"
    r"(?:last|this) (?:we?e?k|mo(?:nth)?|weekend)|\w+ (?:days?|we?e?ks?) ago)\b",
    re.IGNORECASE)
_PANEL: Final = (r"(?:panel|breaker box|fuse ?box|breakers|service|wiring|electrics?|tablero|"
                 r"caja de (?:fusibles|breakers))")
_SOMEBODY: Final = (r"(?:guys?|man|electricians?|electricista|somebody|someone|landlord|handyman|husband|neighbou?r|"
                    r"crew|contractor|power company|they|he|she|people)")
_PANEL_WORK: Final = re.compile(
    rf"\b{_SOMEBODY}\b(?! (?:says?|said|thinks?|will|should|would|could|can|needs?|never))[^.;?!]{{0,25}}"
    rf"\b(?:in|into|opened|changed|swapped|replaced|upgraded|rewired|redid|redo|did|moved|messed with|messing with)"
    rf"(?: (?:the|a|an|her|his|their|our|that|my|new|main|whole|some))* {_PANEL}\b|"
    r"\b(?:panel|breaker box|fuse ?box) (?:guy|man|work|upgrade|swap|job)\b|"
    r"\belectricians?\b(?! (?:says?|said|thinks?|will|should|would|could|can|needs?|never))[^.;?!]{0,25}"
    r"\b(?:put|fitted|installed|wired|rewired|ran|hooked|replaced|changed|swapped|added|moved)\b[^.;?!]{0,20}"
    r"\b(?:outlet|plug|receptacle|socket|circuit|line|wires?|wiring|cord)\b|"
    rf"\bnew (?:{_PANEL}) (?:was |got )?(?:put in|in|installed|fitted|last|yesterday|this)\b", re.IGNORECASE)
_PLANNED: Final = re.compile(r"\?|\b(?:call|need|needs|get|getting|send|should|coming|will|next|tomorrow|ask|asked|job|"
                             r"trips?|tripp\w+|flip\w*|reset|by|hot|look\w*|check\w*)\b(?! guy)", re.IGNORECASE)
"""No work that was done there: planned, or what is seen at the panel."""
AFTER_PANEL_WORK: Final = "after the electrician"
_ONLY_THAT: Final = re.compile(
    r"^\W*(?:(?:and|but|so|well|they|she|he|customer|cust|lady|guy|owner|says?|said|told me|that|it|its|it's|this|all|"
    r"the trouble|has|only|just|thing|y|dice que)\s+)*"
    r"(?:began|begun|started|happen\w*|been (?:like|this way|doing)|ever since|since|empez[oó]|desde)\b", re.IGNORECASE)
_GOES_ON: Final = re.compile(
    r"\b(its?\s+\w|wont|won't|doesn'?t|not|no|can'?t|don'?t|isn'?t|never|nothing|dead)\b", re.IGNORECASE)
"""After the beginning: 'since the move it won't heat' tells the trouble too."""
_NOT_TODAY: Final = re.compile(
    r"\b(?:comes and goes|on and off|intermittent\w*|hit or miss|now and then)\b|"
    r"\b(?:can'?t|cannot|couldn'?t|won'?t) (?:make|get) it (?:to )?(?:do (?:it|that)|fail|act up)\b|"
    r"\b(?:won'?t|not|isn'?t|ain'?t|doesn'?t|didn'?t|never) (?:do(?:ing)? it|act(?:ing)? up|trip(?:ping)?|"
    r"happen(?:ing)?|show(?:ing)?|leak(?:ing)?|fail(?:ing)?) (?:it )?(?:for me|right now|today|while i'?m here)\b|"
    r"\b(?:works?|working|runs?|running|doing|is) (?:just )?(?:fine|ok|okay|good|normal) "
    r"(?:today|for me|while i'?m here)\b",
    re.IGNORECASE)
"""'Works fine today, can't make it do it': it comes and goes."""
SOMETIMES, SUDDENLY, SLOWLY = "comes and goes", "out of the blue", "slowly, over months"
CLEAR: Final = 0.8
"""How clearly words have to name a beginning that the pack knows."""


def tells_only_beginning(text: str) -> bool:
    """Whether words say after what the trouble came, and nothing else: 'it started after the move' starts nothing."""
    told = _BEGAN.search(text)
    return told is not None and _ONLY_THAT.search(text) is not None and not _GOES_ON.search(text[told.end():])


def without_beginning(text: str) -> str:
    """The line without what tells only since when."""
    parts = parts_of(text)
    kept = [part for part in parts if not tells_only_beginning(part)]
    return text if len(kept) == len(parts) else ", ".join(kept)


def beginnings_in(turn: Turn, text: str) -> list[HeardResult]:
    """What the parts of a line tell of how it began."""
    return [heard for part in parts_of(text) if (heard := beginning_in(turn, part)) is not None]


def not_today(text: str) -> bool:
    """Whether the trouble is said not to show just now."""
    return _NOT_TODAY.search(text) is not None


def beginning_in(turn: Turn, text: str) -> HeardResult | None:
    """The answer that words give to the family's question of how it began, if it has one."""
    told, at_panel = _BEGAN.search(text), _PANEL_WORK.search(text) is not None and not _PLANNED.search(text)
    if turn.job.family not in turn.context.release.knowledge.packs or not (told or at_panel or not_today(text)):
        return None
    words = AFTER_PANEL_WORK if at_panel else SOMETIMES if told is None else (
        SUDDENLY if told["sudden"] else SLOWLY if told["crept"] else text[told.start():])
    for key, check in turn.pack.checks.items():
        if check.begins:
            heard = answer_to(turn, key, words)
            if heard.result is not None and heard.p >= CLEAR:
                return HeardResult(key, heard.result, heard.p)
    return None
