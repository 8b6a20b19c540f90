"""What a line tells besides the answer to what is asked: which of it is a new trouble, which takes one back."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.conversation.job import Question
from bot.conversation.questions.worded import answer_to, speaks_of
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import CORRECTING
from bot.language.answers.about import parts_of, stems
from bot.language.complaints.dry_place import only_a_place_dry
from bot.language.complaints.temperatures import COLD_FAMILY
from bot.language.meaning import Guess, HeardResult, Meaning
from bot.language.understand import understand
from bot.language.words.text import plain_words

ANSWERED: Final = frozenset({
    "check", "finding", "consent", "repair", "proof", "closing", "due", "leave", "doubt_reading", "which_check"})
"""Questions at which words are most likely an answer, however they are put."""
FEW: Final = 4
LIKELY: Final = 0.9
BEYOND_DOUBT: Final = 0.98
NO_DOUBT: Final = 0.75
"""How sure an answer to what is open has to be that was not taken as one: 'sock in the pump' is no silent motor."""
_ON_TOP: Final = re.compile(
    r"\b(also|(and|but) now|now (it|its|theres|the)|another thing|other thing|on top of that|besides|as well|"
    r"new (problem|trouble)|tambien|además|ademas|otra cosa)\b", re.IGNORECASE)
"""Words that say of a trouble that it comes on top."""


def while_asked(turn: Turn, text: str, meaning: Meaning) -> Meaning:
    """Words while a question is open are most likely an answer put oddly: 'all heat', 'quiet and clean', 'buttons'.

    A few of them take no complaint back, and make one only if they could hardly mean anything else; while a check is
    open, only what is plainly a new trouble is one. Nor does a longer line take a complaint back that stands, unless it
    says that it corrects.
    """
    words, question = len(text.split()), turn.job.question
    if question is not None and question.kind == "variant" and question.data.get("axis") in meaning.variant:
        least = LIKELY if _says_more(turn, str(question.data["axis"]), text) else 1.1
        return replace(meaning, complaints=tuple(g for g in meaning.complaints if g.p >= least))  # 'display w keys'
    if question is None or question.kind not in ANSWERED or CORRECTING.search(text):
        return meaning
    if question.kind == "check":
        meaning = replace(meaning, complaints=_new_troubles(turn, question, text, meaning), results=tuple(
            r for r in meaning.results
            if r.check not in question.checks or (r.p >= NO_DOUBT and _may_mean(turn, text, r))))
    if words > FEW or question.kind != "check":
        stands, least = {f.subject for f in turn.job.standing("complaint")}, LIKELY if words > FEW else BEYOND_DOUBT
        return replace(meaning, complaints=tuple(g for g in meaning.complaints if g.p >= least),
                       denied=tuple(c for c in meaning.denied if c not in stands))
    return replace(meaning, denied=())


def _may_mean(turn: Turn, text: str, heard: HeardResult) -> bool:
    """Whether a line may at all mean a result as its answer: 'coil 1 open, coil 2 fine' is no handle that is open."""
    said = answer_to(turn, heard.check, text)
    return said.result is not None or any(guess.id == heard.result for guess in said.near)


def _says_more(turn: Turn, axis: str, text: str) -> bool:
    """Whether words say more than how the machine is built: 'push buttons n a clock' complains of neither."""
    builds = turn.pack.family.variants[axis].values.values()
    ways = " ".join(way for build in builds for those in build.phrases.values() for way in those)
    return bool(stems(text) - stems(f"{ways} {turn.pack.family.variants[axis].ask}") - _LITTLE)


_LITTLE: Final = stems("a n and w with it its has got have the just plain old yes yeah one of on")


def besides(text: str, meaning: Meaning) -> Meaning:
    """What an answer tells besides: no complaint in other words, but one that is said to come on top."""
    return replace(meaning, complaints=_on_top(meaning) if _ON_TOP.search(text) else (), denied=())


def measured(turn: Turn, question: Question, text: str) -> tuple[Guess, ...]:
    """Fridge or freezer warm or too cold by degrees that a line tells, while something else is asked: no other answer
    sounds like that."""
    asked = {word for key in question.checks for word in plain_words(turn.pack.checks[key].name)}
    if turn.job.family != COLD_FAMILY or asked & _OF_DEGREES:
        return ()
    index, parts = turn.context.release.index, [part for part in parts_of(text) if _DEGREES_IN.search(part)]
    heard = [g for part in parts for g in understand(index, part, family=COLD_FAMILY).complaints]
    return tuple(g for g in heard if g.id in BY_DEGREES and g.p >= LIKELY)


BY_DEGREES: Final = frozenset({"fresh_food_warm", "freezer_warm", "both_warm", "too_cold"})
_OF_DEGREES: Final = frozenset({"temperatures", "temperature", "thermometer", "settings", "sensor"})
_DEGREES_IN: Final = re.compile(
    r"\b(?:fridge|freezer|frzr?|frz|ff|fresh food)\b(?!\s*(?:was|set))\D{0,16}?-?\d{1,2} ?[fc]?\b"
    r"(?! ?(?:ohm|k|v|min|hour|day|w|in))", re.IGNORECASE)


def _on_top(meaning: Meaning) -> tuple[Guess, ...]:
    """The troubles of a line that says of them that they come on top."""
    return tuple(g for g in meaning.complaints if g.p >= LIKELY)


def _new_troubles(turn: Turn, question: Question, text: str, meaning: Meaning) -> tuple[Guess, ...]:
    """What a line tells of a new trouble: said to come on top, or beyond doubt and not about the check.

    Answers to checks name so many parts and noises that one in six of them sounds like some complaint.
    """
    if _ON_TOP.search(text):
        return _on_top(meaning)
    by_degrees = measured(turn, question, text)
    if by_degrees:
        return by_degrees
    if len(text.split()) <= FEW or only_a_place_dry(text) or any(
            answer_to(turn, key, text).near or speaks_of(turn, key, text) for key in question.checks):
        return ()
    return tuple(g for g in meaning.complaints if g.p >= BEYOND_DOUBT)
