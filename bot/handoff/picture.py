"""The readings of a visit on their bands, as a picture that goes with the brief."""

from __future__ import annotations

from typing import Final

from bot.conversation.context import Context
from bot.conversation.facts import given_of
from bot.conversation.job import Job
from bot.conversation.picture import OnBands, Picture
from bot.conversation.questions.bands import alike, is_reading, on_bands

FEWEST: Final = 3
"""Readings from which a picture says more than the line of words."""
MOST: Final = 10
"""Rows that a phone still shows at once."""
_ORDER: Final = {"bad": 0, "suspect": 1, "good": 2}


def picture_of(job: Job, context: Context) -> Picture | None:
    """The last reading of each check: what is wrong first, then in the order they were told; None for too few."""
    pack = context.release.knowledge.packs.get(job.family or "")
    if pack is None:
        return None
    results = [f for f in job.standing("result") if f.subject in pack.checks]
    latest = {f.subject: f for f in results if is_reading(pack.checks[f.subject], f)}
    given = given_of(job)
    rows = [on_bands(pack.checks[key], fact, given, context.firm, alike(pack.checks[key], results))
            for key, fact in latest.items()]
    drawn = sorted((row for row in rows if row is not None), key=_urgency)[:MOST]
    return Picture(tuple(drawn)) if len(drawn) >= FEWEST else None


def _urgency(row: OnBands) -> int:
    return _ORDER[row.hit.verdict] if row.hit is not None else _ORDER["suspect"]
