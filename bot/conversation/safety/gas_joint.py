"""A gas line that was put in, moved or opened: nothing burns before a licensed person has leak tested its joints."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import WILL_NOT
from bot.conversation.job import Phase
from bot.conversation.turn import Turn
from bot.language.dangers.gas_joint import new_gas_joint, tested_tight

NOTE: Final = "joint.noted"
_GAS: Final = re.compile(r"\b(?:gas|propane|lp)\b", re.IGNORECASE)
FUEL: Final = "fuel"
"""The axis of a family that may burn gas."""


def take_gas_joint(turn: Turn, part: str, line: str) -> bool:
    """Keep a gas machine from being lit after work on its line; a test that is told lets it run. True if either was
    told. `line`: all that was said, which may name the gas."""
    if turn.job.phase is Phase.HAZARD or FUEL not in turn.pack.family.variants or not _burns_gas(turn, line):
        return False
    kept = [fact for fact in turn.job.standing("declined") if fact.subject == "run" and fact.value == WILL_NOT]
    if tested_tight(part) and kept:
        turn.withdraw(kept)
        turn.note("joint.tested")
        return True
    if not new_gas_joint(part) or tested_tight(line):
        return False
    if "gas" in turn.tech.signoffs:
        turn.note("joint.licensed")
        return True
    turn.note(NOTE)
    if not kept:
        turn.fact("declined", "run", WILL_NOT)
    return True


def _burns_gas(turn: Turn, line: str) -> bool:
    """Whether the machine is told to burn gas; where nobody said what heats it, by the words of the line."""
    fuel = next((fact.value for fact in turn.job.standing("variant") if fact.subject == FUEL), None)
    return fuel in {"gas", "dual"} if fuel is not None else _GAS.search(line) is not None
