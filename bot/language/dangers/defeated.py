"""A guard that somebody defeated, or glass that lets go: 'lid switch bypassed by customer', 'the glass is cracked'."""

from __future__ import annotations

import re
from typing import Final

_GUARD: Final = r"(?:lid|door|interlock|safety)(?: (?:switch|lock|latch|interlock))?"
_DEFEATED: Final = (r"(?:bypass\w*|jump(?:ed|ered) (?:out|across|over)|jumpered|"
                    r"(?:taped|tied|zip ?tied|wedged) down|defeated|cheated|puentead[oa])")
_BYPASSED: Final = re.compile(
    rf"\b{_GUARD}\b(?:(?!\b(?:no|not|isnt|never|if)\b)[^.;!?,]){{0,14}}?\b{_DEFEATED}|"
    rf"(?<!not )(?<!never )\b{_DEFEATED} (?:the |its |that |on the )*{_GUARD}\b", re.IGNORECASE)
_HEAT_GUARD: Final = (r"(?:(?:thermal |heater |high |hi )?(?:fuse|limit|cut ?off|cut ?out|thermostat|t ?stat)|"
                      r"(?:float|leak|belt|overload)(?: switch)?)")
_BRIDGED: Final = (r"(?:bypass(?:ed)?|jump(?:ed|ered)(?: (?:out|across|over))?|bridged|shorted (?:out|across)|"
                   r"puentead[oa])")
_HEAT_BRIDGED: Final = re.compile(
    rf"\b{_HEAT_GUARD}\b(?: (?:is|was|are|got|been|all))* {_BRIDGED}\b|"
    rf"(?<!not )(?<!never )\b{_BRIDGED} (?:out )?(?:the |that |its |both |across )*{_HEAT_GUARD}\b|"
    rf"\bjumper(?:s| wire)? (?:is |are )?(?:on|across|over) (?:the |that |its )*{_HEAT_GUARD}\b", re.IGNORECASE)
"""What shuts the heat off or the water, bridged: 'jumped the fuse to test'."""
_TOP: Final = re.compile(
    r"\b(?<!door )(?<!oven )(?<!window )(?:glass(?: top)?|cook ?top|stove ?top)\b(?! (?:door|window))"
    r"(?:(?!\b(?:no|not|isnt|never|if|door|window)\b)[^.;!?,]){0,12}?\b(?:crack\w*|shatter\w*|broke|broken)\b|"
    r"(?<!not )(?<!no )\b(?:cracked|shattered|broken) (?:the )?(?:glass ?top|cook ?top|glass (?:cook ?)?top)\b",
    re.IGNORECASE)
_NOT_NOW: Final = re.compile(r"\?\s*$|\b(?:i'?ll|should|could|can|want|if|was replaced|new)\b", re.IGNORECASE)


def bypassed(text: str) -> bool:
    """Whether a switch that keeps hands out is said to be bridged or held down."""
    return _BYPASSED.search(text) is not None and _NOT_NOW.search(text) is None


def guard_bridged(text: str) -> bool:
    """Whether a fuse, limit or float is said to be bridged now, be it only to try."""
    return _HEAT_BRIDGED.search(text) is not None and _NOT_NOW.search(text) is None


def cracked_top(text: str, family: str | None) -> bool:
    """Whether the glass of a cooktop is said to be cracked; a door's is none, nor is that of a machine without one."""
    return family == "range" and _TOP.search(text) is not None and _NOT_NOW.search(text) is None
