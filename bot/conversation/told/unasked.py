"""What nobody asked for: a result told beside the open question, and readings such as 'element reads 9000 ohm'."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard, hear_again
from bot.conversation.questions.checks import take_answer
from bot.conversation.questions.worded import answer_to, speaks_of
from bot.conversation.safety.alarming import take_alarming
from bot.conversation.told.at_dead_part import at_part_told, tells_at_part
from bot.conversation.told.at_home import of_place, of_thaw, place_told, thaw_told
from bot.conversation.told.by_hand import only_by_hand, with_what_was_done
from bot.conversation.told.heat import cools_off, heat_told, take_heat
from bot.conversation.told.labels import label_of_another
from bot.conversation.told.leak import leak_told, of_leak
from bot.conversation.told.legs import legs_told, take_legs
from bot.conversation.told.nearer import much_nearer, told_by_meaning
from bot.conversation.told.of_another import of_another, of_like_part, only_the_trouble
from bot.conversation.told.off_by import take_off_by
from bot.conversation.told.onset import beginning_in, beginnings_in, tells_only_beginning
from bot.conversation.told.readings import FEWEST, take_reading, tells_reading
from bot.conversation.told.stamped import of_stamp, stamp_told
from bot.conversation.told.tripped import half_tripped_told, take_half_tripped
from bot.conversation.told.windings import take_windings, tells_windings, windings_told
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import about, covered, parts_of, stems
from bot.language.answers.bands import usual
from bot.language.answers.beside_it import one_of_all
from bot.language.answers.both_ways import both_ways, of_a_switch, switched
from bot.language.answers.details import details_in
from bot.language.answers.foreign import PARTS, names_others
from bot.language.answers.half_tripped import half_tripped
from bot.language.answers.hurt_part import is_hurt
from bot.language.answers.legs import tells_of_legs
from bot.language.answers.measured import at_supply, readings_apart
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.answers.to_ground import reads_to_ground, without_ground
from bot.language.answers.unasked import NAMED, PLAIN, SURE
from bot.language.answers.volts import tells_volts
from bot.language.meaning import HeardResult
from bot.language.understand import understand
from knowledge.schema import Check


def set_aside(turn: Turn, text: str, asked: Sequence[str]) -> tuple[str, list[HeardResult]]:
    """The words that are for the checks that are asked, and the results that the rest tells of others."""
    if turn.job.family is None:
        return text, []
    plain = _plainly_of_another(turn, text, asked)
    if plain is not None:
        return plain
    kept: list[str] = []
    found: list[HeardResult] = []
    parts = with_what_was_done(parts_of(text))
    for at, part in enumerate(parts):
        began = beginning_in(turn, part)
        if began is not None and began.check not in asked:
            found.append(began)
        if tells_only_beginning(part) and not any(turn.pack.checks[key].begins for key in asked):
            continue
        heard = _told(turn, part, asked, alone=len(parts) == 1)
        of_others = _of_others(turn, heard, part)  # 'flap doesnt move' of a timer
        heard = _with_what_stands_before(turn, parts[:at][-1:], part, kept, asked) if of_others else heard
        if heard is None and of_others:
            continue
        if heard is None or (not heard.result and len(parts) == 1) or _noted_as_said(turn, part, heard):
            kept.append(part)
        elif heard.result:
            found.append(heard)
    readings = sum(tells_open(part) or tells_reading(part) or tells_continuity(part) for part in parts)
    whole = of_another(turn, text, asked) if not found and len(parts) > 1 and readings < 2 and not (
        _of_two_parts(parts)) else None
    if whole is not None and _of_one_piece(turn.pack.checks[whole.check], parts):
        return "", [_by_its_own_part(turn, parts, whole)]
    less = _without_the_trouble(turn, parts, text, asked) if not found else text
    if less != text:
        return less, []
    named = _named_or_needed(turn, text, asked, found) if len(parts) > 1 else found
    if len(named) < len(found):
        return text, named
    if not found and len(parts) == 1 and (nearer := much_nearer(turn, text, asked)) is not None:
        return "", [nearer]
    found = [_by_all_of_it(turn, text, heard) for heard in found]
    return (text, found) if len(kept) == len(parts) else (", ".join(kept), found)


def _told(turn: Turn, part: str, asked: Sequence[str], *, alone: bool) -> HeardResult | None:
    """The result of a check that is not asked, told in a part of a line, or in all of it (`alone`)."""
    return ((None if alone else label_of_another(turn, part, asked, whole=False))
            or only_by_hand(turn, part, asked) or of_like_part(turn, part, asked)
            or of_another(turn, part, asked) or told_by_meaning(turn, part, asked))


def _with_what_stands_before(turn: Turn, before: Sequence[str], part: str, kept: list[str], asked: Sequence[str],
                             ) -> HeardResult | None:
    """'Hood outside, flap doesnt move': a part of a line by the part that stands before it, which is taken out of what
    was kept; None where both tell nothing together."""
    whole = " ".join((*before, part))
    heard = _told(turn, whole, asked, alone=False) if kept[-1:] == list(before) != [] else None
    if heard is None or _of_others(turn, heard, whole):
        return None
    kept.pop()
    return heard


def _of_others(turn: Turn, heard: HeardResult | None, part: str) -> bool:
    """Whether words name parts of which the check that they seem to answer never speaks."""
    return heard is not None and bool(heard.result) and names_others(
        turn.job.family or "", turn.pack.checks[heard.check], part)


def _noted_as_said(turn: Turn, part: str, heard: HeardResult) -> bool:
    """Whether words say again what stands of one look, and only sound like another: 'motor runs but the basket just
    sits there' of a spin that was watched is no basket that has nothing to stop. What must not wait is heard."""
    check = turn.pack.checks[heard.check]
    if not heard.result or check.kind not in {"run", "time"} or check.results[heard.result].unsafe:
        return False
    noted = {fact.subject: fact.value for fact in turn.job.standing("result")
             if fact.subject in turn.pack.checks and fact.subject != heard.check}
    shows = set(check.results[heard.result].complaints)
    return any(
        (its := answer_to(turn, key, part)).result == value and its.p >= max(SURE, heard.p)
        and (not shows or shows & set(turn.pack.checks[key].results[value].complaints))
        for key, value in noted.items() if value in turn.pack.checks[key].results)


