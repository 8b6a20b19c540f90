"""What complaints have to do with each other: rivals for the same words, and what a denial says of others."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from functools import cache
from typing import Final

from bot.language.meaning import Guess
from bot.language.words.lexicon import data
from bot.language.words.text import drop_apostrophes

HALF: Final = 0.5
LOSES: Final = 0.3
"""What is left of the probability of a rival that fits less well."""


@cache
def _rivals() -> frozenset[tuple[str, str]]:
    return frozenset(pair for a, b in data("rivals")["pairs"] for pair in ((a, b), (b, a)))


@cache
def _same() -> tuple[tuple[str, str], ...]:
    return tuple((a, b) for a, b in data("rivals")["denied"])


@cache
def _implied() -> dict[str, dict[str, list[str]]]:
    return {f: dict(said) for f, said in data("denials").items()}


def without_rivals(guesses: Sequence[Guess]) -> list[Guess]:
    """Guesses (best first) with those lowered that a better one stands for: 'slow spin' is no 'no spin' as well."""
    kept: list[Guess] = []
    for guess in guesses:
        beaten = any((guess.id, other.id) in _rivals() for other in kept)
        kept.append(Guess(guess.id, round(guess.p * LOSES, 3)) if beaten else guess)
    return sorted(kept, key=lambda g: -g.p)


def only_likelier(denied: Mapping[str, float]) -> tuple[str, ...]:
    """What is denied, by chance, without the less likely of two that say the same: 'top burners work fine'."""
    gone = {min(pair, key=lambda name: (denied[name], name)) for pair in _same() if denied.keys() >= set(pair)}
    return tuple(sorted(denied.keys() - gone))


_CODED: Final = re.compile(
    r"\b(?P<what>drain|fill|spin|heat|lock|lid|door|start|tumble|agitat|cool)\w*(?: \w+)? (?:code|error|err|fault)s?\b|"
    r"\b(?:code|error|err|fault)\w* (?:is |was |for |on |about |says |of )*(?:the |its )?"
    r"(?P<of>drain|fill|spin|heat|lock|lid|door|start|tumble|agitat|cool)",
    re.IGNORECASE)


def without_coded(denied: Sequence[str], text: str) -> tuple[str, ...]:
    """'Shows the drain code' says of no drain that it works."""
    named = {(found["what"] or found["of"]).lower() for found in _CODED.finditer(drop_apostrophes(text))}
    return tuple(name for name in denied if not any(what in name for what in named))


_AT_ONCE: Final = re.compile(
    r"\bfill\w*\W+(?:(?:and|n|while|as|it|its|y)\W+)*(?:drain|pump|empt)\w*\W+(?:\w+\W+){0,3}?"
    r"(?:same time|at once|together)\b|"
    r"\b(?:drain|pump|run)\w*(?: \w+)? (?:while|as|when) (?:it |its |it's )?fill\w*|"
    r"\b(?:out|away) as fast as (?:it )?(?:comes|fills|goes|runs)",
    re.IGNORECASE)
_FILL_DRAIN: Final = frozenset({"no_fill", "slow_fill", "no_drain"})


def without_both_at_once(denied: Sequence[str], text: str) -> tuple[str, ...]:
    """'Fills n drains at the same time' is water that runs away, and neither done well."""
    both = _AT_ONCE.search(drop_apostrophes(text)) is not None
    return tuple(name for name in denied if not (both and name in _FILL_DRAIN))


_ON_A_METER: Final = re.compile(r"\b(?:meter\w*|dmm|ohms?|o\.?l|continuity|reads?|reading|beeps?)\b", re.IGNORECASE)
_OPEN: Final = re.compile(r"\bopen\b", re.IGNORECASE)
_LOCKS: Final = re.compile(r"\b(?:locks?|locked|locking|latch(?:es|ed)?)\b", re.IGNORECASE)
_LETS_GO: Final = re.compile(
    r"\b(?:un ?lock\w*|un ?latch\w*|open\w*|releas\w*|lets? go|abre|suelta|destrab\w*)\b", re.IGNORECASE)
_OPENS: Final = frozenset({"lid_wont_unlock", "door_wont_open"})


def without_open_circuit(denied: Sequence[str], text: str) -> tuple[str, ...]:
    """'Open both ways w meter' is a switch, and no lid that opens; nor is 'lid locks ok'."""
    metered = _OPEN.search(text) is not None and _ON_A_METER.search(text) is not None
    only_locks = _LOCKS.search(text) is not None and _LETS_GO.search(text) is None
    return tuple(name for name in denied if not ((metered or only_locks) and name in _OPENS))


_ARC: Final = re.compile(r"\b(?:arc\w*|flash\w*|sparks? (?:inside|in the oven|at the (?:plug|back|outlet))|"
                         r"sparks? or smoke)\b",
                         re.IGNORECASE)
_UNLIT: Final = frozenset({"burner_wont_light"})


def without_wanted_spark(denied: Sequence[str], guesses: Sequence[Guess], text: str) -> tuple[str, ...]:
    """'No spark at any burner' is an igniter that does not tick, and no word on arcs."""
    unlit = any(g.id in _UNLIT and g.p >= HALF for g in guesses) and not _ARC.search(text)
    return tuple(name for name in denied if not (unlit and name == "sparks"))


_HUM: Final = re.compile(r"\b(?:hum\w*|buzz\w*|zumb\w*|bzz+)\b", re.IGNORECASE)
_NOISE: Final = re.compile(
    r"\b(?:loud\w*|nois\w+|squ(?:eal|eak)\w*|grind\w*|rattl\w*|thump\w*|bang\w*|scrap\w*|clunk\w*|knock\w*|screech\w*|"
    r"growl\w*|boom\w*|rumbl\w*|roar\w*|chirp\w*|whin\w*|sounds?|racket|terrible|awful|bad|ruido\w*|rechin\w*|chill\w*|"
    r"golpe\w*|suena)\b",
    re.IGNORECASE)
_STILL: Final = frozenset({"no_tumble", "no_agitate", "no_spin"})
HUM_ALONE: Final = 0.75
"""A drum that stands is sure to be reported, and noise less than so: the hum is the motor that tries."""


def without_hum(guesses: Sequence[Guess], text: str) -> list[Guess]:
    """'Motor hums, drum don't turn' is one complaint: what the motor sounds like is no noise of its own."""
    still = max((g.p for g in guesses if g.id in _STILL), default=0.0)
    if still < HUM_ALONE or not _HUM.search(text) or _NOISE.search(text):
        return list(guesses)
    return [g for g in guesses if g.id != "noisy"]


