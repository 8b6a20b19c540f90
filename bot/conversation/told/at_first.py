"""What somebody had found before anything was asked, or tells while the build is asked."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.told.at_dead_part import at_part_told, tells_at_part
from bot.conversation.told.of_another import ALL_OF_IT, of_another, out_of_turn
from bot.conversation.told.short_of_sure import called_well
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told, senseless
from bot.language.answers.about import covered, parts_of
from bot.language.answers.bands import usual
from bot.language.answers.found_first import found_first
from bot.language.answers.gainsaid import says_still
from bot.language.answers.hurt_part import is_hurt, is_its_own, mends
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.meaning import HeardResult
from bot.language.understand import understand
from knowledge.schema import Check


def seen_at_first(turn: Turn, text: str) -> list[HeardResult]:
    """What somebody found before anything was asked: 'found the belt snapped in the bottom' is the look at the belt,
    'fuse on the blower reads OL' the fuse."""
    if turn.job.question is not None or turn.job.family not in turn.context.release.knowledge.packs:
        return []
    volts = at_part_told(turn, text)
    heard = [volts] if volts is not None else []
    for part in parts_of(text):
        if volts is not None and tells_at_part(part):
            continue
        if tells_open(part) or tells_continuity(part):
            read = of_another(turn, part, ())
            heard += [read] if read is not None else []
            continue
        found = _FOUND.search(part)
        still = says_still(turn.context.release.index, part)
        its = out_of_turn(turn, found.group("what") if found is not None else part, ()) if (
            found is not None or still or is_hurt(part)) else None
        if its is None:
            fine = _called_fine(turn, part) if _WELL.search(part) else None
            heard += [fine] if fine is not None else []
            continue
        check = turn.pack.checks[its.check]
        if still and check.kind in {"look", "listen"} and its.result != usual(check) and not (
                check.results[its.result].complaints):
            heard.append(its)  # 'evap fan dont spin'
            continue
        told = its.result != usual(check) and not mends(text) and is_its_own(part, its.check, check, its.result)
        if (told and check.power != "run") or (found is not None and check.power == "off"):
            heard.append(its)
    return [*heard, *_learned(turn, text, {its.check for its in heard})]


def _called_fine(turn: Turn, part: str) -> HeardResult | None:
    """'Belt ok', 'cap seated': a look at one part that is called as it should be. What a run shows is run."""
    its = of_another(turn, part, ()) if _FINE.fullmatch(part.strip()) else None
    if its is None or not _looked_well(turn, its):
        its = called_well(turn, part)
    return its if its is not None and _looked_well(turn, its) else None


def _looked_well(turn: Turn, heard: HeardResult) -> bool:
    check = turn.pack.checks[heard.check]
    return check.kind in _LOOKS and check.power != "run" and heard.result == usual(check)


_LOOKS: Final = frozenset({"look", "feel", "turn"})
_FINE: Final = re.compile(
    r"(?:the |its |both |all )?(?:[a-z]+ )?[a-z]{4,} (?:is |are |looks? |looked |seems? |all )?"
    r"(?:fine|ok|okay|good|clean|clear|whole|tight|level)\W*", re.IGNORECASE)
"""A part of one or two words, and that it is well."""
_WELL: Final = re.compile(
    r"\b(?:fine|ok|okay|good|clean|clear|whole|tight|level|free|seated|soft|bright|straight|"
    r"(?:no|not|aint|isnt|arent|ain't|isn't|aren't) \w+)\b", re.IGNORECASE)
"""Words by which a part is called well."""


LIKELY: Final = 0.6
"""Chance from which on a result told with the trouble is filed (`tests.benchmarks.language.at_first`)."""


def _learned(turn: Turn, text: str, known: set[str]) -> list[HeardResult]:
    """What else a first line tells, by what was learned of such lines: 'wont spin belt came off', 'thermal fuse
    blown'."""
    if mends(text):
        return []
    index, family, evidence = turn.context.release.index, turn.job.family or "", evidence_of(turn.job)
    known |= {fact.subject for fact in turn.job.standing("result")}
    return [its for its in found_first(index, family, text, understand(index, text, family), LIKELY)
            if its.check not in known and holds_as_told(turn.pack.checks[its.check], evidence)
            and not senseless(turn.pack, turn.pack.checks[its.check], evidence)]


def run_as_told(turn: Turn, text: str) -> list[HeardResult]:
    """What a run would show, where a first line tells what fails and what does not, so that nothing else is left:
    'tumbles fine, stays cold'. What only the customer saw is run once more."""
    if turn.job.question is not None or turn.job.family not in turn.context.release.knowledge.packs:
        return []
    if _OF_THE_CUSTOMER.match(text):
        return []
    reported = {fact.subject for fact in turn.job.standing("complaint")}
    fine = {fact.subject for fact in turn.job.standing("denied")}
    fine |= {other for key in fine & set(turn.pack.complaints) for other in turn.pack.complaints[key].works_without}
    return [HeardResult(key, left[0], AS_TOLD) for key, check in turn.pack.checks.items()
            if check.kind == "run" and fine and any(check.told.get(one) == "where" for one in reported)
            and len(left := _left(check, reported, fine)) == 1]


def _left(check: Check, reported: set[str], fine: set[str]) -> list[str]:
    """The results of a run that what was told leaves open; none where it shows a trouble that nobody told of."""
    open_yet = {name: set(result.complaints) for name, result in check.results.items()
                if result.complaints and not set(result.complaints) & fine}
    return list(open_yet) if all(shown <= reported for shown in open_yet.values()) else []


AS_TOLD: Final = 0.9
_OF_THE_CUSTOMER: Final = re.compile(
    r"\W*(?:\w+ )?(?:cust\w*|owner|lady|tenant|she|he|they) (?:says?|said|claims?|reports?|complains?|told|tells)\b",
    re.IGNORECASE)


def seen_with_build(turn: Turn, text: str) -> list[HeardResult]:
    """How the part that tells the build was found, in the same words: 'belt, laying on the floor'."""
    said = " ".join(parts_of(text))
    its = out_of_turn(turn, said, ()) if is_hurt(said) and not mends(said) else None
    if its is None:
        return []
    check = turn.pack.checks[its.check]
    own = its.result != usual(check) and check.power != "run" and is_its_own(said, its.check, check, its.result)
    return [its] if own else []


def plainly_seen(turn: Turn, heard: Sequence[HeardResult], text: str) -> list[HeardResult]:
    """Of results told while the build is asked those of a look at a part that is named whole and is not as it should
    be: 'motor brushes are stubs'. 'Small relay and overload' is no try with a good one."""
    index, family = turn.context.release.index, turn.job.family or ""
    return [one for one in heard if turn.pack.checks[one.check].kind in {"look", "feel"}
            and not turn.pack.checks[one.check].tells_kind and one.result != usual(turn.pack.checks[one.check])
            and covered(index, family, text, one.check) >= ALL_OF_IT]


_FOUND: Final = re.compile(
    r"\b(?:found|(?:i (?:can )?|^\W*|(?:and|n) )see(?! (?:if|what|how|why|whether|no|nothing)\b)|i saw|saw (?=an? )|"
    r"spotted|theres|there is|turns out|encontre) (?:that )?(?:the |a |an |its )?"
    r"(?P<what>[^?]+)$", re.IGNORECASE)
