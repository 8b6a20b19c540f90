"""What somebody saw that must not get power again: a burnt plug, a bare cord, a flame that stays on with its knob off.

A check of the family has a result for it, with an instruction that comes at once. These are said in passing and at any
moment, while something else is asked.
"""

from __future__ import annotations

import re
from typing import Final

_AMID: Final = r"(?:(?!\b(?:no|not|nothing|isnt|arent|aint|wasnt|never|without|if|like new)\b)[^.;!?,]){0,24}?"
_BURNT: Final = (
    r"(?:burn(?:t|ed)(?: up| black| out| brown| off)?|melt(?:ed|ing)|scorched|charred|singed|browned|blackened|"
    r"discolou?red|fried|cooked|toasted|half melted|(?:gone|turned|is|was|looks|all|are|its) (?:brown|black)|"
    r"quemad[oa]s?|derretid[oa]s?)")
_OUTLET: Final = (
    r"(?:outlets?|receptacles?|wall sockets?|prongs?|plug blades?|enchufe|(?<!drain )(?<!spark )(?<!lock )(?<!latch )"
    r"(?<!motor )(?<!pump )(?<!element )(?<!bake )(?<!valve )(?<!switch )(?<!its )(?<!wire )(?<!harness )"
    r"(?<!sensor )plugs?)")
_CORD: Final = r"(?:(?:power |supply )?cords?|(?:power|supply|mains) (?:cable|lead|flex)|cable(?= pelado))"
_BLOCK: Final = (r"(?:terminal ?(?:block|strip|board)|(?:neutral|hot|line|ground) (?:lug|terminal|screw)|"
                 r"cord terminals?)")
_BARE: Final = (
    r"(?:chewed|gnawed|frayed|bare (?:copper|wires?|spots?)|copper (?:showing|sticking out)|nicked|split open|"
    r"cut (?:open|thru|through)|cracked open|exposed wires?|pelado)")
_DENIED: Final = r"(?<!\bno )(?<!\bnot )(?<!\bisnt )(?<!\bnever )(?<!\barent )"


def _near(one: str, other: str) -> re.Pattern[str]:
    return re.compile(rf"\b{one}\b{_AMID}{_DENIED}\b{other}\b(?! smell)|{_DENIED}\b{other}\b(?! smell){_AMID}\b{one}\b",
                      re.IGNORECASE)


_STAYS_ON: Final = re.compile(
    r"\b(?:knobs?|dial|it) (?:is |are |was |set |turned |all the way )*(?:at |to |in )?off\b[^.;!?]{0,30}"
    r"\b(?:still|stays|keeps)\b[^.;!?]{0,20}\b(?:on|lit|burn\w*|flam\w*|glow\w*|heat\w*|hot|red|go\w*)\b|"
    r"\b(?:still|stays?|keeps?|flame|burner|unit|element|oven)\b[^.;!?]{0,30}\b(?:on|lit|burning|glowing|heating|red)\b"
    r"[^.;!?]{0,20}\b(?:with|when|after|and)\b[^.;!?]{0,14}\b(?:knobs?|dial|it|its|control)\b[^.;!?]{0,14}\boff\b|"
    r"\b(?:wont|won't|cant|can't|doesnt|doesn't) (?:shut|turn|switch|go)(?: it| the \w+| this)? off\b|"
    r"\b(?:runs?|ran) away\b",
    re.IGNORECASE)

_NO_HEATER: Final = re.compile(r"\b(?:lights?|lamp|display|fan|lock|beep\w*|clock|panel)\b", re.IGNORECASE)

_SEEN: Final[tuple[tuple[re.Pattern[str], tuple[tuple[str, str], ...]], ...]] = (
    (_near(_BLOCK, _BURNT), (("terminal_block_look", "burnt"), ("box_look", "burnt"))),
    (_near(_OUTLET, _BURNT), (("outlet_look", "burnt"),)),
    (_near(_CORD, _BARE), (("cord_look", "damaged"), ("outlet_look", "burnt"))),
)
_PAST: Final = re.compile(
    r"\b(?:last (?:year|month|guy|tech|one)|years? ago|months? ago|(?:was|been) replaced|replaced (?:it|the)|"
    r"new (?:cord|plug|outlet|block)|put (?:a |in a )?new|used to|old (?:one|cord|plug))\b", re.IGNORECASE)
_OF_A_COIL: Final = re.compile(
    r"\b(?:coils?|burners?|units?|swap\w*|prongs?|elem\w*|[lr][fr]|hob|pots?|hornilla)\b", re.IGNORECASE)
"""Plugs and sockets of a range that are its coils' own."""
_ASKED: Final = re.compile(r"\?\s*$")


def unsafe_seen(text: str, family: str | None = None) -> tuple[tuple[str, str], ...]:
    """Check and result for what the words say was seen, the likeliest first; a family may have only some of the checks.
    Nothing for what was mended, is asked, or was long ago."""
    if _PAST.search(text) or _ASKED.search(text) or (family == "range" and _OF_A_COIL.search(text)):
        return ()
    return next((results for pattern, results in _SEEN if pattern.search(text)), ())


def burnt_part(text: str) -> bool:
    """Whether something of the wiring is said to be burnt, and nothing of it to be mended or to burn just now."""
    return not (_PAST.search(text) or _ASKED.search(text)) and cold_burnt(text)


def cold_burnt(text: str) -> bool:
    """Whether what burnt is told as it was found, with no smoke, flame or heat now."""
    return _WIRING_BURNT.search(text) is not None and _BURNS_NOW.search(text) is None


_WIRING_BURNT: Final = _near(
    r"(?:wires?|wiring|terminals?|connectors?|connections?|spades?|harness|contacts?|plugs?|board|trace|relay|cable)",
    _BURNT)
_BURNS_NOW: Final = re.compile(
    r"\b(?:smok\w*|flam\w*|fire|glow\w*|spark\w*|arc\w*|sizzl\w*|crackl\w*|burning|melting|hot|humo|fuego)\b",
    re.IGNORECASE)


def stays_on(text: str) -> bool:
    """Whether a range is said to heat, or a burner to burn, with its knob off."""
    return not (_ASKED.search(text) or _NO_HEATER.search(text)) and _STAYS_ON.search(text) is not None
