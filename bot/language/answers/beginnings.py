"""Whether words tell how a trouble began at all: 'works', 'cleaned the filter twice' name work, and no beginning."""

from __future__ import annotations

import re
from typing import Final

from bot.language.words.text import drop_apostrophes

_WORK: Final = re.compile(
    r"\b(works?|working|worked|clean\w*|clear(?:ed)?|chang\w+|swap\w*|replac\w+|fitted|install\w*|put|repair\w*|fixed|"
    r"flushed|tightened|reset|limpi\w+|cambi\w+|repar\w+)\b", re.IGNORECASE)
_WHEN: Final = re.compile(
    r"\b(since|after\w*|ago|when|then|til+|until|before|last|yesterday|today|sudden\w*|overnight|morning|months?|weeks?|"
    r"days?|years?|recent\w*|just|new(?:ly)?|first|began|begun|started|starts|slow\w*|gradual\w*|worse|bit by bit|"
    r"never|always|callback|moved?|desde|despu[eé]s|hace|ayer|nuev[oa])\b", re.IGNORECASE)
_WHO: Final = re.compile(
    r"\b(somebody|someone|some(?:one|body) else|guys?|techs?|technician|company|plumber|electrician|handyman|landlord|"
    r"neighbou?r|husband|wife|son|dad|cousin|brother|uncle|friend|customer|cust|owner|tenants?|previous|other|"
    r"another|he|she|they|her|his|alguien|t[eé]cnico|plomero|le metieron)\b", re.IGNORECASE)


_TRIPPED: Final = re.compile(
    r"\b(?:breakers?|fuses?|gfci|gfi|rcd)\b.{0,20}\b(?:tripped|off|popped|blown|down|thrown)\b", re.IGNORECASE)
"""How a breaker was found is no beginning either."""


_AS_IT_RUNS: Final = re.compile(
    r"\b(?:worse|louder|harder|stronger|faster|hotter|more)\b.{0,12}\b(?:the (?:faster|more|longer|hotter|heavier|"
    r"fuller)|when|whenever|while|as (?:it|she|the)|with (?:speed|a load|heat|each|every)|"
    r"in (?:spin|wash|rinse|drain|the spin)|on (?:spin|high|drain|start))\b", re.IGNORECASE)
"""'Gets worse the faster it goes' tells how it runs now, not how it came."""


def tells_no_beginning(text: str) -> bool:
    """Whether words tell of work, that it works, or of how it runs, with no word on when it was or on anybody else who
    did it."""
    whole = drop_apostrophes(text)
    said = _AS_IT_RUNS.sub(" ", whole)
    told = said != whole or _WORK.search(said) or _TRIPPED.search(said)
    return bool(told) and not _WHEN.search(said) and not _WHO.search(said)
