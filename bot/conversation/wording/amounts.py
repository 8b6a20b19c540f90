"""Chances, readings, minutes and money as a tradesman says them."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from bot.conversation.effects import Text
from bot.conversation.firm import Firm

_CHANCES: Final = ((0.965, "as good as certain"), (0.85, "about 9 in 10"), (0.75, "about 8 in 10"),
                   (0.65, "about 7 in 10"), (0.55, "about 6 in 10"), (0.45, "a coin toss"), (0.35, "about 4 in 10"),
                   (0.25, "about 3 in 10"), (0.15, "about 2 in 10"), (0.075, "1 in 10"), (0.035, "1 in 20"),
                   (0.015, "1 in 50"))
_UNITS: Final = {"ohm": "Ω", "volt_ac": "V", "volt_dc": "V", "microfarad": "µF", "amp": "A", "rpm": "rpm",
                 "celsius": "°C"}
_WEEKDAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")
COST_LIMITS: Final = {"low": 30, "medium": 120, "high": 300}
"""Upper ends of the cost bands in the firm's money, rough trade prices of generic parts: an estimate."""


def amounts(text: Text, firm: Firm) -> str | None:
    """What a key that stands for an amount says; None for other keys."""
    match text.key:
        case "chance":
            return chance(float(text.params["p"]))
        case "reading":
            return reading(float(text.params["value"]), str(text.params["quantity"]), firm)
        case "minutes":
            return minutes(float(text.params["minutes"]))
        case "ago":
            days = int(text.params["days"])
            return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")
        case "moment":
            on, at = day(date.fromisoformat(text.params["day"]), int(text.params["days"])), text.params["time"]
            return on if at == "00:00" else f"{on} {at}"
        case "day":
            return day(date.fromisoformat(text.params["day"]), int(text.params["days"]))
        case "price":
            return price(str(text.params["band"]), firm)
        case _:
            return None


def chance(p: float) -> str:
    """A probability in words: 'about 8 in 10', 'a coin toss', 'a long shot'."""
    return next((words for floor, words in _CHANCES if p >= floor), "a long shot")


def day(of: date, ahead: int) -> str:
    """A day as said on the phone: 'today', 'tomorrow', 'Friday', then 'Thursday, Dec 3', with the year if it is far."""
    if ahead in (0, 1):
        return ("today", "tomorrow")[ahead]
    if 1 < ahead < 7:
        return _WEEKDAYS[of.weekday()]
    year = f" {of.year}" if ahead > 180 else ""
    return f"{_WEEKDAYS[of.weekday()]}, {_MONTHS[of.month - 1]} {of.day}{year}"


def minutes(value: float) -> str:
    """Minutes as said on the phone: under ten to the minute, then in fives, from two hours in hours."""
    if value < 10:
        return f"{max(1, round(value))} minutes" if round(value) > 1 else "a minute"
    if value < 120:
        return f"{5 * round(value / 5)} minutes"
    return f"{value / 60:.1f} hours".replace(".0 ", " ")


def reading(value: float, quantity: str, firm: Firm) -> str:
    """A reading with its unit: '5.2 Ω', '9 kΩ', '40 °F'. `value` in the pack's units (SI, microfarad, seconds)."""
    if quantity in {"minutes", "seconds"}:
        return f"{_number(value / 60)} min" if value >= 90 or quantity == "minutes" else f"{_number(value)} s"
    if quantity == "celsius" and firm.temperature == "F":
        return f"{_number(value * 9 / 5 + 32)} °F"
    unit = _UNITS.get(quantity, "")
    if quantity == "microfarad" and 0 < abs(value) < 1e-2:
        value *= 1e6
    for factor, prefix in ((1e6, "M"), (1e3, "k")):
        if quantity == "ohm" and abs(value) >= factor:
            return f"{_number(value / factor)} {prefix}{unit}"
    return f"{_number(value)} {unit}".strip()


def price(band: str, firm: Firm) -> str:
    """A cost band as a price band of the part."""
    low, medium, high = (COST_LIMITS[b] for b in ("low", "medium", "high"))
    money: dict[str, Any] = {
        "none": "nothing for parts",
        "low": f"under {low} {firm.currency} for the part",
        "medium": f"{low} to {medium} {firm.currency} for the part",
        "high": f"{medium} to {high} {firm.currency} for the part",
        "very_high": f"over {high} {firm.currency} for the part",
    }
    return str(money[band])


def _number(value: float) -> str:
    if value == 0:
        return "0"
    shown = f"{value:.3g}"
    return f"{float(shown):,.0f}" if "e" in shown or abs(value) >= 100 else shown
