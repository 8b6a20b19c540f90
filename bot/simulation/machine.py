"""Simulated machines: a variant, a fault, what it shows, and what each check would find on it.

Truth is drawn from the pack, perturbed: a firm's machines never follow the book. The perturbation is lasting (one
`World` a run), biased and not zero-mean, so that a model that trusts its numbers too much is found out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from random import Random
from typing import Literal

from bot.diagnosis.evidence import UNKNOWN
from knowledge.likelihood import distribution, probability
from knowledge.schema import Check, Pack

MISTOLD = 0.03
"""A complaint that a fault does not show is told of it all the same: this share of how often it is told at all."""
WRONG_ROWS = 0.05
"""Share of (fault, check) rows that are simply wrong in a noisy world: another fault's row stands there."""


Outside = Literal["strange", "left_out"]
"""A fault that is not in the book: one of no kind the pack knows, whose checks mostly find nothing and now and then
anything; or one of the pack's own, with the bot's copy of the pack lacking it."""


@dataclass(slots=True)
class World:
    """How one firm's machines differ from the pack. `noise` is the standard deviation of the log-likelihood shifts."""

    pack: Pack
    noise: float
    seed: int
    rows: dict[tuple[str, str], dict[str, float]] = field(default_factory=dict)
    rates: dict[str, float] = field(default_factory=dict)

    def frequencies(self) -> dict[str, float]:
        """Fault -> weight in this world."""
        rng = Random(f"{self.seed}/frequencies")
        return {f: e.frequency * math.exp(rng.gauss(0, self.noise / 2)) for f, e in self.pack.faults.items()}

    def row(self, fault: str, check: str) -> dict[str, float]:
        """Result -> probability on machines with this fault."""
        key = (fault, check)
        if key not in self.rows:
            self.rows[key] = self._row(fault, check)
        return self.rows[key]

    def _row(self, fault: str, check_id: str) -> dict[str, float]:
        check = self.pack.checks[check_id]
        rng = Random(f"{self.seed}/{fault}/{check_id}")
        source = fault
        if self.noise and rng.random() < WRONG_ROWS:
            source = rng.choice(list(self.pack.faults))
        said = said_row(self.pack, source, check_id, check)
        shifted = {r: p * math.exp(rng.gauss(0, self.noise)) for r, p in said.items()}
        total = sum(shifted.values())
        return {r: p / total for r, p in shifted.items()}

    def told(self, complaint: str) -> float:
        """Share of the family's machines that show the complaint, as the pack has it."""
        if complaint not in self.rates:
            faults = self.pack.faults.values()
            weight = sum(e.frequency for e in faults)
            self.rates[complaint] = sum(e.frequency * probability(e.shows[complaint]) for e in faults
                                        if complaint in e.shows) / weight
        return self.rates[complaint]

    def shows(self, fault: str, complaint: str) -> float:
        """Probability that a machine with this fault shows the complaint."""
        entry = self.pack.faults[fault]
        if complaint not in entry.shows:
            return MISTOLD * self.told(complaint)
        rng = Random(f"{self.seed}/{fault}/shows/{complaint}")
        p = min(0.99, max(0.01, probability(entry.shows[complaint])))
        odds = p / (1 - p) * math.exp(rng.gauss(0, self.noise / 2))
        return odds / (1 + odds)


def said_row(pack: Pack, fault: str, check_id: str, check: Check) -> dict[str, float]:
    """What the pack says of a check on a machine with `fault`: its own row, the fault's, or the normal one."""
    outcomes = tuple(check.results)
    own = check.likelihoods.get(fault) or pack.faults[fault].checks.get(check_id) if fault in pack.faults else None
    return distribution(own or check.likelihoods["normal"], outcomes)


@dataclass(slots=True)
class Machine:
    """One machine on one visit."""

    world: World
    fault: str
    variant: dict[str, str]
    complaints: tuple[str, ...]
    key: str
    """Names the machine: what it shows follows from this, the check and the repairs made, in whatever order it is
    looked at, so that the same machine meets every policy."""
    outside: Outside | None = None
    cured: bool = False
    found: dict[str, str] = field(default_factory=dict)
    repairs: int = 0

    def result(self, check_id: str) -> str:
        """What a careful look finds. The same until a repair changes the machine."""
        if check_id not in self.found:
            self.found[check_id] = self._draw(check_id)
        return self.found[check_id]

    def repair(self, repair: str) -> bool:
        """Carry a repair out. True if the machine is cured (the right one, and it worked)."""
        self.found = {}
        self.repairs += 1
        pack = self.world.pack
        if self.fault != UNKNOWN and pack.repair_of(self.fault)[0] == repair:
            self.cured = self.cured or self._chance(repair).random() < pack.repair_of(self.fault)[1].works
        return self.cured

    def _chance(self, of: str) -> Random:
        return Random(f"{self.key}/{of}/{self.repairs}")

    def _draw(self, check_id: str) -> str:
        chance = self._chance(check_id)
        check = self.world.pack.checks[check_id]
        for result, entry in check.results.items():
            if entry.identifies and all(self.variant.get(a) == v for a, v in entry.identifies.items()):
                return result
        if self.cured or (self.fault == UNKNOWN and chance.random() < 0.6):
            row = distribution(check.likelihoods["normal"], tuple(check.results))
        elif self.fault == UNKNOWN:
            row = {r: 1 / len(check.results) for r in check.results}
        else:
            row = self.world.row(self.fault, check_id)
        row = self._agreeing(check, row)
        return chance.choices(list(row), list(row.values()))[0]

    def _agreeing(self, check: Check, row: dict[str, float]) -> dict[str, float]:
        """Only results that agree with what the machine shows: one that never starts is not seen to start, and where a
        result counts as several complaints, one of them is enough."""
        shown = set() if self.cured else set(self.complaints)
        named = {c for entry in check.results.values() for c in entry.complaints} & shown
        agreeing = {r: p for r, p in row.items()
                    if (shown & set(check.results[r].complaints) if check.results[r].complaints else not named)}
        return agreeing or row


def draw_machine(world: World, key: str, *, outside: float = 0.0, kind: Outside = "strange") -> Machine:
    """The machine of that name; its fault stands outside the pack with probability `outside`, and it shows at least one
    complaint.

    First the fault, then a build that can have it: a frequency is a share of the family's visits, whatever the build. A
    fault to be left out of the pack is one that no other fault shares its repair with.
    """
    pack, rng = world.pack, Random(key)
    weights = world.frequencies()
    unknown = rng.random() < outside
    if unknown and kind == "left_out":
        weights = {f: w for f, w in weights.items() if len(pack.faults_of(pack.repair_of(f)[0])) == 1}
    while True:
        fault = rng.choices(list(weights), list(weights.values()))[0]
        shown = tuple(c for c in pack.complaints if rng.random() < world.shows(fault, c))
        if shown:
            break
    truth = UNKNOWN if unknown and kind == "strange" else fault
    return Machine(world, truth, _variant(pack, fault, rng), shown, key, outside=kind if unknown else None)


def _variant(pack: Pack, fault: str, rng: Random) -> dict[str, str]:
    """The build of a machine, of those that can have the fault."""
    rows = [row for row in pack.family.combinations
            if all(row.get(axis) in values for axis, values in pack.faults[fault].only.items())]
    if not rows:
        return {}
    row = rng.choices(rows, [float(r["share"]) for r in rows])[0]
    return {axis: str(value) for axis, value in row.items() if axis != "share"}
