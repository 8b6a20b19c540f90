"""`understand`: what a message says, in one value."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from bot.language.answers.results import results_in
from bot.language.complaints import fan_runs
from bot.language.complaints.aim import (
    as_baked,
    as_measured,
    not_by_build,
    not_denied_by_build,
    not_of_a_reading,
    not_of_works,
    not_past,
    of_the_freezer,
)
from bot.language.complaints.bearing import (
    only_likelier,
    with_implied,
    without_hum,
    without_rise,
    without_rivals,
    without_wanted_spark,
)
from bot.language.complaints.matching import Match, matches
from bot.language.complaints.outlived import of_today, outlived, without
from bot.language.complaints.patterns import heard
from bot.language.complaints.plainly import otherwise, put_plainly
from bot.language.complaints.talk import Talk, talk_in
from bot.language.complaints.temperatures import BAKING_FAMILY, COLD_FAMILY, bakes_as_set, judged
from bot.language.complaints.when_cold import without_when_cold
from bot.language.dangers.hazards import (
    Danger,
    believed,
    dangers_of,
    harmless,
    in_context,
    of_a_meter,
    of_a_part,
    of_metal_alone,
)
from bot.language.dangers.sounds_like import of_a_fuel, of_a_valve, of_absorbers, of_the_leads
from bot.language.index import Index
from bot.language.learned.layer import Floats
from bot.language.learned.order import placed
from bot.language.learned.traits import Traits, traits_of
from bot.language.learned.weighing import Setting, aside_chance, chances
from bot.language.learned.weights import COMMON, Group, read
from bot.language.machine.family import KINDS, WASHERS, Machine, machine_of
from bot.language.machine.lacks import without_lacks
from bot.language.machine.variants import variants_in
from bot.language.meaning import Clue, Guess, Hazard, Meaning
from bot.language.words.scope import Clause
from bot.language.words.text import Token, codes_shown, tokens_of, word_set
from bot.language.words.units import Unit, units_of

FAMILY_SURE: Final = 0.9
"""Below this the family is asked for."""
SAID: Final = 0.5
"""A complaint from this probability on counts as reported."""
SURE: Final = 0.6
SURE_OF_NONE: Final = 0.9
"""The same where the family is not told."""
DENIED: Final = 0.5
HEARD: Final = 0.01
"""Guesses below this are not worth keeping."""
FAINTEST: Final = 1e-4
"""And what is less likely of one family is not worth adding up over all."""
SHOWN: Final = 0.2
"""From here on it is shown which words led there."""
FAINT: Final = 0.02
"""A family less likely than this is not looked at."""
NAMES_COUNT: Final = 0.5
LEARNED: Final = 1.0
EITHER: Final = 0.3
"""How much log odds of a family count: by its names and parts, learned, and learned of one washer against the other."""
BEST: Final = 0.2
BEST_LOST: Final = 0.3
"""The best guess is listed from here on, though not confident, when none reaches SAID."""
ASIDE: Final = 0.2
"""From this probability on a message is taken to report no trouble of a machine."""
OFFERED: Final = 0.18
"""What is worth offering as a choice."""
VAGUE: Final = 0.55
"""No complaint is likelier than this where only 'not working' is said."""
DANGER: Final = 0.0
DANGER_ASKED: Final = 2.0
"""Learned log odds from which a message tells of a hazard that none of its words names, and while a check is open, when
it is more likely the answer. On 3,687 messages that were kept back, hazards were right in .988, from 1 on in .985."""
SHOCK: Final = "electric_shock"
DANGER_WORDS: Final = 5
"""'Gas one' says which machine it is."""
LEARNED_HAZARDS: Final[tuple[Hazard, ...]] = ("gas", "fire", "injury", "shock", "refrigerant", "flood")
"""Those told often enough to learn from."""
_ALL_AND_NOTHING: Final = word_set("work- inop broken")
GAS_SMELL: Final = "gas_smell"
SAME: Final[Mapping[Hazard, tuple[str, ...]]] = {
    "gas": (GAS_SMELL,), "shock": ("electric_shock",), "fire": ("burning_smell", "sparks"),
    "flood": ("leaks", "water_on_floor")}
"""Complaints that say the same as a hazard."""


@dataclass(frozen=True, slots=True)
class Parsed:
    """A message after spelling, units and clauses: what all parts of understanding work on."""

    text: str
    tokens: Sequence[Token]
    words: Sequence[str]
    units: Sequence[Unit]
    clauses: Sequence[Clause]


def parse(index: Index, text: str) -> Parsed:
    """Tokens, mended words, units and clauses of a text."""
    tokens, words = index.speller.spelled(tokens_of(text))
    shown = codes_shown(text)
    units = units_of(tokens, words, index.lexicon, shown)
    plain = put_plainly(tokens, words, units)
    if plain:
        tokens, words = otherwise(plain, tokens, words)
        units = units_of(tokens, words, index.lexicon, shown)
    return Parsed(text, tokens, words, units, heard(units))


def traits_in(parsed: Parsed, clauses: Sequence[Clause]) -> Traits:
    """What a message is weighed by, addresses left out."""
    places = [(unit.start, unit.end) for unit in parsed.units if unit.is_address]
    kept = [at for at, token in enumerate(parsed.tokens) if not any(a <= token.start < b for a, b in places)]
    return traits_of(clauses, [parsed.tokens[at] for at in kept], [parsed.words[at] for at in kept])


def understand(index: Index, text: str, family: str | None = None, checks: Iterable[str] = ()) -> Meaning:
    """What a message says. `family`: what is already known; `checks`: ids that the context makes likely.

    Any text is accepted; what stands after the first 10,000 characters is left unread.
    """
    checks = tuple(checks)
    meaning = _of_today(index, text, family, checks)
    rest = fan_runs.beside_fan(text) if meaning.family == fan_runs.FAMILY else None
    if rest is None:
        return meaning
    return fan_runs.of_the_fan(text, meaning, _understood(index, rest, meaning.family, checks))


def _of_today(index: Index, text: str, family: str | None, checks: tuple[str, ...]) -> Meaning:
    """What a message says, without the complaints that rest on words of what is over."""
    parsed = parse(index, without_when_cold(without_lacks(text)))
    meaning = _meant(index, parsed, text, family, checks)
    over = outlived(parsed.clauses, parsed.units) if meaning.complaints else []
    if not over:
        return meaning
    return of_today(meaning, _understood(index, without(text, over), family or meaning.family, checks), over)


def _understood(index: Index, text: str, family: str | None, checks: tuple[str, ...]) -> Meaning:
    """What a message says, whatever its subject."""
    return _meant(index, parse(index, without_when_cold(without_lacks(text))), text, family, checks)


def _meant(index: Index, parsed: Parsed, text: str, family: str | None, checks: tuple[str, ...]) -> Meaning:
    """The meaning of a message that was read as `parsed`."""
    dangers = dangers_of(parsed.tokens, parsed.words, parsed.clauses)
    machine = machine_of(index, parsed.units, parsed.clauses)
    talk = talk_in([w for w in parsed.words if w[0].isalnum()])
    if machine.handoff and (family is None or family in KINDS.get(machine.handoff, ()) or set(parsed.words) & _SWITCH):
        return _elsewhere(parsed, machine, dangers, talk)
    if family is None and ( machine.foreign and not machine.named):
        return _elsewhere(parsed, machine, dangers, talk)
    if talk.instruct and not dangers:
        return Meaning(family=family, family_p=1.0 if family else 0.0, small_talk="other")
    family = _switched(index, family, machine, parsed)
    shares = {family: 1.0} if family in index.tables else machine.shares()
    likeliest = max(shares, key=lambda f: shares[f])
    told_before = likeliest if family or (shares[likeliest] > 0.4 and machine.named) else None
    dangers = in_context(dangers, told_before, parsed.clauses, parsed.words)
    clauses = without_dangers(parsed.clauses, dangers)
    lost = not (family or machine.named)
    traits = traits_in(parsed, clauses)
    message = read(index.learned, traits, placed(parsed))
    common = dict(zip(index.learned[COMMON].meanings, index.learned[COMMON].heard(message).tolist(), strict=True))
    dangers = believed(dangers, {h: common[f"hazard:{h}"] for h in LEARNED_HAZARDS}, parsed.tokens, parsed.words)
    if not dangers and len(parsed.words) >= DANGER_WORDS:
        dangers = in_context(learned_danger(common, DANGER_ASKED if checks else DANGER, parsed.words),
                             told_before, parsed.clauses, parsed.words)
    hazard = dangers[0].hazard if dangers else None
    setting = Setting(len(parsed.clauses), talk.scope, common["scope"], lost)
    if family is None or family not in index.tables:
        shares = weighed(common, shares, machine.named)
    found = {f: matches(index, index.tables[f], clauses) for f, share in shares.items() if share > FAINT}
    told_of = {f: index.learned[f].told(message) for f in found if f in index.learned}
    heard = {f: index.learned[f].odds(message, adds) for f, adds in told_of.items()}
    said = {f: _of_pack(index, f, chances(index.learned.get(f), heard.get(f, _NOTHING), found[f], setting))
            for f in found}
    own = any(said[f].get(m.meaning, 0.0) >= SURE for f in heard for m in found[f])
    aside = not dangers and not own and aside_chance(
        [(index.learned[f], odds) for f, odds in heard.items()], setting, len(traits.names)) >= ASIDE
    best = max(shares, key=shares.__getitem__)
    told = best if shares[best] >= FAMILY_SURE and (family or _tells(machine, said, best)) else None
    guesses, heard_denied, clues = _complaints(index.learned, shares, said, found, told_of, parsed.tokens)
    guesses = not_by_build(index, told, text, clues, not_of_a_reading(
        text, clues, not_of_works(text, _no_surer_than_said(parsed, guesses))))
    states = judged(parsed.clauses) if told == COLD_FAMILY else {}
    guesses, denied = as_measured(states, _told_apart(index, told, guesses, text),
                                  not_past(parsed.clauses, heard_denied, clues))
    guesses, denied = _of_parts(told, parsed, guesses, denied)
    denied = with_implied(told, without_wanted_spark(
        not_denied_by_build(index, told, text, clues, denied), guesses, text), [g.id for g in guesses if g.p >= BEST])
    variant, variant_clues = _variant(index, parsed, told)
    too_warm = any("warm" in measured for measured in states.values())
    listed = () if aside and not too_warm else tuple(g for g in guesses if g.p >= SAID) or tuple(
        g for g in guesses[:1] if g.p >= (BEST_LOST if lost else BEST))
    listed = _with_hazards(index, told, dangers, _without_likes(parsed, dangers, listed))
    results, result_clues = results_in(
        index, told, parsed, checks, () if aside else [g.id for g in listed]) if told else ((), [])
    if (aside and family is None) or (not listed and (talk.scope or talk.thanks)):  # 'spin works' of a known machine
        denied = ()
    vague = not (listed or denied or results or dangers or variant)
    nothing = vague and not machine.named and not _says_something(parsed.clauses)
    small = talk.kind if (vague and (nothing or talk.scope or talk.thanks)) else None
    sure = SURE if told else SURE_OF_NONE
    confident = (not vague and (not listed or listed[0].p >= sure)) or bool(small) or bool(dangers)
    return Meaning(
        family=told, family_p=round(shares[best], 3),
        complaints=listed, denied=_not_there(denied, dangers, text), variant=variant, results=results,
        confident=confident,
        hazard=hazard, candidates=() if confident else tuple(g for g in guesses if g.p >= OFFERED)[:5],
        families=() if told else tuple(Guess(f, round(p, 3)) for f, p in sorted(shares.items(), key=lambda s: -s[1])
                                       if p >= 0.1),
        small_talk=small, weighed=tuple(guesses),
        clues=tuple(clues + variant_clues + result_clues + _danger_clues(parsed, dangers)))


def _told_apart(index: Index, family: str | None, guesses: Sequence[Guess], text: str) -> list[Guess]:
    """What is reported, without what only sounds like it beside that."""
    return without_hum(without_rise(without_rivals(guesses), index.own.get(family or "", ()), text), text)


def _of_parts(family: str | None, parsed: Parsed, guesses: Sequence[Guess], denied: tuple[str, ...],
              ) -> tuple[list[Guess], tuple[str, ...]]:
    """What is said of one part of a machine, or was measured of it, and no more than that."""
    if family == COLD_FAMILY:
        return of_the_freezer(parsed.clauses, guesses, denied)
    return as_baked(family == BAKING_FAMILY and bakes_as_set(parsed.clauses, parsed.text), guesses, denied)


def learned_danger(heard: Mapping[str, float], least: float, words: Sequence[str]) -> list[Danger]:
    """The hazard that the message as a whole is most like, where no word names one: 'the drum gave me a bite'."""
    odds, hazard = max((heard[f"hazard:{h}"], h) for h in LEARNED_HAZARDS)
    no_shock = of_a_part(words) or of_a_meter(words) or of_metal_alone(words)
    only = {"shock": no_shock, "gas": of_a_fuel(words), "flood": of_a_valve(words)}
    sounds_like = harmless(words) or only.get(hazard, False)
    return [] if odds < least or sounds_like else [Danger(hazard, 0, 0)]


_NOTHING: Final = np.empty(0, dtype=np.float32)
_SWITCH: Final = word_set("different other another now next actually also second otra otro ahora")


def _switched(index: Index, family: str | None, machine: Machine, parsed: Parsed) -> str | None:
    """'different machine now, it's the dryer': what the text names outright goes before what was known."""
    if family is None or family in machine.named or ("washer" in machine.named and family in WASHERS):
        return family
    named = [f for f in machine.named if f in index.tables]
    return named[0] if len(named) == 1 and set(parsed.words) & _SWITCH else family


