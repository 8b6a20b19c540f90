"""What words are about: of the machine's build, or of the past, they tell no trouble; a temperature that was measured
counts before what is mostly said."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from typing import Final

from bot.language.index import Index
from bot.language.machine.variants import FUEL, names_a_build
from bot.language.meaning import Clue, Guess
from bot.language.words.scope import Clause
from bot.language.words.text import plain_words, word_set

BUILT, BUILT_SURE = 0.4, 0.9
"""No complaint is likelier than the one by words that name how the machine is built, unless it is likelier than the
other."""
_TOO_WARM: Final = {"freezer": "freezer_warm", "fridge": "fresh_food_warm"}
_ELSEWHERE: Final = frozenset({"fresh", "fridge", "food", "both", "everyth", "all", "warm"})
_ASTRAY: Final = "oven_temperature_wrong"
BOTH_WARM: Final = "both_warm"
MEASURED: Final = 0.95
"""How likely a complaint is that a number tells: of 465 labelled messages with one that was too warm, 452 had it."""
_MARKS: Final = ",.;:!?()\n"


def not_by_build(index: Index, family: str | None, text: str, clues: Iterable[Clue], guesses: Sequence[Guess],
                 ) -> list[Guess]:
    """'Timer dial': words that name how the machine is built tell no trouble, unless much speaks for it."""
    faint = {g.id for g in guesses if BUILT < g.p < BUILT_SURE}
    if family is None or not faint:
        return list(guesses)
    builds = index.builds_of(family).alone
    named = {clue.meaning for clue in clues if clue.meaning.removeprefix("complaint:") in faint
             and (names_a_build(builds, _phrase_around(text, clue)) or _in_a_build(builds, text, clue))}
    return [replace(g, p=BUILT) if g.id in faint and f"complaint:{g.id}" in named else g for g in guesses]


def not_denied_by_build(index: Index, family: str | None, text: str, clues: Iterable[Clue], denied: Sequence[str],
                        ) -> tuple[str, ...]:
    """'Wont bake, glass top, keys and display': how it is built, and no word on whether top and display work."""
    if family is None or not denied or FUEL not in index.knowledge.packs[family].family.variants:
        return tuple(denied)  # 'hot water', 'freezer': parts of every washer and fridge, and of no build
    axes = index.knowledge.packs[family].family.variants.values()
    said = (phrase for axis in axes for value in axis.values.values() for those in value.phrases.values()
            for phrase in those)
    own = ({word for phrase in said for word in plain_words(phrase)} | _BESIDE_BUILD) - _NO
    built = {clue.meaning for clue in clues if clue.meaning.startswith("denied:") and _only_built(text, clue, own)}
    return tuple(name for name in denied if f"denied:{name}" not in built)


_BESIDE_BUILD: Final = word_set("a an the it its is has with and n w plus this that one kind model type stove range "
                                "oven dryer "
                                "washer fridge dishwasher cooktop machine unit")
_NO: Final = word_set("no not without none sin all both every always open cold hot warm on lit")
_WELL: Final = re.compile(
    r"\b(?:works?|working|fine|ok|okay|good|heats?|lights?|glows?|burns?|do|does|on|live|normal|great|perfect|"
    r"no problems?|alright|bien)\b",
    re.IGNORECASE)


def _only_built(text: str, clue: Clue, own: AbstractSet[str]) -> bool:
    """Whether the phrase around a clue has words of builds alone, and the rest of its sentence says of nothing that it
    works."""
    phrase = plain_words(_phrase_around(text, clue))
    before, after = re.split(r"[.;!?\n]", text[:clue.start])[-1], re.split(r"[.;!?\n]", text[clue.end:], maxsplit=1)[0]
    return len(phrase) > 1 and set(phrase) <= own and not any(_WELL.search(side) for side in (before, after))


_LIMIT: Final = (r"(?:(?:thermal|heater|high|hi|safety|temp|over ?temp|one ?shot|the|its) )*(?:cut[ -]?(?:off|"
                 r"out)s?|(?:high|hi)[ -]?limits?|"
                 r"limits?|fuses?|thermal|t ?-?stats?|thermostats?)(?: (?:fuse|switch|thermostat|stat|thermo|itself|"
                 r"up top|on the \w+))*")
_METERED: Final = re.compile(
    rf"\b{_LIMIT} (?:(?:is|was|its|reads?|reading|shows?|showing|tests?|tested|measures?|measured|checks?|came up|"
    rf"comes up|ohms?|also|too|"
    r"just|all) )*(?:=|: ?)?(?:ol|o\.l\.?|open|infinite|infinity|no continuity|shorted|closed|zero|good|\d+(?:\.\d+)? ?"
    r"(?:k|m|meg\w*)? ?(?:ohms?|Ω))\b", re.IGNORECASE)
"""A limit that a meter was put on: 'cut off is OL' stops nothing in mid-cycle, 'high limit open' is not too hot."""


def not_of_a_reading(text: str, clues: Iterable[Clue], guesses: Sequence[Guess]) -> list[Guess]:
    """Without the complaints that only the name of a metered limit sounds like."""
    named = _only_named_metered(text, clues)
    return [g for g in guesses if f"complaint:{g.id}" not in named]


def not_denied_of_a_reading(text: str, clues: Iterable[Clue], denied: Sequence[str]) -> tuple[str, ...]:
    """The same of what is denied: 'no, the cut off is OL' says of no machine that it runs to its end."""
    named = _only_named_metered(text, clues)
    return tuple(one for one in denied if f"denied:{one}" not in named)


def _only_named_metered(text: str, clues: Iterable[Clue]) -> set[str]:
    """What all clues to it stand within the name of a limit and its reading."""
    spans = [found.span() for found in _METERED.finditer(text)]
    spots: dict[str, list[Clue]] = {}
    for clue in clues if spans else ():
        spots.setdefault(clue.meaning, []).append(clue)
    return {meaning for meaning, mine in spots.items()
            if all(any(a <= clue.start and clue.end <= b for a, b in spans) for clue in mine)}


_BROKEN: Final = "part_broken"
_WORKS: Final = (r"(?:locks?|timers?|pumps?|motors?|boards?|switch(?:es)?|heaters?|elements?|thermostats?|t ?-?stats?|"
                 r"sensors?|thermistors?|valves?|solenoids?|relays?|compressors?|igniters?|ignitors?|actuators?|shifters?|"
                 r"controls?|transmissions?|gear ?(?:case|box)|clutch|belts?|fuses?|capacitors?|"
            r"rollers?|idlers?|bearings?|ice ?makers?|"
                 r"cerradura|bomba|motor|tarjeta|valvula|compresor|resistencia|banda|temporizador)")
_BROKE: Final = r"(?:broken?|busted|rot[oa]|descompuest[oa])"
_WORK_BROKE: Final = re.compile(
    rf"\b{_WORKS}(?:'s)?(?: (?:is|are|was|has|got|looks?|seems?|must|be|just|all|probably|again|itself|esta|se|down))* "
    rf"{_BROKE}\b|\b{_BROKE} (?:(?:down|door|lid|drain|water|drive|drum|main|control|start|heating|bake|"
    rf"timer|fan|inlet|the) )*{_WORKS}\b", re.IGNORECASE)
_ANY_BROKE: Final = re.compile(rf"\b{_BROKE}\b", re.IGNORECASE)
_OPENS_A_CRACK: Final = re.compile(
    r"\b(?:flaps?|louvers?|hood|vent|damper|door|lid|valve)\b[^.;,]{0,25}\b(?:cracks?|cracked) open\b", re.IGNORECASE)
"""'Flap only cracks open': a little, and nothing is broken."""
_INSIDE: Final = re.compile(
    r"\b(?:drum )?(?:rollers?|idlers?|bearings?|pulleys?|glides?)\b[^.;,]{0,30}"
    r"\b(?:chunk|crack(?:ed)?|flat|worn|brok\w*|split|seized|wobbl\w*)\b(?!.*\b(?:handle|knob|trim|hinge)\b)",
    re.IGNORECASE)
"""What nobody sees from outside: no part of the cabinet."""
_OF_THE_CABINET: Final = re.compile(
    r"\b(?:handles?|hinges?|knobs?|glass|hooks?|strikes?|tabs?|catch|latch|drawers?|buttons?|racks?|wheels?|shel(?:f|ves)|"
    r"bins?|trim|feet|foot|legs?|plastic|pieces?|bits?|flaps?|caps?|cups?|off|snapped|cracked|mashed|bent|fell|came|torn|"
    r"ripped|levers?|hanging|loose|manija|perilla|bisagra|vidrio|pieza)\b", re.IGNORECASE)


def not_of_works(text: str, guesses: Sequence[Guess]) -> list[Guess]:
    """'Door won't open, lock is broke': a guess at what works inside, and no handle, hinge or knob that is seen to be
    broken."""
    plain = text.replace("’", "'")
    if (_OPENS_A_CRACK.search(plain) and not _ANY_BROKE.search(plain)) or _INSIDE.search(plain):
        return [g for g in guesses if g.id != _BROKEN]
    works = len(_WORK_BROKE.findall(plain))
    if not works or works < len(_ANY_BROKE.findall(plain)) or _OF_THE_CABINET.search(plain):
        return list(guesses)
    return [g for g in guesses if g.id != _BROKEN]


def as_measured(states: Mapping[str, Collection[str]], guesses: Sequence[Guess], denied: Sequence[str],
                ) -> tuple[list[Guess], tuple[str, ...]]:
    """'Freezer at 0 but runs all day': where numbers tell how cold a part is, they count and not what is mostly said.

    `states`: as `temperatures.judged` gives them.
    """
    warm = {_TOO_WARM[part] for part, said in states.items() if set(said) == {"warm"}}
    well = {_TOO_WARM[part] for part, said in states.items() if "warm" not in said}
    right = {_TOO_WARM[part] for part, said in states.items() if set(said) == {"cold"}}
    if not warm and not well:
        return list(guesses), tuple(denied)
    told = BOTH_WARM if len(warm) > 1 else next(iter(warm), None)
    gone = {*well, BOTH_WARM} if well else {*_TOO_WARM.values()} if told == BOTH_WARM else set()
    kept = [g for g in guesses if g.id not in gone and g.id != told]
    if told is not None:
        kept.append(Guess(told, max([MEASURED, *(g.p for g in guesses if g.id in {told, BOTH_WARM})])))
    return sorted(kept, key=lambda g: -g.p), tuple(sorted(right.union(denied) - warm))


def as_baked(as_set: bool, guesses: Sequence[Guess], denied: Sequence[str]) -> tuple[list[Guess], tuple[str, ...]]:
    """'Set 350 reads 350, broil weak': an oven that was measured to be as hot as it was set is not wrong."""
    if not as_set:
        return list(guesses), tuple(denied)
    return [g for g in guesses if g.id != _ASTRAY], tuple(sorted({*denied, _ASTRAY}))


def of_the_freezer(clauses: Sequence[Clause], guesses: Sequence[Guess], denied: Sequence[str],
                   ) -> tuple[list[Guess], tuple[str, ...]]:
    """'Freezer cold, no ice': it says nothing of the fridge side; and alone it says that the freezer is as it should
    be."""
    said = [f for c in clauses for f in c.features if f.kind != "appliance"]
    cold = any({"freezer", "cold"} <= {f.key for f in c.features} and not c.past for c in clauses)
    if not cold or any(f.concept in _ELSEWHERE or f.kind == "number" for f in said):
        return list(guesses), tuple(denied)
    left = tuple(name for name in denied if name != _TOO_WARM["fridge"])
    if {f.key for f in said} != {"freezer", "cold"}:
        return list(guesses), left
    return [g for g in guesses if g.id != _TOO_WARM["freezer"]], tuple(sorted({*left, _TOO_WARM["freezer"]}))


def not_past(clauses: Sequence[Clause], denied: Sequence[str], clues: Iterable[Clue]) -> tuple[str, ...]:
    """What 'used to' happen, and is not said to be gone, is neither reported nor denied."""
    past = [(f.start, f.end) for c in clauses if c.past for f in c.features if f.end]
    only_past = {clue.meaning for clue in clues if any(a < clue.end and b > clue.start for a, b in past)}
    return tuple(name for name in denied if f"denied:{name}" not in only_past)


def _in_a_build(builds: Iterable[Sequence[str]], text: str, clue: Clue) -> bool:
    """Whether a clue is one word of the several that name a build, as in 'top loader with a timer dial'."""
    said = text.lower()
    names = (r"\s+".join(map(re.escape, words)) for words in builds if len(words) > 1 and words[0] in said)
    spots = (spot.span() for name in names for spot in re.finditer(rf"\b{name}\b", said))
    return any(start <= clue.start and clue.end <= end for start, end in spots)


def _phrase_around(text: str, clue: Clue) -> str:
    """What stands between the marks to either side of a clue."""
    start = max(text.rfind(mark, 0, clue.start) for mark in _MARKS) + 1
    ends = [place for mark in _MARKS if (place := text.find(mark, clue.end)) >= 0]
    return text[start:min(ends, default=len(text))]
