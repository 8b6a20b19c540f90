"""The phrase bank of the simulated techs: written from the coverage contract alone, apart from the packs' phrases."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import yaml

from bot.simulation.tech import Bank


@cache
def bank_of(family: str) -> Bank:
    """Complaint -> {"says": [...], "works": [...]} of one family."""
    text = (files("bot.simulation") / "bank" / f"{family}.yaml").read_text(encoding="utf-8")
    bank: Bank = yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return bank