def without_dangers(clauses: Sequence[Clause], dangers: Sequence[Danger]) -> list[Clause]:
    """Words that told a danger make no complaint; nobody reports a machine with the clause in which he is hurt."""
    kept: list[Clause] = []
    for clause in clauses:
        mine = [d for d in dangers if any(f.start < d.end and f.end > d.start for f in clause.features)]
        if any(d.hazard in ("injury", "co", "refrigerant") for d in mine):
            continue
        if any(d.hazard == "gas" for d in mine):
            left = [f for f in clause.features if not any(f.start < d.end and f.end > d.start for d in mine
                                                          if d.hazard == "gas")]
            kept.append(replace(clause, features=left))
        else:
            kept.append(clause)
    return kept


def _tells(machine: Machine, said: Mapping[str, Mapping[str, float]], best: str) -> bool:
    return bool(machine.named) or any(p >= BEST for p in said.get(best, {}).values())


def _of_pack(index: Index, family: str, said: Mapping[str, float]) -> dict[str, float]:
    """Without complaints that the pack no longer has."""
    own = index.own[family]
    return {meaning: p for meaning, p in said.items() if meaning in own}


def _elsewhere(parsed: Parsed, machine: Machine, dangers: Sequence[Danger], talk: Talk) -> Meaning:
    clues = _danger_clues(parsed, dangers)
    if machine.handoff and machine.spot:
        start, end = machine.spot
        clues.append(Clue(start, end, parsed.text[start:end], f"handoff:{machine.handoff}"))
    return Meaning(handoff_only=machine.handoff, hazard=dangers[0].hazard if dangers else None,
                   small_talk=None if machine.handoff or dangers else "other", clues=tuple(clues))


