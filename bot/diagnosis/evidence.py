"""What diagnosis is given and what it gives back: plain values, no machinery."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from bot.diagnosis.thresholds import HANDOFF_MINUTES

UNKNOWN = "unknown"
FITS_NOTHING: Final = "fits_nothing"
"""Id of the hand-off because the answers fit no known fault."""


@dataclass(frozen=True, slots=True)
class Seen:
    """The answer to a check: a result id, or a reading in SI units (`low`..`high` where a range was given).

    `given` holds what was true of this reading: ambient_c, watts, volts, meter lead resistance. `first`: another result
    that a first look gave, which fitted so badly that this one was asked for.
    """

    check: str
    result: str | None = None
    value: float | None = None
    low: float | None = None
    high: float | None = None
    first: str | None = None


@dataclass(frozen=True, slots=True)
class Repaired:
    """A repair (repair id, or the id of a fault whose repair is written inline) that was done and did not cure."""

    repair: str


@dataclass(frozen=True, slots=True)
class Evidence:
    """Everything known of one machine. Immutable; withdraw an answer by building one without it."""

    family: str
    variant: Mapping[str, str] = field(default_factory=dict)
    complaints: tuple[str, ...] = ()
    denied: tuple[str, ...] = ()
    history: tuple[Seen | Repaired, ...] = ()
    cannot: frozenset[str] = frozenset()
    """Checks that came back "can't", and tools that are not at hand."""
    given: Mapping[str, float] = field(default_factory=dict)
    """watts, volts, ambient_c, leads_ohm; what is missing is assumed from the pack's defaults."""

    @property
    def latest(self) -> tuple[Seen, ...]:
        """What was seen since the last repair, or at all where there was none."""
        last = max((i for i, fact in enumerate(self.history) if isinstance(fact, Repaired)), default=-1)
        return tuple(fact for fact in self.history[last + 1:] if isinstance(fact, Seen))


@dataclass(frozen=True, slots=True)
class Situation:
    """What bounds the next step: who stands there and how the machine stands."""

    signoffs: frozenset[str] = frozenset()
    open_covers: frozenset[str] = frozenset()
    power: Literal["on", "off", "unknown"] = "unknown"
    declined: frozenset[str] = frozenset()
    """Checks and repairs the tech refused or skipped: not offered again."""
    again: frozenset[str] = frozenset()
    """Checks that were asked once more because they fitted the rest badly."""
    handoff_minutes: float = HANDOFF_MINUTES
    """Cost of bringing in a senior, minute-equivalents."""


@dataclass(frozen=True, slots=True)
class Belief:
    """Posterior over faults and variants."""

    faults: tuple[tuple[str, float], ...]
    """(fault id, or "a+b" for a pair, or "unknown"; probability), best first, summing to 1."""
    variants: Mapping[str, Mapping[str, float]]
    misfit: float
    """0..1: share of visits of known faults whose answers since the last repair fit together better than these do
    (1 = fits nothing)."""
    surprise: float
    """Nats: sum of log marginals of those answers minus their joint; what `misfit` is read from."""


@dataclass(frozen=True, slots=True)
class Option:
    """One action that the planner weighed."""

    do: Literal["check", "repair", "handoff", "stop"]
    id: str
    minutes: float
    """Cost of this step itself, minute-equivalents, covers and risk included."""
    expected_minutes: float
    """Expected cost to a proven fix if it is taken now."""
    settles: tuple[tuple[str, float], ...] = ()
    """For a check: result id and its probability. For a repair: ("fixes", probability)."""


@dataclass(frozen=True, slots=True)
class Decision:
    """The planner's choice with the numbers that `why` is made of."""

    best: Option
    options: tuple[Option, ...]
    """The best few that were weighed, best first (for the trace and `why`)."""
    together: tuple[str, ...] = ()
    """Up to two more checks worth asking in the same message: behind the same open cover."""
    parts: tuple[tuple[str, str], ...] = ()
    """For `why`: (fault id it separates, result id that would point to it)."""
    again: bool = False
    """Whether the check was answered already and is asked once more: it fits the rest badly."""
    unsafe: bool = False
    """Whether the repair comes first because it mends what a check showed to be unsafe, likeliest or not."""


@dataclass(frozen=True, slots=True)
class Move:
    """How far one piece of evidence moved one fault (log10 units of odds; 1 = ten times likelier)."""

    evidence: str
    """'complaint:no_spin', 'denied:no_drain', 'check:belt_grip', 'repaired:...'"""
    fault: str
    bans: float
