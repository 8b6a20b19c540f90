"""Which machine the words of a message speak of: the one that the chat is on, another open one, or a new one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from bot.conversation.context import Context
from bot.conversation.firm import JobBrief
from bot.language.answers.likeness import own_words
from bot.language.machine.kind_put_right import kind_put_right
from bot.language.understand import understand
from knowledge.schema import Pack

SURE: Final = 0.85
"""How surely a message must name another family before the tech is asked whether it is a new job."""
_AND_NO_MORE: Final = re.compile(
    r"\W*(?:(?:ok|so|and|now|back|on|over|go|going|to|about|for|re|the|my|our|again|one|job|machine|please|pls)\W+)*"
    r"(?P<name>.+?)(?:\W+(?:again|now|then|job|one|please|pls|next|first))*\W*", re.IGNORECASE)
"""A line that says where to go on, and nothing of the machine: 'back to the dryer'."""


@dataclass(frozen=True, slots=True)
class Meant:
    """Another open job whose machine is named; `alone`: nothing else is said."""

    job: JobBrief
    alone: bool


def open_job_named(text: str, focus: JobBrief, open_jobs: Sequence[JobBrief], context: Context) -> Meant | None:
    """The one other open job of the person's own whose kind of machine the words name, and not that of the job that
    the chat is on; None where a danger is named, or the kind is put right."""
    packs = context.release.knowledge.packs
    if focus.family not in packs or names_machine(text, [packs[focus.family]]):
        return None
    named = [job for job in open_jobs if job.family in packs and job.family != focus.family and not job.taken
             and names_machine(text, [packs[job.family]])]
    if len(named) != 1 or understand(context.release.index, text).hazard is not None:
        return None
    found = _AND_NO_MORE.fullmatch(text)
    forms = {name.lower() for forms in packs[named[0].family or ""].family.names.values() for name in forms}
    alone = found is not None and found["name"].lower() in forms
    return None if not alone and kind_put_right(packs, text, focus.family) is not None else Meant(named[0], alone)


def another_machine(text: str, focus: JobBrief, context: Context) -> bool:
    """Whether the words clearly name a machine of another family, with something wrong with it."""
    if focus.family is None:
        return False
    packs = context.release.knowledge.packs
    if not names_machine(text, [pack for key, pack in packs.items() if key != focus.family]):
        return False
    if kind_put_right(packs, text, focus.family) is not None:
        return False
    meaning = understand(context.release.index, text)
    if meaning.hazard is not None:
        return False
    return (meaning.family is not None and meaning.family != focus.family and meaning.family_p >= SURE
            and bool(meaning.complaints) and not _asked_after(packs[meaning.family], focus, packs[focus.family]))


def _asked_after(other: Pack, focus: JobBrief, own: Pack) -> bool:
    """Whether an open check of this machine asks after the other one: 'stove wont light either', of the house's gas."""
    asked = [own.checks[key] for key in focus.checks if key in own.checks]
    said = [text for check in asked for result in check.results for text in (check.ask, *own_words(check, result))]
    return names_machine(" / ".join(said), [other])


def names_machine(text: str, packs: Iterable[Pack]) -> bool:
    """Whether words name a machine of one of these kinds."""
    said = _apart(_NO_MACHINE.sub(" ", text))
    return any(_apart(name) in said for pack in packs for forms in pack.family.names.values() for name in forms)


_NO_MACHINE: Final = re.compile(
    r"\b(?:in|inside|within|above|below|over|out of|outside|beyond|end of|top of)(?: of)?"
    r"(?: (?:the|that|its|a|any|my|normal|usual|good|right|given|ok|spec|correct|proper|stated|whole|high|low|ohms?))* "
    r"ranges?\b|\b(?:ohms?|meter|highest|lowest|high|low|normal|auto|next|megohm|k|volts?|temp\w*) ranges?\b|"
    r"\branges? (?:of|from|is|on|it) (?:\d|the meter|my meter|a meter)|"
    r"\b(?:as|like) an? (?:\w+ )?washers?\b|"
    r"\b(?:rubber|flat|lock|thrust|fib(?:er|re)|nylon|plastic|metal|steel|brass|star|spring|hose|tap|tub|felt|sealing) "
    r"washers?\b(?= (?:is|was|under|on|in|at|behind|from|missing|gone|torn|worn|split|perished)\b|\W*$)|"
    r"\bwashers? (?:on|under|in|behind) the (?:shaft|bolt|screw|nut|hose|tap|valve|spindle|stud|fitting)\b",
    re.IGNORECASE)
"""A reading's range, 'above range'; the ring, and what only looks like one: 'flat as a washer'."""


def _apart(text: str) -> str:
    return " ".join(["", *re.findall(r"[^\W_]+", text.lower()), ""])
