"""'Direct drive' of a top loader: words that leave two builds, of which the tech is asked at once."""

from __future__ import annotations

from typing import Final

from bot.conversation.questions.asking import put
from bot.conversation.turn import Turn
from bot.language.machine.variants import builds_named
from bot.language.words.text import plain_words

LONGEST: Final = 6
"""Words of a line that tells a build and nothing else."""


def asks_which_build(turn: Turn, text: str) -> bool:
    """Ask which of the builds it is that go by these words. True if it was asked."""
    question = turn.job.question
    if question is None or question.kind not in {"check", "variant"} or len(text.split()) > LONGEST:
        return False
    known = {fact.subject for fact in turn.job.standing("variant")}
    known |= {axis for key in question.checks for axis in turn.pack.checks[key].only}  # 'no belt' told of a belt
    said = f" {' '.join(plain_words(text))} "
    named = builds_named(turn.context.release.index.builds_of(turn.pack.family.id), text)
    for axis, variant in turn.pack.family.variants.items():
        values = next((those for phrase, those in variant.either.items() if f" {phrase} " in said), ())
        told = axis in known or axis in named
        if told or not values or question.values == _choices(axis, values):
            continue
        turn.place(misses=0)
        turn.close_question(closed="passed")
        turn.note("variant.either")
        put(turn, "variant", _choices(axis, values), axis=axis, ask=variant.ask)
        return True
    return False


def _choices(axis: str, values: tuple[str, ...]) -> tuple[str, ...]:
    return (*(f"variant:{axis}:{value}" for value in values), "dont_know")
