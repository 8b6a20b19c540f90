"""What a search is given (how wide and deep), what it works on (levels of nodes), and what it finds."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from bot.diagnosis.compiled import Floats, Ints
from bot.diagnosis.problem import Access
from bot.diagnosis.thresholds import SEARCHED_MASS

Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Plan:
    """How wide and deep to look."""

    create: tuple[int, ...] = (1000, 6, 5, 3, 2)
    """Checks tried at each node of a level."""
    follow: tuple[int, ...] = (16, 6, 5, 3, 2)
    """Of these, how many are looked into further."""
    contenders: tuple[int, ...] = (8, 4, 4, 3)
    """How many of the root's actions stay in the race after two levels, after three, and so on."""
    nodes: int = 9000
    """Budget over all levels; shared out by how much a node's value may still move. It holds for up to `size`
    hypotheses and repairs together, and shrinks in proportion for larger problems."""
    size: int = 121
    share: float = SEARCHED_MASS
    """Of the belief, how much the hypotheses have that are searched on; 1: all of them."""
    prune: float = 0.002
    """Nodes of less than this share of the mass are leaves."""
    also: tuple[int, ...] = ()
    """Checks that are looked into at the root whatever their first value."""
    again: int = 0
    """Where a look left something out and took no more than half of this, a second one twice as wide and a few
    levels deeper may take so many nodes; 0: never."""

    def wider(self) -> Plan:
        """The plan of the second look."""
        return replace(self, create=(*(2 * c for c in self.create), 4, 4, 3, 3, 2, 2),
                       follow=(*(2 * f for f in self.follow), 4, 4, 3, 3, 2, 2),
                       contenders=tuple(4 * c for c in self.contenders), nodes=self.again, again=0)


@dataclass(slots=True)
class Level:
    """Nodes [N] of one depth, and the edges [E] that were tried from them."""

    belief: Floats
    sets: Ints
    done: Bools
    key: NDArray[np.uint64]
    mass: Floats = field(default_factory=lambda: np.zeros(0))
    value: Floats = field(default_factory=lambda: np.zeros(0))
    leaf: Floats = field(default_factory=lambda: np.zeros(0))
    """[N] cost of recovery alone."""
    bound: Floats = field(default_factory=lambda: np.zeros(0))
    """[N] a cost that no plan gets below."""
    pays: Bools = field(default_factory=lambda: np.zeros(0, dtype=bool))
    """[N] whether a check may pay."""
    repair: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    best: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """[N] index of the best edge, -1 where recovery alone is best."""
    parent: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    action: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """[E] check index, or -1 for the node's first repair."""
    base: Floats = field(default_factory=lambda: np.zeros(0))
    lost: Floats = field(default_factory=lambda: np.zeros(0))
    """[E] chance that the check turns out impossible, where that is rare and says nothing of the fault."""
    q: Floats = field(default_factory=lambda: np.zeros(0))
    child: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """[children] node in the next level."""
    child_edge: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    child_result: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))


@dataclass(frozen=True, slots=True)
class Found:
    """What the search found at the root. Values are divided by the root's mass: minutes."""

    stop: float
    """Recovery alone: repairs in order, hand-off."""
    repair: int
    """The first repair of that, -1 for hand-off."""
    repair_minutes: float
    """What that repair takes, covers and proof with it."""
    repair_value: float
    """Trying that repair first and then going on in the best way; inf for hand-off."""
    checks: dict[int, float]
    """Check -> expected minutes when it is made first."""
    levels: tuple[Level, ...]
    nodes: int
    access: Access
    """Of the problem as it was searched: its repairs are not all."""

    @property
    def value(self) -> float:
        """The least of all."""
        return min([self.stop, self.repair_value, *self.checks.values()])


def children_of(level: Level, nxt: Level, edges: Bools) -> Bools:
    """[nodes of the next level] whether some of the edges lead there."""
    there = np.zeros(len(nxt.belief), dtype=bool)
    there[level.child[edges[level.child_edge]]] = True
    return there
