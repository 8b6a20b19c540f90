"""'I meant its a front loader', 'not a top loader, a front load': the machine is another than was taken."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from bot.language.machine.family import WASHERS
from knowledge.schema import Pack

_MEANT: Final = (
    r"(?:i meant?|meant|i said|actually|correction|quise decir|it is|its|it's|this is|thats a|that's a|es)")
_MISTAKEN: Final = (
    r"(?:no|nope|nah|not|sorry|oops|wait|my bad|scratch that|hold on|hang on|i was wrong|perdon|espera|mejor dicho)")
_LEADS: Final = (
    r"(?:it is|its|it's|this is|this one is|thats|that's|that is|it was|es|but|an?|the|una?|la|el|one|actually)")
_AFTER: Final = (r"(?=\W*$|\s*[,.;:!\n]|\s+(?:not|and|sorry|one|that|it|she|with|actually|i|my|instead|then|here|now|"
                 r"no|perdon)\b)")
"""What ends a name: 'sorry, thats the dryer hose' names no machine."""
_NOT_A: Final = r"\b(?:not|no|isnt|isn't|aint|ain't)(?: an?| the| una?)? "
_IS_NO: Final = r"\b(?:not|isnt|isn't|aint|ain't)(?: an?| the| una?)? "
_TAKEN_BACK: Final = r"\W+(?:sorry|actually|i meant?|my bad|perdon)\b"
_SHORT: Final[Mapping[str, str]] = {
    "front_load_washer": r"front ?load(?:er|ing)?s?|front ones?",
    "top_load_washer": r"top ?load(?:er|ing)?s?|top ones?"}
"""Names that only tell the two washers apart."""
_BOTH: Final = frozenset({"washer", "washing machine", "lavadora"})
"""Names that either washer goes by."""


def kind_put_right(packs: Mapping[str, Pack], text: str, family: str | None) -> str | None:
    """The family that a line puts right from `family`; None where it names none, or says nothing of a mistake."""
    if family not in packs or family is None or "?" in text:
        return None
    named = [other for other in packs if other != family and _has(rf"\b(?:{_ways(packs, other)})\b", text)]
    if len(named) != 1:
        return None
    name, alike = _ways(packs, named[0]), {family, named[0]} == set(WASHERS)
    if _has(rf"{_NOT_A}(?:{_ways(packs, family)})\b", text):
        return named[0]
    if _has(rf"{_IS_NO}(?:{name})\b", text) and not _has(r"\bi meant?\b", text):
        return None
    says = rf"(?:{_MISTAKEN}|{_MEANT})" if alike else rf"(?:{_MISTAKEN}\W+)*{_MEANT}"
    said = _has(rf"(?:^|\W){says}\b(?:\W+{_LEADS}\b)*\W+(?:{name})\b{_AFTER}", text)
    taken_back = alike and _has(rf"\b(?:{name}){_TAKEN_BACK}", text)
    return named[0] if said or taken_back or only_names(packs, text, named[0]) else None


def only_names(packs: Mapping[str, Pack], text: str, family: str) -> bool:
    """Whether a line names that machine and says nothing else: 'top load yeah', 'its a top loader'."""
    own = _ways(packs, family) + (r"|top|tl" if family == WASHERS[0] else r"|front|fl" if family == WASHERS[1] else "")
    return _has(r"^\W*(?:(?:yes|yeah|yep|ok|no|nope|nah|wait|it|its|it's|it is|this is|an?|the|sorry|si|es|"
                rf"una?)\W+)*(?:{own})(?:\W+(?:yes|yeah|yep|one|here|washer|machine|sorry|dude|man|bro|bud|buddy|boss|"
                r"lol|tho|though|not that))*\W*$", text)


def _has(pattern: str, text: str) -> bool:
    return re.search(pattern, text, re.IGNORECASE) is not None


def _ways(packs: Mapping[str, Pack], family: str) -> str:
    """What a machine of a family is called, but for what another may be called too."""
    forms = {name.lower() for names in packs[family].family.names.values() for name in names} - _BOTH
    own = [re.escape(name) for name in sorted(forms, key=len, reverse=True)]
    return "|".join([*own, *([_SHORT[family]] if family in _SHORT else [])])