def weighed(heard: Mapping[str, float], shares: Mapping[str, float], named: Collection[str],
            ) -> dict[str, float]:
    """Families of which the words are said gain. Who says washer and no more (`named`) may mean either: what was
    learned of the two counts less between them."""
    learned = {f: heard.get(f"family:{f}", 0.0) for f in shares}
    if set(named) == {"washer"} and learned.keys() >= set(WASHERS):
        middle = sum(learned[f] for f in WASHERS) / 2
        learned |= {f: middle + EITHER * (learned[f] - middle) for f in WASHERS}
    odds = {f: NAMES_COUNT * math.log(max(share, 1e-9)) + LEARNED * learned[f] for f, share in shares.items()}
    top = max(odds.values())
    parts = {f: math.exp(v - top) for f, v in odds.items()}
    whole = sum(parts.values())
    return {f: v / whole for f, v in parts.items()}


def _complaints(learned: Mapping[str, Group], shares: Mapping[str, float], said: Mapping[str, Mapping[str, float]],
                found: Mapping[str, Sequence[Match]], told_of: Mapping[str, Floats], tokens: Sequence[Token],
                ) -> tuple[list[Guess], tuple[str, ...], list[Clue]]:
    """Probabilities averaged over the families that may be meant. `told_of`: what each word adds, by family."""
    sides: dict[str, dict[str, float]] = {"complaint": {}, "denied": {}}
    clues: dict[str, Clue] = {}
    for family, told in said.items():
        for meaning, p in told.items():
            if p < FAINTEST:
                continue
            kind, _, name = meaning.partition(":")
            chance = shares[family] * p
            sides[kind][name] = sides[kind].get(name, 0.0) + chance
            if chance > SHOWN and meaning not in clues:
                spot = _phrase_of(found[family], meaning)
                if spot is None and family in told_of and tokens:
                    spot = _words_of(learned[family], told_of[family], meaning, tokens)
                if spot is not None:
                    clues[meaning] = Clue(*spot, "", meaning)
    present, absent = sides["complaint"], sides["denied"]
    guesses = sorted((Guess(name, round(min(p, 0.999), 3)) for name, p in present.items()
                      if p > absent.get(name, 0.0) and p >= HEARD), key=lambda g: -g.p)
    denied = only_likelier({n: p for n, p in absent.items() if p >= DENIED and p > present.get(n, 0.0)})
    return guesses, denied, list(clues.values())


