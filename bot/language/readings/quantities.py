"""Units as technicians type them, to the units of the registry, and what each question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from bot.language.meaning import Asked
from bot.language.words.lexicon import data
from knowledge.units import registry

TYPED: Final[dict[str, str]] = {word: unit for unit, words in data("units").items() for word in words}
"""Word typed -> unit of `knowledge.units`. Readings of one letter depend on what was asked (see `unit_for`)."""
BASE: Final[dict[Asked, str]] = {
    "ohm": "ohm", "continuity": "ohm", "volt_ac": "volt", "volt_dc": "volt", "microfarad": "microfarad",
    "amp": "ampere", "celsius": "celsius", "fahrenheit": "fahrenheit", "minutes": "minute",
    "rpm": "rpm", "yes_no": "ohm"}
"""What a bare number is read as."""
_NAMES: Final = {"kohm": "ohm", "Mohm": "ohm", "mohm": "ohm", "mV": "volt", "kV": "volt", "ampere": "amp", "mA": "amp",
                 "microfarad": "farad", "kW": "watt"}
"""Names that the contract gives to quantities where they differ from the unit's own."""
_SAME: Final = {"celsius": "temperature", "fahrenheit": "temperature", "second": "time", "minute": "time",
                "hour": "time"}
USUAL: Final[dict[Asked, tuple[float, float]]] = {
    "ohm": (0.0, 200e6), "continuity": (0.0, 200e6), "volt_ac": (0.0, 500.0), "volt_dc": (-600.0, 600.0),
    "microfarad": (0.0, 5e-3), "amp": (0.0, 80.0), "celsius": (-60.0, 400.0), "fahrenheit": (-60.0, 400.0),
    "minutes": (0.0, 36 * 3600.0),
    "rpm": (0.0, 25_000.0), "yes_no": (0.0, 1e9)}
"""SI ranges that a reading on a household appliance can have: supply to 240 V (500 leaves room for slips of a
meter), 50 A circuits, pyrolysis near 480 C is not read by hand, motors to 20,000 rpm."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of the registry, the name the contract uses for its quantity, and what it measures."""

    name: str
    said: str
    measures: str
    factor: float = 1.0


def unit_named(name: str) -> Unit:
    """A unit of the registry."""
    said = _NAMES.get(name, name)
    return Unit(name, said, _SAME.get(said, said))


def unit_for(word: str, asked: Asked) -> Unit | None:
    """The unit a typed word stands for; a letter depends on what was asked: 'm' of a time, 'f' of a capacitor."""
    if word == "m" and asked in ("ohm", "continuity"):
        return Unit("ohm", "ohm", "ohm", 1e6)
    if word in ("m", "s", "h"):
        return unit_named({"m": "minute", "s": "second", "h": "hour"}[word]) if asked == "minutes" else None
    if word in _SMALLER:
        return Unit("microfarad", "farad", "farad", _SMALLER[word])
    if word == "f" and asked == "microfarad":
        return unit_named("microfarad")
    name = TYPED.get(word)
    return unit_named(name) if name else None


@cache
def _scale(unit: str) -> tuple[float, float]:
    """Factor and offset to base units, asked of the registry once a unit."""
    quantity = registry().Quantity
    zero = float(quantity(0.0, unit).to_base_units().magnitude)
    return float(quantity(1.0, unit).to_base_units().magnitude) - zero, zero


_SMALLER: Final = {"nf": 1e-3, "nanofarad": 1e-3, "nanofarads": 1e-3, "pf": 1e-6, "picofarads": 1e-6}
"""Parts of a microfarad; the packs never need them, so the registry has no such prefixes."""
FARADS: Final = 1e-6
"""The registry keeps capacitance in microfarads; the contract speaks of farads."""


def to_si(value: float, unit: str) -> float:
    """A value in base units: ohm, V, A, F, degrees C, s; rpm stays rpm."""
    factor, offset = _scale(unit)
    base = value * factor + offset
    return base * FARADS if unit == "microfarad" else base


def measures(asked: Asked) -> str:
    """The quantity a question asks for."""
    return unit_named(BASE[asked]).measures
