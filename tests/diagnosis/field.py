"""Machines of our own packs as they are told at the door: what `diagnose` makes of them, and what it leaves unasked."""

from __future__ import annotations

from functools import cache
from typing import Any

from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.diagnose import diagnose
from bot.diagnosis.evidence import Evidence, Seen
from bot.diagnosis.setting import senseless
from knowledge.loader import load
from knowledge.schema import Pack

GLOW_BAR = {"fuel": "gas", "surface": "gas", "ignition": "hot_surface", "control": "board"}
COIL_TOP = {"fuel": "electric", "surface": "coil", "ignition": "none", "control": "board"}


@cache
def pack_of(family: str) -> Pack:
    return load().knowledge.packs[family]


@cache
def model_of(family: str) -> Model:
    return compile_pack(pack_of(family))


def told(family: str, *complaints: str, seen: dict[str, Any] | None = None, **variant: str) -> dict[str, Any]:
    """What `diagnose` answers to this."""
    return diagnose(model_of(family), {"family": family, "complaints": list(complaints), "results": seen or {},
                                       "variant": variant})


def chances(answer: dict[str, Any]) -> dict[str, float]:
    """Fault -> chance, the likeliest first."""
    return {fault["id"]: fault["p"] for fault in answer["faults"]}


def left_out(family: str, check: str, *complaints: str, seen: dict[str, str] | None = None) -> bool:
    """Whether what was told leaves a check no sense."""
    history = tuple(Seen(key, result) for key, result in (seen or {}).items())
    evidence = Evidence(family, complaints=complaints, history=history)
    return senseless(pack_of(family), pack_of(family).checks[check], evidence)
