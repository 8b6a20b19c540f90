"""What goes wrong on the way: planned call by call, or by chance at a steady rate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Any, Literal

Kind = Literal[
    "flood",    # 429 with retry_after, nothing done
    "markup",   # 400, as for HTML that cannot be read, nothing done
    "error",    # 500, nothing done
    "gateway",  # 502 with a page instead of JSON, nothing done
    "cut",      # the connection is cut, nothing done
    "lost",     # done, but the connection is cut instead of an answer
    "torn",     # done, but the answer ends in the middle
    "hang",     # nothing done and no answer, until the caller gives up
    "late",     # done, but the answer comes after the caller gave up
]
DONE: frozenset[str] = frozenset({"lost", "torn", "late"})
"""Kinds after which the caller cannot know that it was done."""


@dataclass(slots=True)
class Planned:
    """A fault for the next `times` calls of `method` that `when` accepts."""

    method: str
    kind: Kind
    times: int = 1
    retry_after: int = 1
    when: Callable[[Mapping[str, Any]], bool] = lambda _: True


@dataclass(slots=True)
class Faults:
    """The faults of one server, and how many of each kind there were."""

    planned: list[Planned] = field(default_factory=list)
    count: Counter[str] = field(default_factory=Counter)
    done: Counter[str] = field(default_factory=Counter)
    """Method -> calls that were done though the caller could not know."""
    _rate: float = 0.0
    _kinds: tuple[Kind, ...] = ()
    _chance: Random = field(default_factory=Random)
    _spared: frozenset[str] = frozenset()

    def plan(self, method: str, kind: Kind, times: int = 1, *, retry_after: int = 1,
             when: Callable[[Mapping[str, Any]], bool] = lambda _: True) -> None:
        """Have the next calls of that method fail."""
        self.planned.append(Planned(method, kind, times, retry_after, when))

    def by_chance(self, rate: float, kinds: Sequence[Kind], seed: int, spared: Sequence[str] = ()) -> None:
        """From now on, that share of all calls but those of `spared` methods fails in one of these ways."""
        self._rate, self._kinds, self._chance, self._spared = rate, tuple(kinds), Random(seed), frozenset(spared)

    def next(self, method: str, call: Mapping[str, Any]) -> tuple[Kind, int] | None:
        """What happens to this call, if anything does: the kind and its retry_after."""
        for fault in self.planned:
            if fault.times and fault.method in (method, "*") and fault.when(call):
                fault.times -= 1
                self.count[fault.kind] += 1
                return fault.kind, fault.retry_after
        if self._rate and method not in self._spared and self._chance.random() < self._rate:
            kind = self._chance.choice(self._kinds)
            self.count[kind] += 1
            return kind, 1
        return None
