"""What must not get power again, said in passing while something else is asked: filed at once, with its instruction.

A burnt plug, hurt wires, mice, a wet floor with a breaker that trips, what heats with nobody asking, a new gas line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from bot.conversation.events import Typed
from bot.conversation.facts import STAYS_OPEN, evidence_of, not_to_run
from bot.conversation.intake import file_result, stands_told
from bot.conversation.questions.worded import answer_to
from bot.conversation.safety.gas_joint import take_gas_joint
from bot.conversation.safety.heat_unasked import UNASKED
from bot.conversation.safety.taped import HARNESS, HURT, take_taped
from bot.conversation.turn import Turn
from bot.conversation.wording.over import told_over
from bot.diagnosis.belief import moot_checks
from bot.diagnosis.evidence import Belief, Option
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import about, parts_of
from bot.language.answers.by_hand import by_another_hand
from bot.language.answers.left_off import found_off
from bot.language.dangers.defeated import bypassed, cracked_top, guard_bridged
from bot.language.dangers.hurt_wiring import hurt_wiring, mice_in_it, seen_on_wires, wet_and_trips
from bot.language.dangers.unasked_heat import heats_unasked, on_air_too
from bot.language.dangers.unsafe_seen import burnt_part, hot_at_feed, smelt_at_cord, stays_on, unsafe_seen
from knowledge.likelihood import probability

COOKTOP: Final = "cooktop"
"""The cover of a range that is its glass."""
STAYS_ON: Final = "wont_turn_off"
"""The complaint of a range that heats with its knob off."""
WIRED: Final = re.compile(r"\b(?:wires?|plug|connector)\b")
"""The name of a check that looks at the wires of one part."""
_WIRE: Final = re.compile(r"\b(?:wires?|wiring|harness|spades?|connectors?|splice)\b", re.IGNORECASE)
LEAKS: Final = frozenset({"leaks", "water_on_floor"})
TRIPS: Final = "trips_breaker"
BROKEN: Final = "part_broken"
"""The complaint of a knob or hinge, that a broken wire sounds like."""
SHOCK: Final = "electric_shock"
"""The complaint that bare copper sounds like, with nobody who felt anything."""
FELT: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|buzz\w*|nailed|electrocut\w*|felt|feel\w*|touch\w*|"
    r"toques?|corriente)\b", re.IGNORECASE)
FEED: Final = ("terminal_block_look", "box_look", "outlet_look", "cord_look")
"""The looks along a cord, from the machine to the wall."""
OUTLET: Final = 2
"""Which of them is the plug and the wall."""
LOOKS: Final = {"feed.noted": FEED, "wires.noted": (HARNESS,), "mice.noted": (HARNESS,),
                "bridged.fuse": ("thermal_fuse_ohms", "fuse_ohms"), "bridged.guard": ("high_limit_ohms", "limit_ohms"),
                "smelt.cord": ("terminal_block_look", "box_look", "cord_look", "outlet_look"),
                "smelt.outlet": ("outlet_look", "cord_look"), "hot_feed.outlet": ("outlet_look", "cord_look"),
                "hot_feed.cord": ("terminal_block_look", "box_look", "cord_look", "outlet_look")}
"""Note -> the looks that come next, the likeliest first."""


def take_alarming(turn: Turn, text: str) -> str | None:
    """File what words say of a burnt plug, a bare cord, what heats unasked. What else they say, '' where that was
    all; None where they say nothing of the kind."""
    if turn.job.family not in turn.context.release.knowledge.packs:
        return None
    taped = take_taped(turn, text)
    if taped is not None:
        return taped
    question = turn.job.question
    asked = question.checks if question is not None else ()
    wet = _keep_dry(turn, text)
    parts = parts_of(text)
    told = [part for part in parts if _take(turn, part, asked, text)]
    if any(guard_bridged(part) for part in told):
        told += [part for part in parts if told_over(part) is not None]  # that it runs on a jumper mends nothing
    return ", ".join(part for part in parts if part not in told) if told or wet else None


def other_end(turn: Turn, check: str, result: str) -> None:
    """A burnt plug that was asked for: the cord's other end comes next, as where it was told in passing."""
    if check == FEED[OUTLET] and turn.pack.checks[check].results[result].unsafe and _unseen(turn, FEED):
        turn.note("feed.noted")


