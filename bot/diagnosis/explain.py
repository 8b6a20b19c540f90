"""Which evidence moved which fault, and how far."""

from __future__ import annotations

import math
from dataclasses import replace

from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import Belief, Evidence, Move, Repaired, Seen
from bot.diagnosis.why import name as named

MOST = 1000
"""To one: odds beyond this are said as more than that."""
LEAST = 0.1
"""Moves under this many bans (a factor of 1.26 in odds) are not worth a word."""
FLOOR = 1e-9


def moves(model: Model, evidence: Evidence) -> tuple[Move, ...]:
    """How far each piece of evidence moved each fault that matters: its odds with all evidence against its odds
    with all but that piece. Greatest first. Faults that matter: over 2 % with it or without it."""
    whole = believe(model, evidence)
    found = []
    for name, without in _leaving_out(evidence):
        before = believe(model, without)
        for fault in _shown(whole, before):
            bans = _log_odds(whole, fault) - _log_odds(before, fault)
            if abs(bans) >= LEAST:
                found.append(Move(name, fault, bans))
    return tuple(sorted(found, key=lambda m: (-abs(m.bans), m.evidence, m.fault)))


def told(model: Model, evidence: Evidence, move: Move) -> str:
    """A move as a senior would say it: 'belt slack: 12 to 1 for worn drive belt'."""
    sense = "for" if move.bans > 0 else "against"
    return f"{_words(model, evidence, move.evidence)}: {to_one(move.bans)} {sense} {named(model, move.fault)}"


def to_one(bans: float) -> str:
    """How far odds moved, either way: '12 to 1'."""
    odds = 10 ** abs(bans)
    if odds > MOST:
        return f"over {MOST} to 1"
    return f"{odds:.0f} to 1" if odds >= 2.5 else f"{odds:.1f} to 1"


def _words(model: Model, evidence: Evidence, piece: str) -> str:
    kind, _, key = piece.partition(":")
    if kind == "complaint":
        return model.pack.complaints[key].says
    if kind == "denied":
        return model.pack.complaints[key].works
    if kind == "repaired":
        return f"{model.entries[model.repair_index[key]].name.lower()}, done and no cure"
    check = model.pack.checks[key]
    facts = [fact for fact in evidence.history if isinstance(fact, Seen) and fact.check == key]
    result = facts[-1].result if facts[-1].value is None else None
    return check.results[result].says if result is not None else f"{check.name}, as read"


def _leaving_out(evidence: Evidence) -> list[tuple[str, Evidence]]:
    out = [(f"complaint:{c}", replace(evidence, complaints=tuple(x for x in evidence.complaints if x != c)))
           for c in evidence.complaints]
    out += [(f"denied:{c}", replace(evidence, denied=tuple(x for x in evidence.denied if x != c)))
            for c in evidence.denied]
    for i, fact in enumerate(evidence.history):
        rest = evidence.history[:i] + evidence.history[i + 1:]
        name = f"repaired:{fact.repair}" if isinstance(fact, Repaired) else f"check:{fact.check}"
        out.append((name, replace(evidence, history=rest)))
    return out


def _shown(*beliefs: Belief) -> list[str]:
    return sorted({fault for belief in beliefs for fault, p in belief.faults if p >= 0.02})


def _log_odds(belief: Belief, fault: str) -> float:
    p = min(max(dict(belief.faults).get(fault, 0.0), FLOOR), 1 - FLOOR)
    return math.log10(p / (1 - p))
