"""How the machine in front of the tech stands, and the words that bring it to the state that a step needs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import timedelta
from typing import Final

from bot.conversation.job import Machine
from bot.conversation.safety.cautions import for_machine, say_cautions
from bot.conversation.turn import Turn
from bot.diagnosis.unsafe import unsafe_results
from knowledge.schema import Check, Family, Pack, PowerState, Repair

PAUSE: Final = timedelta(minutes=30)
"""After this long without a word, somebody may have plugged it in again."""


def bring_to(turn: Turn, step: Check | Repair, cautions: Iterable[str]) -> None:
    """Say how to reach the power state and the covers of a step, then its cautions, before the step itself."""
    needed = covers_needed(turn.pack, step.access)
    if step.power != "any" or needed:
        show_card(turn)
    dead_first = any(turn.pack.covers[c].power == "off" for c in needed)
    if dead_first and step.power != "off":
        _power(turn, "off", hands_on=True)
        _covers(turn, needed, step)
        _energise(turn, step.power)
    else:
        if isinstance(step, Check) and step.power == "live" and step.at_outlet:
            turn.note("machine.live_outlet")
        else:
            _power(turn, step.power, hands_on=bool(needed))
        _covers(turn, needed, step)
    say_cautions(turn, cautions)


def show_card(turn: Turn) -> None:
    """The family's safety card, once a visit, in a message of its own with what was said back."""
    if not turn.job.position.machine.card_shown:
        turn.machine(card_shown=True)
        card = [for_machine(turn, caution) for caution in turn.pack.family.safety_card]
        turn.note("safety.card", card=" ".join(caution for caution in card if caution))
        turn.send()


def covers_needed(pack: Pack, access: Iterable[str]) -> tuple[str, ...]:
    """The covers to open for `access`, the outermost first."""
    order: list[str] = []

    def add(key: str) -> None:
        if key in order:
            return
        for outer in pack.covers[key].behind:
            add(outer)
        order.append(key)

    for key in access:
        add(key)
    return tuple(order)


def opened(turn: Turn, check: Check) -> None:
    """Who tells what a check inside the machine showed, asked or not, has it open."""
    covers = turn.job.position.machine.covers
    inside = tuple(dict.fromkeys((*covers, *covers_needed(turn.pack, check.access))))
    if inside != covers:
        turn.machine(covers=inside)


def close_up(turn: Turn) -> None:
    """Covers back on and power back, for a run or the proof."""
    machine = turn.job.position.machine
    for back in filter(None, (turn.pack.covers[cover].back for cover in machine.covers)):
        turn.quote(back)
    if machine.covers and machine.power != "off" and all(turn.pack.covers[c].power == "any" for c in machine.covers):
        turn.note("machine.covers_on")
    elif machine.covers:
        turn.note("machine.close_up")
    elif machine.maybe_open:
        turn.note("machine.if_open")
    elif machine.power == "off" and not burnt_feed(turn):
        turn.note("machine.power_on" if not _opened_for_repair(turn) else "machine.if_open")
    if burnt_feed(turn):
        turn.note("machine.new_feed")
    turn.machine(covers=(), maybe_open=False, power="on", since=turn.context.now, stays_dead=False)


FEED: Final = ("outlet_look", "cord_look", "box_look", "terminal_block_look")
"""The looks at what brings the power in."""


def burnt_feed(turn: Turn) -> bool:
    """Whether plug, outlet, cord or its terminals were found unfit for power: none of it is used again."""
    seen = [(fact.subject, fact.value) for fact in turn.job.standing("result") if fact.subject in FEED]
    return any(True for _ in unsafe_results(turn.pack, seen))


def _opened_for_repair(turn: Turn) -> bool:
    """Whether the repair that is proved goes inside, also where nobody was led there."""
    fault = turn.job.position.fault
    return fault in turn.pack.faults and bool(turn.pack.repair_of(fault)[1].access)


def stale(machine: Machine, turn: Turn) -> bool:
    """Whether so much time went by that the state has to be asked for again."""
    return machine.since is not None and turn.context.now - machine.since > PAUSE


def _power(turn: Turn, wanted: PowerState, *, hands_on: bool) -> None:
    machine = turn.job.position.machine
    family = turn.pack.family
    if wanted == "off":
        if machine.power != "off":
            said = family.prove_dead in machine.said
            turn.note("machine.dead_again") if said else turn.quote(for_machine(turn, family.prove_dead))
            turn.machine(said=(*machine.said, family.prove_dead), proven=False)
            _wait(turn)
        elif stale(machine, turn) and hands_on:
            turn.note("machine.still_dead")
        turn.machine(power="off", since=turn.context.now)
    elif wanted == "run":
        if machine.covers or machine.power == "off" or machine.maybe_open:
            close_up(turn)
        turn.machine(power="on", since=turn.context.now)
    elif wanted == "live":
        turn.note("machine.live")
        turn.machine(power="on", since=turn.context.now)


def _energise(turn: Turn, wanted: PowerState) -> None:
    """Power back on with covers open, for the few steps that need it."""
    if wanted == "live":
        turn.note("machine.live")
    elif wanted == "run":
        turn.note("machine.plug_last")
    if wanted in {"live", "run"}:
        turn.machine(power="on", since=turn.context.now)


def _wait(turn: Turn) -> None:
    """Machines with an electronic drive keep a charge for some minutes after the plug is out."""
    key = wait_said(turn.pack.family, {fact.subject: fact.value for fact in turn.job.standing("variant")})
    if key is not None:
        turn.note(key, minutes=int(float(turn.pack.family.wait_after_off["minutes"])))


def wait_said(family: Family, told: Mapping[str, str]) -> str | None:
    """The key of what is said of that wait: for a machine that is told to have such a drive, for one that may; None
    where what was told, or the combinations that are built, leave no such drive."""
    drive = {axis: str(value) for axis, value in family.wait_after_off.items() if axis != "minutes"}
    if "minutes" not in family.wait_after_off or any(told.get(axis, value) != value for axis, value in drive.items()):
        return None
    if drive.items() <= told.items():
        return "machine.wait_now"
    built = [row for row in family.combinations
             if all(str(row.get(axis, value)) == value for axis, value in told.items())]
    return "machine.wait" if not built or any(drive.items() <= row.items() for row in built) else None


def _covers(turn: Turn, needed: tuple[str, ...], step: Check | Repair) -> None:
    pack, machine = turn.pack, turn.job.position.machine
    closing = [c for c in getattr(step, "closes", ()) if c in machine.covers]
    if closing:
        turn.note("machine.close_first", covers=[pack.covers[c].name for c in closing])
        turn.machine(covers=tuple(c for c in machine.covers if c not in closing))
    opening = [c for c in needed if c not in turn.job.position.machine.covers]
    if opening:
        turn.note("machine.open", covers=[pack.covers[c].name for c in opening],
                  dead=any(pack.covers[c].power == "off" for c in opening))
        say_cautions(turn, [caution for c in opening for caution in pack.covers[c].cautions])
        turn.machine(covers=(*turn.job.position.machine.covers, *opening))
