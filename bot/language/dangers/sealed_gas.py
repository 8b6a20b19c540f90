"""Gas that comes out of a fridge's own circuit: refrigerant, and not the gas that a range burns."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

_CIRCUIT: Final = re.compile(
    r"\b(?:evap\w*|coils?|freezer|fridge|refrigerator|liner|back wall|lines?|tub(?:e|es|ing)|compressor|condenser|"
    r"capillary|drier|sealed system|ice ?pick|scrap\w+|chip\w+|punctur\w+|pierc\w+|stab\w+|nick\w*|poke\w*|drill\w*|"
    r"screwdriver|knife|defrost\w*)\b")
_ESCAPES: Final = re.compile(r"\b(?:hiss\w*|leak\w*|escap\w*|shoot\w*|spray\w*|blow\w*|blew|com(?:es?|ing)|came|out|"
                             r"pour\w*|rush\w*|everywhere|released|venting)\b")
_BURNT_GAS: Final = re.compile(
    r"\b(?:smell\w*|smelt|odou?r|stinks?|reeks?|whiff|fumes|eggs?|egg|propane|lp|natural|sulfur|mercaptan|"
    r"alarm|detector|sniffer|gas (?:line|pipe|hose|valve|meter|company|stove|range|dryer|oven|fridge|main|supply|cock)|"
    r"pilot|burner|absorption|rv|camper|stove|range|oven|furnace|water heater|huele|olor)\b")
"""A nose or an alarm, or what burns gas and stands beside it."""


def of_the_circuit(words: Sequence[str]) -> bool:
    """Whether gas that is told of a fridge got out of its circuit: nobody smells it or names what burns it."""
    line = " ".join(words)
    out = _ESCAPES.search(line) is not None and _CIRCUIT.search(line) is not None
    return out and _BURNT_GAS.search(line) is None