def _of_two_parts(parts: Sequence[str]) -> bool:
    """'Fuse good, element open': what is said of the one is not said of the other."""
    named = {frozenset(stems(part) & PARTS) for part in parts}
    return len(named - {frozenset()}) > 1


def _without_the_trouble(turn: Turn, parts: Sequence[str], text: str, asked: Sequence[str]) -> str:
    """'Every key beeps but it wont start' where it is asked which keys answer: by the rest of the line, if that is much
    surer. The trouble was told before, in these words or in others: 'all steps run, then i cant open it'."""
    if len(parts) < 2 or _how_sure(turn, text, asked) >= SURE:
        return text
    for told in (only_the_trouble, _means_the_trouble):
        rest = [part for part in parts if not told(turn, part)]
        left = ", ".join(rest)
        if 0 < len(rest) < len(parts) and _how_sure(turn, left, asked) >= PLAIN:
            return left
    return text


def _how_sure(turn: Turn, text: str, asked: Sequence[str]) -> float:
    """How surely words answer what is asked."""
    return max((its.p for key in asked if (its := answer_to(turn, key, text)).result is not None), default=0.0)


def _means_the_trouble(turn: Turn, part: str) -> bool:
    """Whether all that words tell is a trouble that stands."""
    meaning = understand(turn.context.release.index, part, family=turn.job.family)
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    told = {guess.id for guess in meaning.complaints if guess.p >= SURE}
    return bool(told) and told <= stands and not meaning.denied and not meaning.results


def _named_or_needed(turn: Turn, text: str, asked: Sequence[str], found: Sequence[HeardResult]) -> list[HeardResult]:
    """Of what the parts of a line tell of other checks, what names these; where all of the line plainly answers what is
    asked, a part that does not is a part of the answer: 'lamps come on, beeps, but no start'. Not so a hurt part."""
    whole = (answer_to(turn, key, text) for key in asked)
    if not any(its.result is not None and its.p >= PLAIN for its in whole) or is_hurt(text):
        return list(found)
    index, family = turn.context.release.index, turn.job.family or ""
    return [heard for heard in found if covered(index, family, text, heard.check) >= NAMED]


def _by_all_of_it(turn: Turn, text: str, heard: HeardResult) -> HeardResult:
    """'Only the oven is dead, all burners heat': the line as a whole tells more of a check than its last part. A part
    that sets one against the others tells it best: 'dont spark there, all the others do'."""
    its = answer_to(turn, heard.check, text)
    for part in parts_of(text) if heard.value is None else ():
        other = answer_to(turn, heard.check, part) if one_of_all(part) and not _ALL_WELL.search(part) else its
        if other is not its and other.result not in {None, heard.result} and other.p >= heard.p - BARELY:
            return HeardResult(heard.check, other.result, other.p)
    if heard.value is not None or its.result is None or its.p < max(SURE, heard.p):
        return heard
    return HeardResult(heard.check, its.result, its.p)


