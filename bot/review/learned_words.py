"""What was learned, in the owner's words: for the terminal and for the pages."""

from __future__ import annotations

from math import exp
from typing import Final

from bot.followup.gate import LEAST, Score
from bot.review.learning import FRESH, FamilyLearning, Learning
from bot.review.naming import Names

_SUREST: Final = 1.96


def gate(family: FamilyLearning) -> str:
    """What the gate says of a family."""
    match family.gate:
        case "nothing":
            return "Nothing is confirmed yet."
        case "few":
            return (f"Too few: {family.full} of {LEAST} visits are confirmed in full (proved, at a known address, "
                    "thirty days quiet).")
        case "no_better":
            return "Not better than the packs, as far as can be told: it stays as it is."
        case "not_yet":
            return f"In force. More is offered after {FRESH} confirmed visits; there were {family.fresh} since."
        case "open":
            what = " and ".join(name for name, score in (("shares of faults", family.shares),
                                                         ("what checks show", family.rows)) if score.open)
            return f"Better than the packs: {what} may go live."


def gain(score: Score) -> str:
    """How much better it foretold: a factor on the chance that was given to what came true."""
    if score.visits == 0:
        return "not tried yet"
    if score.visits < 2:
        return "one visit says nothing"
    low, high = (exp(score.gain + sign * _SUREST * score.error) for sign in (-1, 1))
    return (f"{exp(score.gain):.2f} times the chance that the packs gave ({low:.2f} to {high:.2f}), "
            f"over {score.visits} visits")


def in_force(found: Learning, people: dict[str, str], day: str) -> str:
    """What holds now. `day`: of its application, as the reader writes days."""
    if found.in_force is None:
        return "In force: the packs as they are."
    return f"In force: what was learned, applied {day} by {applied_by(found, people)}."


def applied_by(found: Learning, people: dict[str, str]) -> str:
    """Who applied what is in force."""
    person = found.in_force.person if found.in_force is not None else None
    return people.get(person, "someone who left") if person is not None else "whoever opened the folder"


def offered(found: Learning, names: Names) -> str:
    """The families for which something would go live; empty for none."""
    return ", ".join(names.family(each.family) for each in found.families if each.offer is not None)
