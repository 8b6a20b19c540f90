"""A line that would be taken for an answer and is one to another look: the one it lies nearest to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.questions.no_word_on_it import condemns
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.of_another import BEYOND_DOUBT, only_the_trouble, said_whole, volts_at
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told, senseless
from bot.language.answers.about import about, stems
from bot.language.answers.likeness import own_words
from bot.language.answers.nearest import nearest_by_far, nearest_checks
from bot.language.answers.unasked import NOT_TOLD
from bot.language.meaning import HeardResult
from bot.language.words.text import plain_words

FAR_SURER: Final = 8.0
"""By how much the odds of another check have to be higher than of what is asked, for words to be no answer to that."""
SUREST: Final = 0.999
SURE_OF_IT: Final = 0.995
"""What is asked is answered from here on, whatever else words may tell."""


def much_nearer(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """'With the hose off it blows strong' where it is asked how the flap outside stands: it would be taken for an
    answer, and is one to another look much rather, though it has no words of that one's name. A meter's words go with
    many parts; words that name nothing, 'its clean', are on what is asked."""
    if len(stems(part) - _OF_ANYTHING) < FEWEST:
        return None
    own = max((its.p for key in asked if (its := answer_to(turn, key, part)).result is not None), default=None)
    if own is None or own >= SURE_OF_IT or condemns(part) or _word_for_word(turn, part, asked):
        return None
    for key in nearest_checks(turn.context.release.index, turn.job.family or "", part):
        if key in asked:
            continue
        check, its = turn.pack.checks[key], answer_to(turn, key, part)
        if check.kind in {"ask", "meter"} or check.tells_kind or its.result is None or its.p < BEYOND_DOUBT:
            continue
        if check.presumes and senseless(turn.pack, check, evidence_of(turn.job)):
            continue  # 'lint in the filter' is no word on where it smells, of a machine that does not
        if _far_surer(its.p, own) and holds_as_told(check, evidence_of(turn.job)) and said_whole(
                check.results[its.result], part):
            return HeardResult(key, its.result, its.p)
    return None


_OF_ANYTHING: Final = stems(
    "looks looked seems feels felt reads sounds pretty really real very quite nice nicely kinda still just this them "
    "actually totally completely perfectly so too yes yep yeah nope ok okay fine")
FEWEST, LONGEST = 2, 16
"""Telling words, and words, of such a part."""
AS_GOOD_AS_SURE: Final = 0.97
BY_FAR: Final = 0.03
"""By how much one check lies nearer than the next. Of 5,595 lines typed for one result each by people who saw the
choices, taken out of their talk, 869 are told so, .993 of them right; with none ahead 1,217, .969 of them right."""


def told_by_meaning(turn: Turn, part: str, asked: Sequence[str], ahead: float = BY_FAR) -> HeardResult | None:
    """The result of the one look that a part of a line lies near to by what it means, where it answers nothing that is
    asked: 'shipping bolt still in the back'. What smells or is asked of somebody is told in other ways."""
    if not _may_tell(turn, part) or any(answer_to(turn, key, part).result is not None for key in asked):
        return None
    index, family = turn.context.release.index, turn.job.family or ""
    spoken = about(index, family, part, turn.pack.checks)
    key = nearest_by_far(index, family, part, ahead) if spoken else None
    if (key is None or key in asked or spoken.get(key, 0.0) < max(spoken.values())
            or not _may_be_told(turn, key)):
        return None
    its = answer_to(turn, key, part)
    if its.result is None or its.p < AS_GOOD_AS_SURE:
        return None
    result = turn.pack.checks[key].results[its.result]
    new_troubles = set(result.complaints) - {fact.subject for fact in turn.job.standing("complaint")}
    return None if result.unsafe or new_troubles else HeardResult(key, its.result, its.p)


def _may_tell(turn: Turn, part: str) -> bool:
    """Whether words may tell a result by the way: neither a plan, nor a verdict, nor the trouble as it was told."""
    return len(stems(part)) >= FEWEST and len(part.split()) <= LONGEST and not (
        NOT_TOLD.search(part) or condemns(part) or volts_at(part) or only_the_trouble(turn, part))


def _may_be_told(turn: Turn, key: str) -> bool:
    """Whether a check is one whose result is told by the way, fits this machine, and has none yet."""
    check, evidence = turn.pack.checks[key], evidence_of(turn.job)
    known = any(fact.subject == key for fact in turn.job.standing("result"))
    return check.kind not in {"ask", "smell"} and not check.tells_kind and not known and holds_as_told(
        check, evidence) and not senseless(turn.pack, check, evidence)


def _far_surer(p: float, own: float) -> bool:
    """Whether a chance is far surer than that of what is asked."""
    return _odds(p) >= FAR_SURER * _odds(own)


def _odds(p: float) -> float:
    return p / (1 - min(p, SUREST))


def _word_for_word(turn: Turn, text: str, asked: Sequence[str]) -> bool:
    """Whether words are the pack's own for a result of what is asked."""
    said = plain_words(text)
    return any(said == plain_words(way) for key in asked for result in turn.pack.checks[key].results
               for way in own_words(turn.pack.checks[key], result))