def _by_its_own_part(turn: Turn, parts: Sequence[str], heard: HeardResult) -> HeardResult:
    """'Float clicks fine. its the board i tell ya, burnt': what one part tells of a check by itself, and surer than all
    of the line does."""
    told = [(its.p, its.result) for part in parts if (its := answer_to(turn, heard.check, part)).result is not None]
    if heard.value is not None or len({result for _, result in told}) != 1 or max(told)[0] <= heard.p:
        return heard
    return HeardResult(heard.check, max(told)[1], max(told)[0])


BARELY: Final = 0.03
"""How much less sure than the part that names the thing. Judgement."""
_ALL_WELL: Final = re.compile(r"\b(?:fine|ok|okay|good|well|great|normal)\b", re.IGNORECASE)


def _plainly_of_another(turn: Turn, text: str, asked: Sequence[str]) -> tuple[str, list[HeardResult]] | None:
    """What is said in words that go with one check alone: the two legs, a breaker half tripped, another one's own
    label; and the parts of the line that say more."""
    label = label_of_another(turn, text, asked)
    if label is not None:
        return "", [label]
    for told, of_it in ((legs_told(turn, text), tells_of_legs), (half_tripped_told(turn, text), half_tripped),
                        (windings_told(turn, text), tells_windings), (stamp_told(turn, text), of_stamp),
                        (leak_told(turn, text, asked), of_leak), (heat_told(turn, text), cools_off),
                        (at_part_told(turn, text), tells_at_part), (_switch_told(turn, text), of_a_switch),
                        (place_told(turn, text), of_place), (thaw_told(turn, text), of_thaw)):
        if told is not None and told.check not in asked:
            parts = parts_of(text)
            left = [part for part in parts if not of_it(part)]
            return ", ".join(left) if len(left) < len(parts) else "", [told]  # none alone: it is told by all of them
    return None


def _switch_told(turn: Turn, text: str) -> HeardResult | None:
    """'Door switch good, 0 pressed and OL let go': the one switch that a line names and reads in both positions."""
    if both_ways(text) is None:
        return None
    evidence = evidence_of(turn.job)
    told = {key: result for key, check in turn.pack.checks.items()
            if (result := switched(check, text)) is not None and holds_as_told(check, evidence)}
    named = about(turn.context.release.index, turn.job.family or "", text, told)
    first, second = (*sorted(named.items(), key=lambda one: -one[1]), ("", 0.0), ("", 0.0))[:2]
    return HeardResult(first[0], told[first[0]], SURE) if first[1] > second[1] else None


def _of_one_piece(check: Check, parts: Sequence[str]) -> bool:
    """'120 on one leg and 0 on the other', 'belt slips n shiny': what the joint does not part."""
    return check.kind == "meter" or (not check.tells_kind and all(len(part.split()) < FEWEST for part in parts))


def file_besides(turn: Turn, found: Sequence[HeardResult]) -> bool:
    """File results that were told unasked; the answer says them back. True if anything was new."""
    before = turn.job.facts
    for heard in found:
        file_heard(turn, heard)
    return turn.job.facts != before


def take_details(turn: Turn, text: str) -> bool:
    """'While washing' of a machine that leaks, whatever is asked just now. True if it was news."""
    if turn.job.family not in turn.context.release.knowledge.packs:
        return False
    stands = [fact.subject for fact in turn.job.standing("complaint")]
    return file_besides(turn, details_in(turn.context.release.index, turn.job.family, text, stands))


def told_before(turn: Turn, text: str) -> bool:
    """Whether words say of another check than the one that is asked what was noted of it already, and nothing else."""
    question = turn.job.question
    if question is None or question.kind not in {"check", "variant"}:
        return False
    noted = {fact.subject: fact.value for fact in turn.job.standing("result") if fact.subject in turn.pack.checks}
    heard = {key: answer_to(turn, key, text) for key in noted if speaks_of(turn, key, text)}
    if not any(its.result == noted[key] and its.p >= SURE for key, its in heard.items()):
        return False
    return all(len(part.split()) == 1 or any(
        speaks_of(turn, key, part) or answer_to(turn, key, part).result == noted[key] for key in heard)
        for part in parts_of(text))


