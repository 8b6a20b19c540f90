"""What understanding gives back: plain values, no machinery."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Asked = Literal["ohm", "volt_ac", "volt_dc", "microfarad", "amp", "celsius", "fahrenheit",
                "continuity", "yes_no", "minutes", "rpm"]
Special = Literal["open", "zero", "beeps", "no_beep", "cant_measure", "yes", "no", "unsure"]
Hazard = Literal["gas", "co", "fire", "injury", "shock", "refrigerant", "flood"]


@dataclass(frozen=True, slots=True)
class Guess:
    """Something that was heard, with the calibrated probability that it was meant."""

    id: str
    p: float


@dataclass(frozen=True, slots=True)
class HeardResult:
    """The result of a check, heard in free text. `value` (SI) where the text gave a number."""

    check: str
    result: str
    p: float
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Clue:
    """Which words led to which meaning: text[start:end] -> what ('complaint:no_spin', 'denied:no_drain', ...)."""

    start: int
    end: int
    words: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a message says. Field names follow the `understand` contract."""

    family: str | None = None
    family_p: float = 0.0
    complaints: tuple[Guess, ...] = ()
    denied: tuple[str, ...] = ()
    variant: Mapping[str, str] = field(default_factory=dict)
    results: tuple[HeardResult, ...] = ()
    confident: bool = True
    handoff_only: str | None = None
    hazard: Hazard | None = None
    candidates: tuple[Guess, ...] = ()
    """When not confident: the complaints worth offering as choices, best first."""
    families: tuple[Guess, ...] = ()
    """Families worth offering when the text does not tell which."""
    small_talk: Literal["greeting", "thanks", "other"] | None = None
    """Nothing of the trade in it: greetings, thanks, prices, scheduling, abuse, attempts to instruct the bot."""
    clues: tuple[Clue, ...] = ()
    weighed: tuple[Guess, ...] = ()
    """All complaints that the text could report, also those too unlikely to list: for the owner's log."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A reading or short answer. Field names follow the `read` contract."""

    value: float | None = None
    low: float | None = None
    high: float | None = None
    special: Special | None = None
    unit_mismatch: bool = False
    unit: str | None = None
    multiple: tuple[float | str, ...] | None = None
    plausible: bool = True
    bare: bool = False
    """A number without a unit: `value` takes it for the base unit."""


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer to one open check, in free text."""

    result: str | None = None
    """Result id, when one is clear enough to act on."""
    p: float = 0.0
    heard: Heard | None = None
    """For a check with a reading: what was read, if there was a number or a special word."""
    near: tuple[Guess, ...] = ()
    """Results that could be meant when `result` is None, best first (for 'which of these')."""
    clues: tuple[Clue, ...] = ()
    none: Literal["cannot", "unsure"] | None = None
    """No result is named: the check cannot be made, or what it shows cannot be told."""
