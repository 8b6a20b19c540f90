"""Checks that watch a function, held against the complaints that say that it fails.

A result may *be* a complaint (`complaints: [no_spin]`): seen, it is filed as told. That is sound only if a machine
with the complaint shows one of these results, and a machine that shows them has the complaint. And a check that
presupposes what the complaint denies is not to be asked: `unless`, or rows for all faults that stop the function.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from bot.authoring.machines import can_meet
from bot.authoring.remarks import Remark
from bot.authoring.rows import Rows, said_rows
from knowledge.likelihood import probability
from knowledge.schema import Check, Pack

SHOWN: Final = 0.8
"""A fault that shows a complaint at least so often must show it when the function is watched."""
LIKELY: Final = 0.55
HARDLY: Final = 0.15
NOT_SHOWN: Final = 0.05
KNOWN: Final = 0.5
"""Share of a complaint's faults that must have a row in a check that watches what it denies. Judgement."""
REPEATS: Final = 0.8
"""Share of a check's rows whose normal result is as likely as that the fault does not show a complaint, from which
the check asks for that complaint over again. Judgement."""
NEAR: Final = 0.15
STOPS: Final = ("wont_start", "dead")
"""Complaints of a machine that does nothing at all (ids of the coverage contract)."""
FUNCTIONS: Final[Mapping[str, str]] = {
    "no_spin": r"\bspin", "no_tumble": r"\btumbl|\bdrum turns", "no_agitate": r"\bagitat", "no_fill": r"\bfill",
    "no_drain": r"\bdrain|\bpump", "no_heat": r"\bheat|\bwarm", "no_ice": r"\bice\b",
}
"""Complaint -> words of a question that presupposes the function which it denies."""


def watched(pack: Pack) -> Iterator[Remark]:
    """Contradictions between results that are complaints and `shows`, and questions that are answered already."""
    for key, check in pack.checks.items():
        if "normal" not in check.likelihoods:
            continue
        said = said_rows(pack, key, check)
        carriers: dict[str, list[str]] = {}
        for rid, result in check.results.items():
            for complaint in result.complaints:
                carriers.setdefault(complaint, []).append(rid)
        for complaint, results in carriers.items():
            yield from _not_seen(pack, key, complaint, results, said)
            yield from _seen_only(pack, key, complaint, results, said)
        yield from _repeats(pack, key, check, said, carriers)
        if check.power == "run" and check.kind not in {"ask", "look"}:
            yield from _presumes(pack, key, check, said, carriers)


def shown(pack: Pack, fault: str, complaint: str) -> float:
    """How likely a fault shows a complaint."""
    shows = pack.faults[fault].shows
    return probability(shows[complaint]) if complaint in shows else 0.0


def _excused(pack: Pack, check: Check, fault: str) -> bool:
    """With this fault the check is hardly ever asked: it does not exist there, or the complaint rules it out."""
    return not can_meet(pack, check.only, pack.faults[fault].only) or any(
        shown(pack, fault, complaint) >= LIKELY for complaint in check.unless)


def _not_seen(pack: Pack, key: str, complaint: str, results: Sequence[str], said: Rows) -> Iterator[Remark]:
    check = pack.checks[key]
    showing = [f for f in pack.faults if shown(pack, f, complaint) >= SHOWN and not _excused(pack, check, f)]
    unseen = [f for f in showing if sum(said.get(f, said["normal"])[r] for r in results) < HARDLY]
    if not unseen:
        return
    names = "', '".join(results)
    if 2 * len(unseen) >= len(showing):
        yield Remark(pack.family.id, ("checks", key, "results", results[0], "complaints"), "contradiction",
                     f"'{names}' counts as '{complaint}', yet {len(unseen)} of {len(showing)} faults that show it"
                     f" hardly give it ({_some(unseen)})",
                     "take the complaint off the result: it may stand there only where every machine with the complaint"
                     " shows it; or add their rows", (("checks", key),))
        return
    for fault in unseen:
        yield Remark(pack.family.id, ("checks", key, "likelihoods"), "contradiction",
                     f"'{fault}' shows '{complaint}' ({shown(pack, fault, complaint):.0%}), yet hardly gives '{names}'",
                     "add or mend its row: what the run looks like on a machine with this fault",
                     (("checks", key), ("faults", fault)))


