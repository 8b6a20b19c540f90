"""Saying back, in half a line, what was taken from a message, so that a misreading is visible at once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from bot.conversation.effects import Text
from bot.conversation.job import Fact
from bot.conversation.told.watts_open import watts_open
from bot.conversation.turn import Turn, capital
from bot.language.answers.about import stems


def echo(turn: Turn) -> Text | None:
    """What this turn's facts say, or None if there is nothing to say back. An answer put right is said elsewhere."""
    put_right = {t.params["name"] for t in turn.texts if t.key.startswith("revised.")}
    fresh = [f for f in turn.job.standing() if f.turn == turn.key
             and not (f.kind == "result" and turn.pack.checks[f.subject].name in put_right)]
    new_family = any(f.kind == "family" for f in fresh)
    variants = [f for f in fresh if f.kind == "variant"]
    named = [turn.pack.family.variants[f.subject].values[f.value].name for f in variants]
    if new_family:
        beside = phrases(turn, [fact for fact in fresh if fact.kind != "result"])
        fresh = [fact for fact in fresh if not _said_anyway(turn, fact, beside)]
    said = [phrase for phrase in phrases(turn, fresh) if phrase not in named]  # the machine's name says it
    if not (said or new_family or variants):
        return None
    if new_family or variants:
        machine = machine_name(turn, variants)
        if not said:
            return Text("echo.machine", {"machine": capital(machine)})
        return Text("echo.full", {"machine": capital(machine), "said": said})
    return Text("echo.said", {"said": said})


def machine_name(turn: Turn, variants: Iterable[Fact]) -> str:
    """'belt-drive top-load washer', from the variants that are known."""
    names = [turn.pack.family.variants[f.subject].values[f.value].name for f in variants]
    return ", ".join([turn.pack.family.name, *names])


def phrases(turn: Turn, facts: Iterable[Fact]) -> list[Text | str]:
    """Each fact in a few words: what works first, then what does not, then what was found."""
    works: list[Text | str] = []
    fails: list[Text | str] = []
    found: list[Text | str] = []
    for fact in facts:
        if fact.kind == "denied" and fact.subject in turn.pack.complaints:
            works.append(turn.pack.complaints[fact.subject].works)
        elif fact.kind == "complaint" and fact.subject in turn.pack.complaints:
            fails.append(turn.pack.complaints[fact.subject].says)
        elif fact.kind == "result":
            found.append(said_of(turn, fact))
        elif fact.kind == "cannot" and fact.subject in turn.context.release.knowledge.common.tools:
            found.append(Text("echo.cannot", {"what": what_name(turn, fact.subject)}))
    said = [*works, *fails, *found]
    within = [part for phrase in said if isinstance(phrase, str) and ", " in phrase for part in phrase.split(", ")]
    told: list[Text | str] = []
    for phrase in said:
        if phrase not in told and phrase not in within:
            told.append(phrase)
    return told


def _said_anyway(turn: Turn, fact: Fact, beside: Iterable[Text | str]) -> bool:
    """Whether a result with no figure says no more than what is said beside it: 'fridge warm, freezer right' after
    'fridge part warm, freezer holds'."""
    if fact.kind != "result" or fact.number is not None:
        return False
    said, told = said_of(turn, fact), stems(" ".join(phrase for phrase in beside if isinstance(phrase, str)))
    own = stems(said) if isinstance(said, str) else frozenset()
    return len(own) >= FEWEST and len(own & told) >= MOSTLY * len(own)


FEWEST: Final = 3
MOSTLY: Final = 0.6
"""Share of the words of a result, of three or more, that make it say nothing new."""


def said_of(turn: Turn, fact: Fact) -> Text | str:
    """A result as a fact in words, with the reading where there was one."""
    check = turn.pack.checks[fact.subject]
    says = check.results[fact.value].says if fact.value in check.results else check.name
    if fact.number is None or check.reading is None:
        return says
    reading = Text("reading", {"value": fact.number, "quantity": check.reading.quantity})
    if watts_open(turn, fact.subject, fact.number):
        return Text("echo.reading_alone", {"name": check.name, "reading": reading})
    return Text("echo.reading", {"name": check.name, "reading": reading, "says": says})


def what_name(turn: Turn, subject: str) -> str:
    """The name of a check or a tool."""
    if turn.job.family is not None and subject in turn.pack.checks:
        return turn.pack.checks[subject].name
    if turn.job.family is not None and (cover := subject.removeprefix("cover:")) in turn.pack.covers:
        return turn.pack.covers[cover].name
    tools = turn.context.release.knowledge.common.tools
    return tools[subject].name.removeprefix("a ").removeprefix("an ") if subject in tools else subject.replace("_", " ")