def take_unasked(turn: Turn, text: str) -> bool:
    """File readings on the one check each whose name or question speaks of the same part. True if one was found."""
    if turn.job.family is None:
        return False
    parts = [one for part in parts_of(text) if not _ASKS.match(part) for one in readings_apart(part)]
    told = [take(turn, text) for take in (take_half_tripped, take_legs, take_windings, take_heat, take_off_by)]
    if any(told):
        if turn.job.question is not None and not turn.go_on:
            return True
        parts = [part for part in parts if not (half_tripped(part) or tells_of_legs(part) or tells_windings(part))]
    asked, found = turn.job.question, any(told)
    for before, part in pairwise(("", *parts)):
        if turn.job.question is None or turn.job.question is asked:  # else something is asked of what was read
            found = (_take_no_ground(turn, part) or _take_volts(turn, part) or take_reading(turn, part)
                     or _of_the_same(turn, before, part) or found)
    found = found or (len(parts) > 1 and len(parts_of(text)) <= len(parts) and take_reading(turn, text))
    if turn.job.question is not None and turn.job.question is not asked:
        turn.go_on = False  # what is asked of a reading is answered first
    return found


_ASKS: Final = re.compile(
    r"\W*(?:(?:is|are|r|should|would|does|can|could)\b[^?]*\?|(?:what|whats|which|how many)\b)", re.IGNORECASE)
"""'Should the element read 10 ohm?' is no reading."""


def _take_no_ground(turn: Turn, part: str) -> bool:
    """'Cabinet's got no ground' on the check of its bond, to which it lies nearest. True if it was filed."""
    told = told_by_meaning(turn, part, (), 0.0) if without_ground(part) else None
    return told is not None and take_answer(turn, told.check, answer_to(turn, told.check, part), part)


def _take_volts(turn: Turn, part: str) -> bool:
    """'120 at the fan plug with the door switch held' on the one live check that it speaks of. True if it was filed."""
    live = [key for key, check in turn.pack.checks.items() if "meter" in check.tools and check.power != "off"
            and bool(check.at_outlet) == bool(at_supply(part)) and holds_as_told(check, evidence_of(turn.job))]
    weights = about(turn.context.release.index, turn.job.family or "", part, live) if tells_volts(part) else {}
    best = _of_what_is_in_hand(turn, [key for key, weight in weights.items() if weight >= max(weights.values())])
    its = answer_to(turn, best[0], part) if len(best) == 1 else None
    if its is None or its.result is None or its.p < PLAINLY:
        return False
    return take_answer(turn, best[0], its, part)


def _of_what_is_in_hand(turn: Turn, keys: Sequence[str]) -> list[str]:
    """Of checks that words speak of alike those with most words of what was found not to be as it should, then of what
    is asked: the plug of the fan that stands still, or that is read."""
    asked = turn.job.question.checks if turn.job.question is not None else ()
    ill = [fact.subject for fact in turn.job.standing("result") if fact.subject in turn.pack.checks
           and fact.value != usual(turn.pack.checks[fact.subject])]
    left = list(keys)
    for those in (ill, asked):
        words = stems(" ".join(_spoken(turn.pack.checks[key]) for key in those if key in turn.pack.checks))
        shared = {key: len(words & stems(_spoken(turn.pack.checks[key]))) for key in left}
        left = [key for key in left if shared[key] == max(shared.values())]
    return left


def _spoken(check: Check) -> str:
    return f"{check.name} {check.ask}"


PLAINLY: Final = 0.8
"""How likely words have to be as an answer to a live check that nobody asked, where they tell volts of its part."""


def _of_the_same(turn: Turn, before: str, part: str) -> bool:
    """'Heater 15 ohms and 30k to ground': what is read to bare metal is read of the part that was named before."""
    name = _TO_FIGURE.match(before)
    return name is not None and reads_to_ground(part) is not None and take_reading(turn, f"{name['name']} {part}")


_TO_FIGURE: Final = re.compile(r"(?P<name>[^\d]*?[a-z]{3,}[^\d]*?)\s*(?:\d|\bol\b)", re.IGNORECASE)


def hear_again_unasked(turn: Turn) -> None:
    """What was said before the family was known, heard as about that machine: also how it began, and readings."""
    texts = turn.job.position.unplaced
    hear_again(turn)
    if turn.job.family is None or turn.job.family not in turn.context.release.knowledge.packs:
        return
    for text in texts:
        file_besides(turn, beginnings_in(turn, text))
        take_alarming(turn, text)
        take_unasked(turn, text)