def _phrase_of(found: Sequence[Match], meaning: str) -> tuple[int, int] | None:
    """Where the phrases of a meaning stand that matched."""
    spots = [(f.start, f.end) for m in found if m.meaning == meaning for f in m.features if f.end]
    return (min(spots)[0], max(end for _, end in spots)) if spots else None


def _words_of(group: Group, told: Floats, meaning: str, tokens: Sequence[Token]) -> tuple[int, int] | None:
    """Where the words stand that the learned weights rest on for a meaning."""
    places = group.most_telling(told, meaning) if meaning in group.meanings else None
    return (tokens[places[0]].start, tokens[places[1]].end) if places else None


def _variant(index: Index, parsed: Parsed, family: str | None) -> tuple[dict[str, str], list[Clue]]:
    if family is None:
        return {}, []
    found = variants_in(index.variants[family], parsed.words)
    clues = [Clue(parsed.tokens[a].start, parsed.tokens[b - 1].end, "", f"variant:{axis}={value}")
             for axis, (value, a, b) in found.items()]
    return {axis: value for axis, (value, _, _) in found.items()}, clues


def _without_likes(parsed: Parsed, dangers: Sequence[Danger], listed: tuple[Guess, ...]) -> tuple[Guess, ...]:
    """Without the shock that volts on a meter, or one part that touches another, sound like, and the smell that gas
    sounds like where it is what heats."""
    if dangers:
        return listed
    no_shock = any(of(parsed.words) for of in (of_a_meter, of_metal_alone, of_absorbers, of_the_leads))
    unsaid = {SHOCK} if no_shock else {GAS_SMELL} if of_a_fuel(parsed.words) else set()
    return tuple(g for g in listed if g.id not in unsaid)


