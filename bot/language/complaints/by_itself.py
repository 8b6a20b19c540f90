"""What a machine does only when it is helped, and what it does with nobody near: neither is what the words sound like.

'Won't turn unless I give it a shove, then it runs fine' is a motor that does not start; clean water that stands in the
tub every morning ran in by itself, and nothing is wrong with the drain.
"""

from __future__ import annotations

import re
from typing import Final

_HELP: Final = (
    r"(?:unless|until|till|only (?:if|when|after|once)|"
    r"(?:if|when|once|after) (?:i|you|u|we|she|he|they|somebody|someone)|"
    r"(?:i|you|we|she) have to|got to|gotta|needs? (?:a|me)|give|with (?:a|some))\b"
    r"(?:(?!\b(?:dial|knob|timer|program\w*|button|setting)\b)[^.;!?]){0,30}?"
    r"\b(?:shove|push|nudge|kick|whack|bump|(?:spin|turn|help|start)(?= (?:it|the (?:drum|tub|basket|motor)))|hand|"
    r"empuj\w+)\b(?:(?!\b(?:dial|knob|timer|program\w*|button|setting)\b)[^.;!?]){0,30}?")
_GOES: Final = (
    r"(?:runs?|goes|works|starts|turns|spins|tumbles|keeps going|running|is fine|ok)\b"
    r"(?: (?:up|right|just|all|the rest of the cycle|great|fine|good|ok|okay|normal(?:ly)?|perfect(?:ly)?|like new|"
    r"on(?: its own)?|well|away))*")
_THEN: Final = re.compile(
    rf"(\b{_HELP})(?:[,.]? ?\b(?:and |but )?then(?: it| she| the \w+)?(?:'s|ll| will)?|"
    rf",? \b(?:and|after that|from there) (?:it|she|the \w+)(?: will|ll)?) {_GOES}", re.IGNORECASE)
_NOT_DONE: Final = re.compile(r"\b(?:wont|won't|doesnt|doesn't|dont|not|never|hums?|humming|buzz\w*|unless|only)\b",
                              re.IGNORECASE)
_CLEAN_WATER: Final = re.compile(
    r"\b(?:clean|fresh|clear) water\b|\bwater\b[^.;!?]{0,20}\b(?:is|its|looks|thats|all) (?:clean|fresh|clear)\b|"
    r"\bagua limpia\b", re.IGNORECASE)
_NOBODY: Final = re.compile(
    r"\b(?:nobody|no one|noone|without (?:anyone|anybody|me|it|her)|havent|hasnt|didnt|not|wasnt|never|aint) "
    r"(?:\w+ ){0,2}(?:run|ran|running|us(?:ed|e|ing)|start(?:ed)?|touch(?:ed)?|turn(?:ed)? (?:it )?on|wash(?:ed)?)\b|"
    r"\b(?:every|each|in the|next|by|the next|come) morning\b|\bover ?night\b|\bby (?:it|them)sel\w+\b|"
    r"\b(?:when|while|with|even)\b[^.;!?]{0,14}\b(?:its |it is |it |the power )?(?:off|idle|not (?:running|in use))\b|"
    r"\bcada ma[nñ]ana\b|\bsol[ao]\b", re.IGNORECASE)
_USED: Final = re.compile(
    r"\b(?:dirty|gray|grey|nasty|brown|black|gross|smelly|soapy|leftover|food|after (?:the|a|every|each) (?:cycle|wash|"
    r"load)|from last night|on the floor|puddle|filter|pump(?:s|ed)? out)\b", re.IGNORECASE)


def without_helped(text: str) -> str:
    """The words without what the machine does once it was helped: 'then it runs fine' after 'unless I shove it'."""
    return _THEN.sub(r"\1", text) if _NOT_DONE.search(text) else text


def fills_by_itself(text: str) -> bool:
    """Whether clean water is said to stand in a machine that nobody ran."""
    plain = text.replace("'", "")
    return (_CLEAN_WATER.search(plain) is not None and _NOBODY.search(plain) is not None
            and _USED.search(plain) is None)