def tells_alarming(turn: Turn, text: str) -> bool:
    """Whether words say of something that was seen that it must not get power again, before anything is filed of it."""
    return turn.job.family in turn.context.release.knowledge.packs and any(
        unsafe_seen(part, turn.job.family) or hurt_wiring(part) or burnt_part(part) or bypassed(part)
        or guard_bridged(part) or cracked_top(part, turn.job.family) for part in parts_of(text))


def wires_first(turn: Turn) -> str | None:
    """The look that comes next, where a burnt plug, mice, hurt wires or a smell at the feed were told just now and
    nobody has looked; None else."""
    wanted = [key for text in turn.texts for key in LOOKS.get(text.key, ())]
    return next(iter(_unseen(turn, wanted)), None)


def hurt_wires_first(turn: Turn, belief: Belief, best: Option) -> Option:
    """The repair of wires that were seen hurt just now, where they may well be what is wrong, instead of another
    look: it is due before any power, whatever that would tell. Else what was chosen."""
    if best.do != "check" or not any(
            f.turn == turn.key and (f.subject, f.value) == (HARNESS, HURT) for f in turn.job.standing("result")):
        return best
    rows = turn.pack.checks[HARNESS].likelihoods
    shown = {fault: p for fault, p in belief.faults if probability(rows.get(fault, {}).get(HURT, 0.0)) >= SHOWS_IT}
    likeliest = max(shown, key=shown.__getitem__, default=None)
    if likeliest is None or sum(shown.values()) < LIKELY:
        return best
    repair, entry = turn.pack.repair_of(likeliest)
    return Option("repair", repair, entry.minutes, entry.minutes)


SHOWS_IT: Final = 0.5
"""A fault that shows hurt wires more often than not is one of the wires."""
LIKELY: Final = 0.3
"""Chance from which they are mended first. Judgement: nothing gets power before they are, cured or not."""


def _unseen(turn: Turn, keys: Iterable[str]) -> list[str]:
    """Of some checks those that this machine has and nobody has made yet."""
    seen = {fact.subject for fact in turn.job.standing("result", "declined", "cannot")}
    seen |= set(moot_checks(turn.pack, evidence_of(turn.job)))
    return [key for key in keys if key in turn.pack.checks and key not in seen
            and holds_as_told(turn.pack.checks[key], evidence_of(turn.job))]


def _take(turn: Turn, part: str, asked: tuple[str, ...], line: str) -> bool:
    checks = turn.pack.checks
    for check, result in unsafe_seen(part, turn.job.family, line):
        if check in asked or _answers_unsafe(turn, part, asked, check):
            return False
        if check in checks and by_another_hand(checks[check], result, part):
            continue
        if check in checks and result in checks[check].results:
            file_result(turn, check, result)
            if check in FEED and _unseen(turn, FEED) and all(text.key != "feed.noted" for text in turn.texts):
                turn.note("feed.noted")
            return True
    too_hot = any(f.subject == "too_hot" for f in turn.job.standing("complaint"))
    if UNASKED in turn.pack.complaints and (heats_unasked(part) or (too_hot and on_air_too(part))):
        return stands_told(turn, UNASKED)
    if STAYS_ON in turn.pack.complaints and stays_on(part) and "off_check" not in asked:
        return stands_told(turn, STAYS_ON)
    return (_smelt(turn, part, asked) or _burnt(turn, part, asked) or _hurt(turn, part, asked)
            or _mice(turn, part, asked) or _off(turn, part, asked) or _defeated(turn, part, asked)
            or take_gas_joint(turn, part, line))


def _keep_dry(turn: Turn, text: str) -> bool:
    """Water on the floor and a breaker that trips: nobody stands in it to try once more. True if it was news."""
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    if turn.job.position.machine.stays_dead or not (wet_and_trips(text) or (LEAKS & stands and TRIPS in stands)):
        return False
    turn.machine(stays_dead=True)
    turn.note("wet_trips.noted")
    return True


