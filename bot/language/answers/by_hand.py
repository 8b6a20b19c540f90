"""What shows only when somebody pushes, lifts, rocks or turns it: that is how it answers that hand, and no run."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from knowledge.schema import Check

_DONE: Final = re.compile(
    r"\b(?:if|when|whenever|while|once|after|every time|each time) (?:i|you|u|ya|we|somebody|someone) "
    r"(?:really |just |kinda |hard |then )*(?P<did>[a-z]+)(?P<what>(?: (?:it|that|the|its|this|\w+))*)", re.IGNORECASE)
_DEEDS: Final[Mapping[str, re.Pattern[str]]] = {
    "lift": re.compile(r"\b(?:lift|rais)\w*|\b(?:push|pull|press)\w*(?: \w+){0,3} up\b", re.IGNORECASE),
    "push": re.compile(r"\b(?:push|press|lean|shov|squeez)\w*(?!(?: \w+){0,3} up\b)", re.IGNORECASE),
    "rock": re.compile(r"\b(?:rock|wiggl|shak|wobbl)\w*", re.IGNORECASE),
    "turn": re.compile(r"\b(?:turn|rotat|spin|twist)\w*", re.IGNORECASE)}
_TO_AND_FRO: Final = frozenset({"lift", "push"})
_MOVES: Final = re.compile(r"\b(?:shak|wobbl|bounc|rock|vibrat|jump|danc|bang|balanc)\w*", re.IGNORECASE)
_RUNS: Final = re.compile(
    r"\b(?:spins?|spinning|wash\w*|runs?|running|cycles?|walk\w*|fast|speed|ramps?)\b", re.IGNORECASE)


def _deed(text: str) -> str | None:
    """What somebody is said to do as it shows, if it is any of those."""
    found = _DONE.search(text)
    said = f"{found['did']}{found['what']}" if found is not None else ""
    return next((deed for deed, way in _DEEDS.items() if way.match(said)), None)


def by_another_hand(entry: Check, result: str, text: str) -> bool:
    """Whether a result was seen by a hand that this check does not ask for, or that does not show it: 'wobbles when I
    lift it' is no rim that runs out once a turn, and no machine that rocks on its feet."""
    deed = _deed(text)
    if deed is None or entry.kind not in {"feel", "turn"}:
        return False
    asked = " ".join((entry.ask, entry.again or "", *entry.steps))
    if _DEEDS[deed].search(asked) is None:
        return True
    shown = [other for other, way in _DEEDS.items() if way.search(entry.results[result].says) and other != "rock"]
    return deed in _TO_AND_FRO and bool(shown) and deed not in shown


def shakes_by_hand(text: str) -> bool:
    """Whether what moves is said to do so in somebody's hands, and not in a run: no machine that shakes."""
    parts = re.split(r"[,.;]|\b(?:and|but|n)\b", text)
    by_hand = [part for part in parts if _deed(part) is not None and _RUNS.search(_DONE.sub(" ", part)) is None]
    return bool(by_hand) and not any(_MOVES.search(part) for part in parts if part not in by_hand)
