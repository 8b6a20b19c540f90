"""How a tech says, days after a repair, whether it held."""

from __future__ import annotations

import re
from typing import Final, Literal

from bot.conversation.wording.ways import way_of
from bot.language.words.text import drop_apostrophes

MOST_WORDS: Final = 9
"""A longer line tells of more than that."""

_QUIET: Final = re.compile(
    r"\b(?:no|zero) (?:more |further )?(?:calls?|callbacks?|call backs?|complaints?|trouble|problems?|leaks?|noise)\b|"
    r"\b(?:never|not|hasnt|havent|didnt|aint) (?:been |come |came |called |call )?(?:called back|come back|"
    r"back|called)\b|"
    r"\b(?:customer|cust|she|he|they)(?: is|s| are|re)? (?:is |are )?(?:happy|pleased|glad)\b|"
    r"\b(?:as far as i know|so far so good|so far|all good)\b")
_YES: Final = re.compile(r"^(?:yes|yep|yeah|yup|y|sure|i think so|think so|it did|it does|si)\b")
_AGAIN: Final = re.compile(
    r"\bstill (?!works?\b|working\b|good\b|going\b|fine\b|running fine\b|holding\b|dry\b|cold\b|ok)\w+|"
    r"\b(?:came|come|is|its|was) back\b|\bagain\b|\bdidnt (?:hold|last)\b|^(?:no|nope|nah|n)\b")
_UNKNOWN: Final = re.compile(
    r"\b(?:dunno|dont know|do not know|idk|no idea|no news|no clue|not sure|cant (?:say|tell)|ask the office)\b|"
    r"\b(?:havent|not|nothing) heard\b|\bhavent (?:asked|been|checked)\b")
_MORE: Final = re.compile(r"\b(?:but|except|only|though|now its)\b")


def says_whether_it_held(text: str) -> Literal["held", "came_back", "dont_know"] | None:
    """What a short line says of it; None where it says nothing of it, or more than that."""
    said = drop_apostrophes(text.lower()).strip(" .!")
    if len(said.split()) > MOST_WORDS or said.endswith("?") or _MORE.search(said):
        return None
    if _UNKNOWN.search(said):
        return "dont_know"
    again = _AGAIN.search(_QUIET.sub(" ", said).strip()) is not None
    if _QUIET.search(said):
        return None if again else "held"
    if again:
        return "came_back"
    if _YES.search(said):
        return "held"
    value = way_of("held", said)
    return "held" if value == "held" else "came_back" if value == "came_back" else None
