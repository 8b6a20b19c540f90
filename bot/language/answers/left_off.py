"""A wire or plug inside the machine that somebody found off its part: 'plug left off the drain pump'."""

from __future__ import annotations

import re
from typing import Final

_CONNECTION: Final = r"(?:wires?|connectors?|connections?|spades?|leads?|terminals?|harness(?: plug)?|plugs?|molex)"
_OFF: Final = (
    r"(?:left (?:off|out|unplugged|hanging|disconnected)|(?:was|were|is|are|had|came|come|fell|popped|slipped|pulled|"
    r"worked|hanging|sitting|been) (?:(?:half|halfway|partly) out|(?:(?:half|halfway|partly) )?off|loose|"
    r"unplugged|disconnected|unhooked|(?:not all the way|barely) (?:on|in))|not (?:plugged|pushed|hooked|put) "
    r"(?:back )?(?:in|on|up)|never (?:plugged|hooked|put) (?:back )?(?:in|on|up)|disconnected|unhooked|unplugged|"
    r"(?:was |were |is )?hanging (?:half )?(?:off|loose|free))")
_PART: Final = (
    r"(?:pump|motor|thermostat|element|heater|fuse|limit|cut ?off|sensor|thermistor|valve|coil|igniter|switch|board|"
    r"control|latch|lock|relay|timer|fan|compressor|diverter|float|actuator|solenoid|dispenser)")
_ON: Final = r"(?: (?:of|from|on|at|to|for|behind))?(?: (?:the|its|a|that))?(?: \w+){0,2} "
_FOUND: Final = re.compile(
    rf"\b{_CONNECTION}\b(?: (?:that |which )?(?:goes )?(?:on|to|for|at|of|behind)(?: the| its)?(?: \w+){{0,3}})? "
    rf"{_OFF}{_ON}{_PART}\b|"
    rf"\b{_CONNECTION} (?:on|to|for|at|of|behind) (?:the |its )?(?:\w+ ){{0,2}}{_PART}\b(?: \w+){{0,2}}? {_OFF}\b|"
    rf"\b{_PART} (?:\w+ )?{_CONNECTION} (?:\w+ )?{_OFF}\b|"
    rf"\bfound (?:the |a |its )?(?:\w+ )?{_CONNECTION} (?:off|loose)\b|"
    rf"\b{_PART} (?:was |is |left )+(?:never |not )?(?:unplugged|disconnected|unhooked|plugged (?:back )?in|"
    r"hooked up)\b",
    re.IGNORECASE)
_NOT_SO: Final = re.compile(
    r"\?\s*$|\b(?:wont|cant|when|to take|i (?:have|had|got|took|pulled|left)|with|took|pulled|put|plugged it|"
    r"pushed it|reconnected|back on|if|should|maybe|might|says?|said|thinks?|one wire off|wires? off (?:and|it)|"
    r"last (?:year|month))\b|"
    r"\b(?:no|not any|nothing|isnt|arent)\b[^.;,]{0,12}\b(?:off|loose|unplugged|disconnected)\b", re.IGNORECASE)


def found_off(text: str) -> bool:
    """Whether a wire or plug of a part is said to be off it as it was found; not what the tech took off to measure."""
    plain = text.replace("'", "")
    return _FOUND.search(plain) is not None and _NOT_SO.search(plain) is None
