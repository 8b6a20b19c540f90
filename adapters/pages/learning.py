"""What the firm's confirmed visits say otherwise than the packs: seen, applied, undone."""

from __future__ import annotations

from adapters.pages.web import Answer, Asked, Page, Redirect
from bot.review import learned_words, learning
from bot.store.errors import RefusedError

SHOWN = 12
"""Faults of a family that are shown at once; the rest is a touch away."""


def show(asked: Asked) -> Answer:
    """Each family with its faults, and what the gate says."""
    house = asked.house
    names = house.today()
    return Page("learned.html", {
        "found": learning.learning(house.store, names.knowledge, house.clock()), "names": names, "words": learned_words,
        "people": house.store.names(), "on": house.learning, "shown": SHOWN})


def apply(asked: Asked) -> Answer:
    """Put in force what was shown."""
    house = asked.house
    if not house.learning:
        raise RefusedError("learning is switched off in the settings file")
    learning.apply(house.store, house.today().knowledge, asked.visitor.person, house.clock(),
                   seen=asked.form.get("seen", ""))
    return Redirect("/learned", "learned")


def undo(asked: Asked) -> Answer:
    """Return to what was in force before."""
    number = asked.form.get("number", "")
    if not number.isdecimal() or len(number) > 12:
        raise RefusedError("that is no longer in force")
    learning.undo(asked.house.store, int(number), asked.visitor.person, asked.house.clock())
    return Redirect("/learned", "unlearned")
