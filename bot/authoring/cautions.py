"""Steps that can hurt, and the caution that has to stand with them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bot.authoring.remarks import Remark
from knowledge.schema import Pack, Repair
from knowledge.source import Place


@dataclass(frozen=True, slots=True)
class Danger:
    """Words of a step that tell of a danger, words of which one must stand in its cautions, and what to write."""

    name: str
    told: re.Pattern[str]
    needs: re.Pattern[str]
    write: str


def _words(*patterns: str) -> re.Pattern[str]:
    return re.compile(r"\b(?:" + "|".join(patterns) + r")", re.IGNORECASE)


DANGERS: Final = (
    Danger("something heavy is moved",
           _words(r"tilt (?:the |it)", r"tip (?:the (?:machine|washer|dryer|range|cabinet)|it) ",
                  r"two (?:people|of you)", r"lay (?:the machine|it) (?:on|down|back|over)",
                  r"lift (?:the|out the) (?:tub|drum|transmission|gearcase|motor|basket|cabinet)",
                  r"(?:slide|pull|walk) the (?:machine|washer|dryer|refrigerator|fridge|range|cabinet|dishwasher) "),
           _words("heavy", "lift", "two ", "second (?:person|pair)", "weight", "weigh", "tip", "tilt", "prop", "pinch",
                  "toes", "feet", "fingers", "your back", "helper", "floor", "crush", "roll", "slide", "hands", "edge"),
           "say what it weighs or who helps, and where hands and feet stay"),
    Danger("a capacitor can hold a charge",
           _words(r"capacitor (?:terminals?|leads?|wires?|off|out)", r"(?:off|across|from) the capacitor"),
           _words("discharg", "bleed", "charge"),
           "add that it is discharged first, and with what"),
    Danger("gas can escape or burn",
           _words(r"gas (?:valve|line|pipe|hose|supply|shut-?off|cock)", "orifice", "burner (?:lights|flame|tube)",
                  r"soap(?:y)? (?:solution|bubbles)"),
           _words("gas", "smell", "flame", "valve", "air the room", "window", "burn"),
           "say what to do at a smell of gas, and who opens fittings"),
)


def cautions(pack: Pack) -> Iterator[Remark]:
    """Checks and repairs whose steps tell of a danger that none of their cautions speaks of."""
    family = pack.family.id
    for key, check in pack.checks.items():
        given = _given(pack, check.access, check.cautions)
        place: Place = ("checks", key)
        if check.power == "live" and not re.search(
                r"one hand|live|insulated|mains|volts?\b|shock|bare|metal|touch|probe", given, re.IGNORECASE):
            yield Remark(family, place, "caution", "a live measurement whose cautions do not speak of live parts",
                         "add how the probes are held and what stays untouched")
        yield from _steps(family, place, " ".join((check.ask, *check.steps)), given)
    for key, fault in pack.faults.items():
        if isinstance(fault.repair, Repair):
            yield from _repair(pack, ("faults", key, "repair"), fault.repair)
    for key, repair in pack.repairs.items():
        yield from _repair(pack, ("repairs", key), repair)


def _repair(pack: Pack, place: Place, repair: Repair) -> Iterator[Remark]:
    given = _given(pack, repair.access, repair.cautions)
    yield from _steps(pack.family.id, place, " ".join(repair.steps), given)


def _steps(family: str, place: Place, steps: str, given: str) -> Iterator[Remark]:
    for danger in DANGERS:
        told = danger.told.search(steps)
        if told and not danger.needs.search(given):
            yield Remark(family, place, "caution", f"{danger.name} ('{told[0].strip()}'), and no caution says so",
                         danger.write)


def _given(pack: Pack, access: Sequence[str], own: Sequence[str]) -> str:
    """The step's own cautions and those of every cover that is opened for it."""
    said, todo = list(own), list(access)
    seen: set[str] = set()
    while todo:
        name = todo.pop()
        if name in pack.covers and name not in seen:
            seen.add(name)
            said += pack.covers[name].cautions
            todo += pack.covers[name].behind
    return " ".join(said)
