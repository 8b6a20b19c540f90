"""The phrase bank of the simulated techs, written apart from the packs' phrases: complaints from the coverage contract
alone, and a few voices that also say what each check showed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any, Final

import yaml


@dataclass(frozen=True, slots=True)
class Voice:
    """How one person types. Complaint id -> phrases for it; check id -> result id -> what is typed for it."""

    says: Mapping[str, Sequence[str]]
    answers: Mapping[str, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Bank:
    """Complaint id -> phrases for it (`says`) and for its absence (`works`); phrase -> check -> the results of which it
    tells that one is there (`tells`), for those that tell more than their complaint."""

    says: Mapping[str, Sequence[str]]
    works: Mapping[str, Sequence[str]] = field(default_factory=dict)
    tells: Mapping[str, Mapping[str, Sequence[str]]] = field(default_factory=dict)
    voices: Sequence[Voice] = ()

    def true_of(self, phrase: str, found: Callable[[str], str]) -> bool:
        """Whether a machine on which each check has `found` its result is as the phrase tells."""
        return all(found(check) in results for check, results in self.tells.get(phrase, {}).items())


VOICES: Final = ("clipped", "careful", "second_language", "apprentice", "country", "electrician", "dictated", "grumpy",
                 "hurried")
"""Each speaks of the machines that its writer was given."""


def in_bank(family: str) -> bool:
    """Whether anybody has written down how people speak of such machines."""
    return files("bot.simulation").joinpath("bank", f"{family}.yaml").is_file()


@cache
def bank_of(family: str) -> Bank:
    """The phrases of one family."""
    ways = _read(family)
    return Bank({complaint: phrases["says"] for complaint, phrases in ways.items()},
                {complaint: phrases["works"] for complaint, phrases in ways.items() if phrases.get("works")},
                _read("tells").get(family, {}),
                [Voice(said["says"], said["answers"]) for name in VOICES
                 if (said := _read(f"voices/{name}").get(family)) is not None])


@cache
def _read(name: str) -> Mapping[str, Any]:
    text = files("bot.simulation").joinpath("bank", f"{name}.yaml").read_text(encoding="utf-8")
    read: Mapping[str, Any] = yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return read
