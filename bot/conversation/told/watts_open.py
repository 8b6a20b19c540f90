"""Whether a heater's reading leaves open, while nobody has read its watts, that it is good."""

from __future__ import annotations

from bot.conversation.effects import Text
from bot.conversation.facts import given_of
from bot.conversation.turn import Turn
from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import Judged, expected, judge
from bot.diagnosis.thresholds import SURE
from knowledge.schema import Check


def heater(check: Check) -> bool:
    """Whether a check reads a heater's ohms, of which its watts say what is right."""
    return check.reading is not None and check.reading.expect is not None and check.reading.expect.model == "heater"


def watts_open(turn: Turn, key: str, value: float) -> bool:
    """Whether only its watts would tell if what a heater reads is right, and they are not known."""
    return (heater(turn.pack.checks[key]) and "watts" not in given_of(turn.job)
            and judged_as(turn, key, value).sure < SURE)


def judged_as(turn: Turn, key: str, value: float) -> Judged:
    """A reading by what is known of the plate."""
    return judge(turn.pack.checks[key], Seen(key, value=value), given_of(turn.job))


def ask_for_watts(turn: Turn, key: str, value: float) -> None:
    """Say that its watts decide, and what a usual one reads."""
    check = turn.pack.checks[key]
    good = expected(check, {})
    if good is None or check.reading is None or check.reading.expect is None or not watts_open(turn, key, value):
        return
    turn.note("watts.decide", reading=Text("reading", {"value": value, "quantity": "ohm"}),
              watts=f"{check.reading.expect.default['watts']:g}", good=Text("reading", {
                  "value": round(good.value), "quantity": "ohm"}))