def _seen_only(pack: Pack, key: str, complaint: str, results: Sequence[str], said: Rows) -> Iterator[Remark]:
    check = pack.checks[key]
    odd = [f for f, row in said.items() if f in pack.faults and sum(row[r] for r in results) >= LIKELY
           and shown(pack, f, complaint) <= NOT_SHOWN and not _excused(pack, check, f)]
    if not odd:
        return
    stops, names = _stops(pack, odd, complaint), "', '".join(results)
    advice = f"add `unless: [{', '.join(stops)}]`, or " if stops else ""
    yield Remark(pack.family.id, ("checks", key, "likelihoods", odd[0]), "contradiction",
                 f"{_some(odd)} give '{names}', which counts as "
                 f"'{complaint}', without showing it",
                 f"{advice}add {complaint} to `shows`, or take it off the result", (("checks", key),))


def _stops(pack: Pack, faults: Sequence[str], complaint: str) -> list[str]:
    """The fewest complaints that between them bring all of the faults here."""
    left, stops = set(faults), list[str]()
    while left:
        count = Counter(c for f in left for c in pack.faults[f].shows
                        if c != complaint and shown(pack, f, c) >= LIKELY)
        if not count:
            break
        best = count.most_common(1)[0][0]
        stops.append(best)
        left = {f for f in left if shown(pack, f, best) < LIKELY}
    return stops[:3]


def _presumes(pack: Pack, key: str, check: Check, said: Rows, carriers: Mapping[str, object]) -> Iterator[Remark]:
    text = f"{check.name} {check.ask}".lower()
    for complaint in pack.complaints:
        asked = complaint in STOPS or (complaint in FUNCTIONS and re.search(FUNCTIONS[complaint], text))
        if not asked or complaint in carriers or complaint in check.unless:
            continue
        weights = {f: e.frequency * shown(pack, f, complaint) for f, e in pack.faults.items()
                   if shown(pack, f, complaint) >= LIKELY and can_meet(pack, check.only, e.only)}
        known = sum(w for f, w in weights.items() if f in said)
        if weights and known < KNOWN * sum(weights.values()):
            missing = sorted((f for f in weights if f not in said), key=lambda f: -weights[f])
            yield Remark(pack.family.id, ("checks", key), "presumes",
                         f"with '{complaint}' the answer is known, yet {_some(missing)} have no row here",
                         f"add `unless: [{complaint}]`, or their rows")


def _repeats(pack: Pack, key: str, check: Check, said: Rows, carriers: Mapping[str, object]) -> Iterator[Remark]:
    """'No leak' as likely as that the fault does not leak: once a leak is told, that answer is out of the question."""
    normal = said["normal"]
    usual = max(normal, key=lambda r: normal[r])
    rest = [f for f in said if f in pack.faults]
    if normal[usual] < SHOWN or len(rest) < 6:
        return
    for complaint in pack.complaints:
        if complaint in carriers or complaint in check.unless:
            continue
        mine = {f: s for f in rest if (s := shown(pack, f, complaint)) > NOT_SHOWN}
        if len(mine) < 6 or len(mine) < REPEATS * len(rest):
            continue
        like = sum(abs(said[f][usual] - (1 - s)) < NEAR for f, s in mine.items())
        often = sum(s > LIKELY for s in mine.values())
        if often < 2 or like < REPEATS * len(mine):
            continue
        yield Remark(pack.family.id, ("checks", key, "results", usual), "presumes",
                     f"'{usual}' is as likely as that a fault does not show '{complaint}': with {complaint} told, it is"
                     f" hardly an answer", f"write `complaints: [{complaint}]` at the results that are it when seen, or"
                     f" `unless: [{complaint}]`", (("checks", key),))


def _some(names: Sequence[str]) -> str:
    return ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")

