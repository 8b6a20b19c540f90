"""Answers of which a part is denied, or stands against the rest: 'both on, not hot', 'rack level but tube torn'."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from typing import Final

from bot.language.answers.about import parts_of
from bot.language.answers.bands import usual
from bot.language.answers.likeness import Likeness
from bot.language.meaning import Answer, Clue, Guess
from bot.language.words.text import plain_words, word_set
from knowledge.schema import Check

CLEAR: Final = 0.75
"""A result is acted on from this probability on: a wrong one costs five messages, one that is asked again costs one. Of
those from .7 to .75 one in six is wrong, of those above one in fifty (`tests.benchmarks.language.weighed`)."""
CLEAR_UNASKED: Final = 0.8
"""The same by comparison alone, where nobody asked: below it one in four is wrong."""
WORTH_ASKING: Final = 0.12
EVEN: Final = 0.42
"""Chance of each of a few results of which any may be meant."""
LIKELY_ILL: Final = 0.9
"""How sure the part after 'but' has to be, where all of it sounds as if nothing were wrong."""
_BUT: Final = re.compile(r"\b(?:but|except)\b", re.IGNORECASE)
_IDLE: Final = word_set("its it is the a that this they are was all yes no nah and but one looks look reads seems")


def after_but(entry: Check, text: str, found: Answer, ask: Callable[[str], Answer]) -> Answer:
    """'Rack level but the tube is cracked': of a look at several things the one that is not well counts. `ask`: what
    words answer to this check."""
    well, (first, *rest) = usual(entry), _BUT.split(text, maxsplit=1)
    if well is None or not rest or found.result not in {None, well}:
        return found
    if found.result is None and ask(first).result != well:
        return found
    other = ask(rest[0])
    least = CLEAR if found.result is None else LIKELY_ILL
    return other if other.result not in {None, well} and other.p >= least else found


def by_its_beginning(text: str, ask: Callable[[str], Answer]) -> Answer | None:
    """'Clean, no ice anywhere. temps coming down, 41 now': what a line of several sentences begins with, where that is
    plainly an answer and the rest is none. `ask`: what words answer to this check."""
    first, *rest = [part for part in _SENTENCES.split(text) if any(c.isalnum() for c in part)] or [""]
    if not rest:
        return None
    said, others = ask(first), [ask(part) for part in rest]
    plainly = said.result is not None and said.p >= LIKELY_ILL
    return said if plainly and not any(other.result or other.near or other.none for other in others) else None


_SENTENCES: Final = re.compile(r"(?<!\d)\.(?!\w)|\.(?=\s|$)|[;\n]")


def on_its_code(entry: Check, text: str, ask: Callable[[str], Answer]) -> Answer | None:
    """'No code, fills a bit slow', 'code was for the door, drains slow' by what is said of the code, where that is what
    is asked for: what the machine does beside is no word on it. None where all of a line may be."""
    if "code" not in plain_words(entry.name):
        return None
    parts = parts_of(text)
    own = ", ".join(part for part in parts if _CODE.search(part))
    if not own or all(_CODE.search(part) for part in parts) or _ONLY_SHOWS.fullmatch(own):
        return None
    found = ask(own)
    return found if found.p >= CLEAR or _NO_CODE.search(own) else None


_CODE: Final = re.compile(r"\b(?:error |fault )?codes?\b", re.IGNORECASE)
_ONLY_SHOWS: Final = re.compile(
    r"\W*(?:(?:it|she|its|got|has|have|had|shows?|showing|throws?|throwing|gives?|giving|flash\w*|blink\w*|with|w|a|an|"
    r"the|some|kind of|error|fault|up|on|display|screen)\W+)*codes?\W*", re.IGNORECASE)
"""'Shows a code': that there is one, and not what it is about."""
_NO_CODE: Final = re.compile(
    r"\b(?:no|not|never|without|aint|isnt|doesnt|dont|didnt)\b(?: \w+){0,3} (?:error |fault )?codes?\b", re.IGNORECASE)


def of_what_is_left(entry: Check, text: str, found: Answer, ruled_out: Collection[str], beside: str,
                    ask: Callable[[str], Answer]) -> Answer:
    """The answer of words that deny some of the results: the only one that is left, or what is said beside; what only
    denies calls no other part of it bad. `beside`: the words without what they deny."""
    left, well = [name for name in entry.results if name not in ruled_out], usual(entry)
    if found.result is None and len(left) == 1:
        return Answer(left[0], CLEAR, found.heard, clues=(Clue(0, len(text), text, f"result:{left[0]}"),))
    if set(plain_words(beside)) <= {*_IDLE, *plain_words(entry.name)}:
        bad = found.result is not None and found.result != well
        return Answer(heard=found.heard, near=even(well, found.result)) if bad else found
    other = ask(beside) if beside != text else Answer()
    if other.result not in left or other.result == found.result:
        return found
    return other if found.result is None else Answer(heard=found.heard, near=even(other.result, found.result))


def even(*names: str | None) -> tuple[Guess, ...]:
    """Results of which any may be meant."""
    return tuple(Guess(name, EVEN) for name in names if name is not None)


def without(alike: Likeness, ruled_out: Collection[str]) -> Likeness:
    """The likenesses without results that the words rule out; their chance goes to the others, if any is left."""
    left = [(name, p) for name, p in alike.results if name not in ruled_out]
    if not ruled_out or not left:
        return alike
    whole = sum(p for _, p in left) or 1.0
    all_of_it = 1.0 - sum(alike.none.values())
    return Likeness(tuple((name, p / whole * all_of_it) for name, p in left), alike.none)
