"""Ids of families, faults, complaints and checks in words."""

from __future__ import annotations

from dataclasses import dataclass

from bot.diagnosis.evidence import UNKNOWN
from knowledge.schema import Knowledge, Pack


@dataclass(frozen=True, slots=True)
class Names:
    """The words of one knowledge release. An id that it does not know is shown as it is."""

    knowledge: Knowledge

    def pack(self, family: str | None) -> Pack | None:
        """The family's pack, if there is one."""
        return self.knowledge.packs.get(family) if family is not None else None

    def family(self, family: str | None) -> str:
        """'top-load washer'."""
        if family is None:
            return "machine not known"
        pack = self.pack(family)
        return pack.family.name if pack else _plain(family)

    def fault(self, family: str | None, fault: str | None) -> str:
        """'worn drive belt'; a pair is named by both."""
        if fault is None:
            return ""
        if fault == UNKNOWN:
            return "nothing known"
        pack = self.pack(family)
        names = [pack.faults[part].name if pack and part in pack.faults else _plain(part) for part in fault.split("+")]
        return " and ".join(names)

    def repair(self, family: str | None, repair: str | None) -> str:
        """'Replace the drive belt'."""
        pack = self.pack(family)
        if pack is None or repair is None:
            return _plain(repair or "")
        for fault in pack.faults:
            key, entry = pack.repair_of(fault)
            if key == repair:
                return entry.name
        return _plain(repair)

    def parts(self, family: str | None, repair: str | None) -> tuple[str, ...]:
        """The parts that a repair takes."""
        pack = self.pack(family)
        if pack is None or repair is None:
            return ()
        return next((entry.parts for key, entry in map(pack.repair_of, pack.faults) if key == repair), ())

    def complaint(self, family: str | None, complaint: str, *, works: bool = False) -> str:
        """'no spin', or 'spins' where it works."""
        pack = self.pack(family)
        if pack is None or complaint not in pack.complaints:
            return _plain(complaint)
        entry = pack.complaints[complaint]
        return entry.works if works else entry.says

    def check(self, family: str | None, check: str) -> str:
        """'belt grip'."""
        pack = self.pack(family)
        return pack.checks[check].name if pack and check in pack.checks else _plain(check)

    def result(self, family: str | None, check: str, result: str) -> str:
        """'belt slips, dry'."""
        pack = self.pack(family)
        if pack is None or check not in pack.checks or result not in pack.checks[check].results:
            return _plain(result)
        return pack.checks[check].results[result].says

    def variant(self, family: str | None, axis: str, value: str) -> str:
        """'belt drive'."""
        pack = self.pack(family)
        if pack and axis in pack.family.variants and value in pack.family.variants[axis].values:
            return pack.family.variants[axis].values[value].name
        return _plain(value)


def _plain(key: str) -> str:
    return key.replace("_", " ").replace(".", ", ")


OUTCOMES: dict[str, str] = {
    "fixed": "fixed", "part_on_order": "part on order", "declined": "declined", "no_fault_found": "no fault found",
    "unsafe_tagged": "unsafe, tagged", "other_trade": "other trade", "no_access": "no access",
    "not_safe": "not safe to work", "not_fixed": "not fixed", "beyond_repair": "beyond repair",
    "handed_off": "taken over by a senior", "continued": "went on in the open visit"}
REASONS: dict[str, str] = {
    "unsure": "unsure, nothing left worth checking", "fits_nothing": "fits no known fault",
    "licensed": "beyond the tech's sign-offs", "hazard": "hazard", "asked": "the tech asked",
    "lacks_tool": "a tool was lacking", "failed_twice": "the same repair failed twice",
    "not_covered": "appliance not covered", "not_understood": "not understood"}
PHASES: dict[str, str] = {
    "intake": "intake", "checks": "checks", "finding": "finding named", "consent": "waiting for consent",
    "waiting": "waiting for a part", "repair": "in repair", "proof": "being proved", "closing": "closing",
    "hazard": "hazard", "handed_off": "with a senior", "ended": "ended"}
MARKS: dict[str, str] = {"good": "good", "wrong": "bot was wrong", "training": "for training"}


def outcome(key: str | None) -> str:
    """An outcome in words."""
    return "open" if key is None else OUTCOMES.get(key, _plain(key))


def reason(key: str | None) -> str:
    """Why a senior was asked for, in words."""
    return "" if key is None else REASONS.get(key, _plain(key))