def _smelt(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """Something burnt that is smelt where the power comes in, or a plug that got hot: no power until somebody has
    looked. A nose is no look."""
    smelt, where = smelt_at_cord(part), smelt_at_cord(part) or hot_at_feed(part)
    if where is None or _answers(turn, part, asked):
        return False
    if not turn.job.position.machine.stays_dead:
        turn.machine(stays_dead=True)
        turn.note(f"smelt.{where}" if smelt is not None else f"hot_feed.{where}")
    return True


def _hurt(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """Wires that are chewed, bare or broken: no power until they are made new. Seen, they are what the look along the
    wires shows."""
    if not hurt_wiring(part) or _answers(turn, part, asked):
        return False
    if not turn.job.position.machine.stays_dead:
        turn.machine(stays_dead=True)
        turn.note("wires.noted")
    if mice_in_it(part):
        turn.note("mice.clean")
    misheard = {BROKEN} if FELT.search(turn.event.text if isinstance(turn.event, Typed) else part) else {BROKEN, SHOCK}
    turn.withdraw([f for f in turn.job.standing("complaint") if f.subject in misheard and f.turn == turn.key])
    check = turn.pack.checks.get(HARNESS)
    if check is not None and HURT in check.results and seen_on_wires(part):
        proven = turn.job.position.machine.proven
        file_result(turn, HARNESS, HURT)
        turn.machine(proven=proven)  # seen is not metered: it may have been live then
    return True


def _off(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """A wire or plug that was found off its part: it goes back on with the power off, and that is proved."""
    check = turn.pack.checks.get(HARNESS)
    if check is None or HURT not in check.results or not found_off(part) or not seen_on_wires(part):
        return False
    named = any(fact.turn == turn.key and WIRED.search(turn.pack.checks[fact.subject].name)
                for fact in turn.job.standing("result") if fact.subject in turn.pack.checks)
    if named or _answers(turn, part, asked):
        return False
    proven = turn.job.position.machine.proven
    file_result(turn, HARNESS, HURT)
    turn.machine(proven=proven)
    turn.note("off.noted")
    return True


def _defeated(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """A guard that is bridged comes back before anything runs; a cracked glass top gets no power at all."""
    if cracked_top(part, turn.job.family) and not _answers(turn, part, asked):
        turn.machine(stays_dead=True)
        turn.fact("cannot", f"cover:{COOKTOP}")  # nobody lifts it by its glass
        turn.note("glass.noted")
        return True
    if guard_bridged(part):
        turn.note("bridged.fuse" if "fuse" in part.lower() else "bridged.guard")
        return True
    if not bypassed(part) or _answers(turn, part, asked):
        return False
    turn.note("bypass.noted")
    return True


def _mice(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """Mice chew wires: the machine is looked at with its plug out before it runs."""
    if not mice_in_it(part) or _answers(turn, part, asked):
        return False
    if not_to_run(turn.job, turn.pack):
        turn.note("mice.clean")
        return True
    turn.fact("declined", "run", STAYS_OPEN)
    turn.note("mice.noted")
    return True


def _answers(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """Whether it is what was asked for."""
    return any(answer_to(turn, key, part).result is not None for key in asked)


def _answers_unsafe(turn: Turn, part: str, asked: tuple[str, ...], check: str) -> bool:
    """Whether it answers what was asked sooner than another check, and stops the visit as that: 'pulley wobbles on the
    drum shaft' is no drum that wobbles."""
    named = about(turn.context.release.index, turn.job.family or "", part, (*asked, check))
    heard = {key: answer_to(turn, key, part).result for key in asked if named.get(key, 0.0) > named.get(check, 0.0)}
    return any(result is not None and turn.pack.checks[key].results[result].unsafe for key, result in heard.items())


def _burnt(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """A burnt wire or terminal that no check of the family asks for: made new before anything gets power. Seen at the
    machine's back or inside, it is what the look along the wires shows."""
    if not burnt_part(part) or _answers(turn, part, asked):
        return False
    turn.machine(stays_dead=True)
    turn.note("burnt.noted")
    check = turn.pack.checks.get(HARNESS)
    if check is not None and HURT in check.results and _WIRE.search(part) and seen_on_wires(part):
        proven = turn.job.position.machine.proven
        file_result(turn, HARNESS, HURT)
        turn.machine(proven=proven)
    return True