def _with_hazards(index: Index, family: str | None, dangers: Sequence[Danger], listed: tuple[Guess, ...],
                  ) -> tuple[Guess, ...]:
    """The complaint that says the same as a hazard is listed as well."""
    have = {g.id for g in listed}
    own = index.knowledge.packs[family].complaints if family else {}
    for danger in dangers:
        same = [c for c in SAME.get(danger.hazard, ()) if not family or c in own]
        if danger.hazard == "flood" or not same or have & set(same):
            continue
        if danger.hazard == "gas":
            listed = (Guess(same[0], 0.95), *listed)
        elif family or danger.hazard == "shock":
            listed = (*listed, Guess(same[0], 0.9))
    return listed


def _not_there(denied: tuple[str, ...], dangers: Sequence[Danger], text: str) -> tuple[str, ...]:
    """'She smells no gas, i do' denies no smell of gas, and nor does 'nothing spilled'."""
    there = {same for danger in dangers for same in SAME.get(danger.hazard, ())}
    if GAS_SMELL in denied and not _OF_GAS.search(text):
        there.add(GAS_SMELL)
    return tuple(complaint for complaint in denied if complaint not in there)


_OF_GAS: Final = re.compile(
    r"sme?ll?|odou?r|gas|whiff|propane|\blp\b|\blng\b|egg|olor|huel|snif|stink|reek|stench|scent|sul(?:f|ph)ur|fumes|nose|"
    r"leak|fuga|\bgs\b", re.IGNORECASE)
"""Words without which nobody denies it."""


def _danger_clues(parsed: Parsed, dangers: Sequence[Danger]) -> list[Clue]:
    return [Clue(d.start, d.end, "", f"hazard:{d.hazard}") for d in dangers]


def _no_surer_than_said(parsed: Parsed, guesses: Sequence[Guess]) -> list[Guess]:
    """'Not working', 'broke', of the machine alone: it may be anything, whatever people mostly mean by it. 'Got the
    belt for it' is no shock."""
    kept = [g for g in guesses if g.id not in SAME["shock"]] if of_a_part(parsed.words) else list(guesses)
    said = {f.key for c in parsed.clauses for f in c.features if f.kind not in ("appliance", "number", "other")}
    return [replace(g, p=min(g.p, VAGUE)) for g in kept] if said and said <= _ALL_AND_NOTHING else kept


def _says_something(clauses: Sequence[Clause]) -> bool:
    return any(f.kind in ("function", "event") for c in clauses for f in c.features)