_RUNS_ON: Final = re.compile(
    r"\b(?:keeps?|kept|never (?:stops?|quits?)|(?:wont|doesnt|dont|not) (?:stop|quit)|for ?ever|constantly|non ?stop|"
    r"all day|on and on|continuously|and fills?)\b", re.IGNORECASE)
_NEVER_UP: Final = re.compile(
    r"\b(?:water|level|tub|drum|it|fills?|filling|full|runs?)\b[^.;!?]{0,24}"
    r"\b(?:(?:never|doesnt|dont|wont|not|isnt) (?:ever |even |really )?"
    r"(?:gets? (?:up|full|high|any ?where|level|to (?:the|its) (?:level|line|mark))|"
    r"gettin\w* (?:up|full|any)|comes? up|rises?|rising|goes? up|go up|fills? up|reach\w*|full|builds? up)|"
    r"stays? (?:low|down|at the bottom))\b", re.IGNORECASE)
_TOO_HIGH: Final = re.compile(
    r"\b(?:over(?!night)\w*|too (?:high|full|much)|brim|spills?|flood\w*|floor|above|the top)\b", re.IGNORECASE)
_FILLS_OVER, _FILLS_NOT, _FILLS_LONG = "overfill", "no_fill", "slow_fill"


def without_rise(guesses: Sequence[Guess], own: Collection[str], text: str) -> list[Guess]:
    """'Never stops filling and the water never gets up' is a machine that never has its water: nothing overfills.
    `own`: the meanings that its family has, of which the nearest is told."""
    plain = drop_apostrophes(text)
    over = next((g for g in guesses if g.id == _FILLS_OVER), None)
    if over is None or not _RUNS_ON.search(plain) or not _NEVER_UP.search(plain) or _TOO_HIGH.search(plain):
        return list(guesses)
    kept = [g for g in guesses if g.id != _FILLS_OVER]
    if any(g.p >= HALF for g in kept if g.id in {_FILLS_NOT, _FILLS_LONG}):
        return kept
    instead = _FILLS_LONG if f"complaint:{_FILLS_LONG}" in own else _FILLS_NOT
    return sorted([*(g for g in kept if g.id != instead), Guess(instead, over.p)], key=lambda g: -g.p)


_HEATS_ON: Final = re.compile(
    r"\b(?:off|on|stuck|stop\w*|quit\w*|stay\w*|keep\w*|kept|still|it ?self|own|cancel\w*|breaker|brk|fuse|unplug\w*|"
    r"pull\w*|time|constant\w*|non ?stop|no matter|for ?ever|always|never|wont|cant|doesnt|go(?:es|ing)? out|down|"
    r"(?:no|without|un) ?(?:call\w*|cmd|command|asked)|random\w*|nobody|noone|want\w*|weld\w*|full (?:blast|bore|tilt)|"
    r"apaga\w*|sigue|sol[oa]|prendid\w*|encendid\w*|queda\w*)\b", re.IGNORECASE)
_TOO_WARM, _UNASKED = "oven_temperature_wrong", "wont_turn_off"


def without_heat_unasked(guesses: Sequence[Guess], text: str) -> list[Guess]:
    """'Runs way hot, electric w coils' is an oven that is too warm while it is on: no word says that it stays so."""
    if not any(g.id == _TOO_WARM and g.p >= HALF for g in guesses) or _HEATS_ON.search(drop_apostrophes(text)):
        return list(guesses)
    return [g for g in guesses if g.id != _UNASKED]


def with_implied(family: str | None, denied: Sequence[str], present: Collection[str]) -> tuple[str, ...]:
    """'dries ok' is no word on heat, but there is some. What is reported as `present` is not denied."""
    said = _implied().get(family or "", {})
    more = (also for d in denied for also in said.get(d, ()) if also not in present)
    return tuple(sorted({*denied, *more}))
