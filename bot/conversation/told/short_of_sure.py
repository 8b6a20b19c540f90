"""'Coils are dirty' while the breeze is felt: words that answer nothing that is asked, and are most likely what one
other look shows. Short of sure, but better said back than not followed: a slip is seen at once, and `back` takes it
out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from bot.conversation.advance import ask_for
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.intake import file_heard
from bot.conversation.job import Question
from bot.conversation.questions.no_word_on_it import condemns
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.diagnosis.advice import telling_apart
from bot.diagnosis.setting import holds_as_told, senseless
from bot.language.answers.about import about, covered, stems
from bot.language.answers.bands import usual
from bot.language.answers.likeness import own_words
from bot.language.meaning import HeardResult
from knowledge.schema import Check

LONGEST: Final = 9
"""Words of a line that says one thing."""
FEWEST: Final = 2
LIKELY: Final = 0.6
"""How like a result words are at least."""
MOSTLY: Final = 0.5
"""Share of a look's name that is said of the part in view."""
NAMED_BY: Final = 2.5
"""Weight of words of its name from which on a look's part is named without all of them."""
CLEARLY: Final = 1.5
"""By how much more of one check's part is spoken than of any other's."""
_SEEN: Final = frozenset({"look", "feel", "turn", "listen"})
"""Kinds of checks that a tech makes in passing."""
_NOT_SEEN: Final = re.compile(
    r"\?|\b(will|would|should|could|might|maybe|think|guess|if|need|needs|want|wants|gonna|going to|yet|replaced|"
    r"swapped|customer|cust|says|said|claims|told|was|were|changed|new|last|before|havent|haven't|didnt|didn't|cant|"
    r"can't|no idea|dont know|dunno)\b", re.IGNORECASE)


def takes_likeliest(turn: Turn, text: str) -> bool:
    """File what a short line most likely tells of a look that nobody asked for, or ask for that look where it names its
    part and no more is clear. True if it did."""
    question = turn.job.question
    if question is None or question.kind not in {"check", "variant"} or not FEWEST <= len(text.split()) <= LONGEST:
        return False
    if _NOT_SEEN.search(text) or condemns(text) or any(c.isdigit() for c in text):
        return False
    spoken = about(turn.context.release.index, turn.job.family or "", text, _looks(turn, question))
    return _filed(turn, spoken, text) or (question.kind == "check" and _asked(turn, spoken, text))


def takes_plainly_another(turn: Turn, question: Question, text: str) -> bool:
    """File what a short line says of a part that nothing asked is on, where it might be an answer two ways: 'coil is a
    block of ice' at the freezer's wall. True if it was filed."""
    if not FEWEST <= len(text.split()) <= LONGEST or _NOT_SEEN.search(text) or condemns(text):
        return False
    if any(c.isdigit() for c in text):
        return False
    spoken = about(turn.context.release.index, turn.job.family or "", text, [*question.checks, *_looks(turn, question)])
    least = CLEARLY * max(spoken.pop(key, 0.0) for key in question.checks)
    return _filed(turn, {key: weight for key, weight in spoken.items() if weight > least}, text)


def called_well(turn: Turn, text: str) -> HeardResult | None:
    """'Filter clean', 'hose not kinked' beside the trouble in a first line: the look at that part, which is as it
    should be, without gainsaying the trouble; None for anything else, and where another look that would tell more has
    a part of that name: 'pump free' of a machine that does not drain is no wash pump."""
    if not FEWEST <= len(text.split()) <= SHORT or _NOT_SEEN.search(text) or condemns(text) or any(
            c.isdigit() for c in text):
        return None
    found = _likeliest(turn, about(turn.context.release.index, turn.job.family or "", text, _looks(turn, None)), text)
    if found is None or found.result != usual(turn.pack.checks[found.check]):
        return None
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    if any(stands & set(result.complaints) for result in turn.pack.checks[found.check].results.values()):
        return None
    telling = telling_apart(turn.model, evidence_of(turn.job), situation_of(turn.job, turn.context))
    alike = any(stems(text) & stems(turn.pack.checks[key].name) for key in telling)
    return found if found.check in telling or not alike else None


SHORT: Final = 6
"""Words of a part of a line that calls one thing well."""


def _looks(turn: Turn, question: Question | None) -> list[str]:
    """The looks that this machine has and that were not asked or answered."""
    evidence, noted = evidence_of(turn.job), {fact.subject for fact in turn.job.standing("result")}
    asked = question.checks if question is not None else ()
    return [key for key, check in turn.pack.checks.items()
            if check.kind in _SEEN and check.reading is None and key not in asked and key not in noted
            and holds_as_told(check, evidence) and not senseless(turn.pack, check, evidence)]


def _filed(turn: Turn, spoken: Mapping[str, float], text: str) -> bool:
    found = _likeliest(turn, spoken, text)
    if found is None or turn.pack.checks[found.check].results[found.result].unsafe or file_heard(turn, found) is None:
        return False
    turn.place(misses=0)
    turn.go_on = True
    return True


def _likeliest(turn: Turn, spoken: Mapping[str, float], text: str) -> HeardResult | None:
    """The result of the look that a line speaks of by far the most."""
    heard = {key: answer_to(turn, key, text) for key, weight in spoken.items() if weight > 0}
    told = {key: its.result for key, its in heard.items() if its.result is not None and its.p >= LIKELY
            and _says_so(turn.pack.checks[key], its.result, text)}
    key = _clearly(turn, {key: spoken[key] * heard[key].p for key in told})
    return None if key is None else HeardResult(key, told[key], LIKELY)


def _asked(turn: Turn, spoken: Mapping[str, float], text: str) -> bool:
    """'Belt is frayed' while the noise is placed: on to the belt, which he has in view."""
    index, family, thing = turn.context.release.index, turn.job.family or "", _thing(text)
    named = about(index, family, thing, spoken)
    key = _clearly(turn, {key: weight for key, weight in named.items() if weight > 0})
    if key is None or (named[key] < NAMED_BY and covered(index, family, thing, key) < MOSTLY):
        return False
    turn.mark()
    turn.place(misses=0)
    turn.close_question(closed="passed")
    turn.note("told.that_then")
    ask_for(turn, key)
    return True


def _thing(text: str) -> str:
    """What a line is said of: all before its verb, or all but its last word."""
    before = _SAID_OF_IT.split(text, maxsplit=1)
    return before[0] if len(before) > 1 else text.rpartition(" ")[0]


_SAID_OF_IT: Final = re.compile(
    r"\b(?:is|are|was|were|has|have|had|looks?|feels?|seems?|got|gets?|tries|trying|wont|dont|doesnt|does|makes?|keeps?|"
    r"moves?|turns?|goes|came|come|stays?|sits?|hangs?|full|packed|clogged|plugged|blocked|stuck|jammed|torn|loose|bent|"
    r"broken?|cracked|worn|dirty|clean)\b", re.IGNORECASE)


def _clearly(turn: Turn, weights: Mapping[str, float]) -> str | None:
    """The check that is spoken of by far the most; of several alike the one that would tell something now."""
    most = max(weights.values(), default=0.0)
    near = [key for key, weight in weights.items() if weight * CLEARLY > most > 0]
    if len(near) > 1:
        telling = telling_apart(turn.model, evidence_of(turn.job), situation_of(turn.job, turn.context))
        near = [key for key in near if key in telling]
    return near[0] if len(near) == 1 else None


def _says_so(check: Check, result: str, text: str) -> bool:
    """Whether words have one of the check's part and one of what the result says: 'dirty' alone may be of anything."""
    said, named = stems(text), stems(check.name)
    own = stems(" ".join(own_words(check, result))) - named
    well = result == usual(check) and said - named <= _WELL
    return bool(said & named) and (well or not own or bool(said & own))


_WELL: Final = stems("good fine okay alright sound normal great perfect new nice right well works working looks all "
                     "seems is looking brand like tip top")
"""What calls a part good and nothing else: 'switch is wet' does not."""
