"""`understand`: what a message says, in one value."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from bot.language.answers.answer import answer
from bot.language.answers.results import results_in
from bot.language.complaints import fan_runs
from bot.language.complaints.as_meant import as_meant
from bot.language.complaints.beside_danger import not_there, with_hazards, without_dangers, without_likes
from bot.language.complaints.by_a_blow import without_blows
from bot.language.complaints.dry_place import without_dry_place
from bot.language.complaints.guesses import BEST, SURE, Line, Weighed, weigh
from bot.language.complaints.how_hot import not_of_the_feed, without_how_hot
from bot.language.complaints.outlived import of_today, outlived, without
from bot.language.complaints.silent_part import with_silent_part
from bot.language.complaints.talk import Talk, talk_in
from bot.language.complaints.temperatures import COLD_FAMILY, judged
from bot.language.complaints.two_parts import with_two_parts
from bot.language.complaints.weather import without_weather
from bot.language.complaints.when_cold import without_when_cold
from bot.language.dangers.beside_answer import believed_beside_answer
from bot.language.dangers.burners_own import of_a_burners_flame, of_a_burners_spark
from bot.language.dangers.figures import without_figures
from bot.language.dangers.hazards import Danger, believed, dangers_of, in_context
from bot.language.dangers.unnamed import (
    DANGER,
    DANGER_ANSWERED,
    DANGER_ASKED,
    DANGER_WORDS,
    LEARNED_HAZARDS,
    PLAIN_ANSWER,
    learned_danger,
)
from bot.language.index import Index
from bot.language.learned.order import placed
from bot.language.learned.weighing import Setting
from bot.language.learned.weights import COMMON, read
from bot.language.machine.family import KINDS, WASHERS, Machine, machine_of
from bot.language.machine.lacks import without_lacks
from bot.language.machine.variants import variants_in
from bot.language.meaning import Clue, Guess, Hazard, Meaning
from bot.language.parsed import Parsed, parse, traits_in
from bot.language.recent import recent
from bot.language.status.status import Status, said_at
from bot.language.words.scope import Clause
from bot.language.words.text import word_set

_AS_SEEN: Final = frozenset({Status.ELSE, Status.ANSWER, Status.SAME, Status.PARTLY, Status.OTHER, Status.STUCK})
"""What a line may be that tells of the machine, and so of a danger."""
SAID: Final = 0.5
"""A complaint from this probability on counts as reported."""
SURE_OF_NONE: Final = 0.9
"""How sure the first complaint is to be where the family is not told."""
BEST_LOST: Final = 0.3
"""From here on the best guess is listed where none reaches SAID and nothing tells which machine it is."""
OFFERED: Final = 0.18
"""What is worth offering as a choice."""
OFFERED_FAMILY: Final = 0.1
KEPT: Final = 64
_SWITCH: Final = word_set("different other another now next actually also second otra otro ahora")


class Asked(NamedTuple):
    """What is asked: ids of checks that the context makes likely, and the kind of the open question."""

    checks: tuple[str, ...] = ()
    at: str = ""


def understand(index: Index, text: str, family: str | None = None, checks: Iterable[str] = (),
               at: str = "") -> Meaning:
    """What a message says. `family`: what is already known; `checks`: ids that the context makes likely; `at`: the kind
    of the open question.

    Any text is accepted; what stands after the first 10,000 characters is left unread.
    """
    asked = (text, family, Asked(tuple(checks), at))
    meant: Meaning = recent(index.understood, asked, KEPT, lambda: _with_fans(index, *asked))
    return meant


def _with_fans(index: Index, text: str, family: str | None, asked: Asked) -> Meaning:
    """What a message says, the fan of an oven kept apart from its burners."""
    meaning = not_of_the_feed(text, with_silent_part(text, _of_today(index, text, family, asked)))
    rest = fan_runs.beside_fan(text) if meaning.family == fan_runs.FAMILY else None
    if rest is None:
        return meaning
    return fan_runs.of_the_fan(text, meaning, _understood(index, rest, meaning.family, asked))


def _of_today(index: Index, text: str, family: str | None, asked: Asked) -> Meaning:
    """What a message says, without the complaints that rest on words of what is over."""
    parsed = parse(index, _to_be_read(text))
    meaning = _meant(index, parsed, text, family, asked)
    over = outlived(parsed.clauses, parsed.units) if meaning.complaints else []
    if not over:
        return meaning
    return of_today(meaning, _understood(index, without(text, over), family or meaning.family, asked), over)


def _understood(index: Index, text: str, family: str | None, asked: Asked) -> Meaning:
    """What a message says, whatever its subject."""
    return _meant(index, parse(index, _to_be_read(text)), text, family, asked)


def _to_be_read(text: str) -> str:
    """A text with blanks for words that tell of something else than they seem to."""
    text = without_figures(without_blows(text))
    return without_weather(without_when_cold(without_lacks(without_dry_place(without_how_hot(text)))))


def _meant(index: Index, parsed: Parsed, text: str, family: str | None, asked: Asked) -> Meaning:
    """The meaning of a message that was read as `parsed`."""
    dangers = dangers_of(parsed.tokens, parsed.words, parsed.clauses)
    machine = machine_of(index, parsed.units, parsed.clauses)
    talk = talk_in([w for w in parsed.words if w[0].isalnum()])
    if _is_elsewhere(machine, family, parsed):
        return _elsewhere(parsed, machine, dangers)
    if talk.instruct and not dangers:
        return Meaning(family=family, family_p=1.0 if family else 0.0, small_talk="other")
    family = _switched(index, family, machine, parsed)
    line, dangers = _line(index, parsed, family, machine, talk, dangers, asked)
    return _told(index, parsed, text, asked.checks, talk, dangers, line, weigh(index, line))


def _line(index: Index, parsed: Parsed, family: str | None, machine: Machine, talk: Talk, dangers: list[Danger],
          asked: Asked) -> tuple[Line, list[Danger]]:
    """What is known before complaints are weighed, and the dangers that the message as a whole bears out."""
    shares = {family: 1.0} if family in index.tables else machine.shares()
    likeliest = max(shares, key=lambda f: shares[f])
    told_before = likeliest if family or (shares[likeliest] > 0.4 and machine.named) else None
    heard, dangers = dangers, in_context(dangers, told_before, parsed.clauses, parsed.words)
    sparks = [d for d in heard if d.hazard == "fire" and d not in dangers and not of_a_burners_flame(parsed.words)]
    clauses = without_dangers(parsed.clauses, dangers)
    traits = traits_in(parsed, clauses)
    message = read(index.learned, traits, placed(parsed))
    common = dict(zip(index.learned[COMMON].meanings, index.learned[COMMON].heard(message).tolist(), strict=True))
    if common["hazard:fire"] >= DANGER_ANSWERED:
        dangers += sparks
    odds: dict[Hazard, float] = {h: common[f"hazard:{h}"] for h in LEARNED_HAZARDS}
    dangers = believed(dangers, odds, parsed.tokens, parsed.words)
    told = believed_beside_answer(dangers, odds, parsed.text)
    if told != dangers and _answered(index, told_before, asked, parsed.text, harmless=True):
        dangers = told
    if not dangers and len(parsed.words) >= DANGER_WORDS:
        unnamed = learned_danger(common, DANGER_ASKED if asked.checks else DANGER, parsed.words)
        if unnamed and unnamed[0].hazard != "fire" and _answered(index, told_before, asked, parsed.text):
            unnamed = learned_danger(common, DANGER_ANSWERED, parsed.words)
        if sparks and of_a_burners_spark(parsed.words):
            unnamed = [d for d in unnamed if d.hazard != "fire"]
        dangers = in_context(unnamed, told_before, parsed.clauses, parsed.words)
    lost = not (family or machine.named)
    return Line(family, machine, clauses, parsed.tokens, message, common, len(traits.names),
                Setting(len(parsed.clauses), talk.scope, common["scope"], lost), bool(dangers)), dangers


def _answered(index: Index, family: str | None, asked: Asked, text: str, *, harmless: bool = False) -> bool:
    """Whether words are surely an answer to one of the open checks, or to the open question of every visit.
    `harmless`: only by a result that stops no visit."""
    stands = said_at(asked.at, text)
    if not harmless and stands.p >= PLAIN_ANSWER and stands.status not in _AS_SEEN:
        return True
    own = index.knowledge.packs[family].checks if family is not None else {}
    return any((said := answer(index, family or "", check, text)).result is not None and said.p >= PLAIN_ANSWER
               and not (harmless and own[check].results[str(said.result)].unsafe)
               for check in asked.checks if check in own)


def _told(index: Index, parsed: Parsed, text: str, checks: tuple[str, ...], talk: Talk, dangers: Sequence[Danger],
          line: Line, weighed: Weighed) -> Meaning:
    """What a message tells in the end."""
    told, aside = weighed.told, weighed.aside
    states = with_two_parts(judged(parsed.clauses), text) if told == COLD_FAMILY else {}
    guesses, denied = as_meant(index, parsed, text, weighed, states)
    variant, variant_clues = _variant(index, parsed, told)
    too_warm = any("warm" in measured for measured in states.values())
    listed = () if aside and not too_warm else _listed(guesses, BEST_LOST if line.setting.lost else BEST)
    listed = with_hazards(index, told, dangers, without_likes(parsed.words, dangers, listed))
    results, result_clues = results_in(
        index, told, parsed, checks, () if aside else [g.id for g in listed if g.p >= SAID]) if told else ((), [])
    if (aside and line.family is None) or (not listed and (talk.scope or talk.thanks)):
        denied = ()  # 'spin works' of a known machine does deny
    if told and any("silent" in index.knowledge.packs[told].checks[r.check].results[r.result].says for r in results
                    if r.result):
        denied = tuple(name for name in denied if name != "noisy")  # a pump that is silent is no quiet machine
    vague = not (listed or denied or results or dangers or variant)
    nothing = vague and not line.machine.named and not _says_something(parsed.clauses)
    small = talk.kind if (vague and (nothing or talk.scope or talk.thanks)) else None
    sure = SURE if told else SURE_OF_NONE
    confident = (not vague and (not listed or listed[0].p >= sure)) or bool(small) or bool(dangers)
    shares = sorted(weighed.shares.items(), key=lambda share: -share[1])
    return Meaning(
        family=told, family_p=round(shares[0][1], 3),
        complaints=listed, denied=not_there(denied, dangers, text, parsed.words), variant=variant, results=results,
        confident=confident, hazard=dangers[0].hazard if dangers else None,
        candidates=() if confident else tuple(g for g in guesses if g.p >= OFFERED)[:5],
        families=() if told else tuple(Guess(f, round(p, 3)) for f, p in shares if p >= OFFERED_FAMILY),
        small_talk=small, weighed=tuple(guesses),
        clues=tuple(weighed.clues + variant_clues + result_clues + _danger_clues(dangers)))


def _listed(guesses: Sequence[Guess], least: float) -> tuple[Guess, ...]:
    """The complaints that count as reported, or else the best guess if it has `least`."""
    return tuple(g for g in guesses if g.p >= SAID) or tuple(g for g in guesses[:1] if g.p >= least)


def _is_elsewhere(machine: Machine, family: str | None, parsed: Parsed) -> bool:
    """Whether it is about an appliance that is handed over, or none that we know."""
    if machine.handoff and (family is None or family in KINDS.get(machine.handoff, ()) or set(parsed.words) & _SWITCH):
        return True
    return family is None and bool(machine.foreign) and not machine.named


def _switched(index: Index, family: str | None, machine: Machine, parsed: Parsed) -> str | None:
    """'different machine now, it's the dryer': what the text names outright goes before what was known."""
    if family is None or family in machine.named or ("washer" in machine.named and family in WASHERS):
        return family
    named = [f for f in machine.named if f in index.tables]
    return named[0] if len(named) == 1 and set(parsed.words) & _SWITCH else family


def _elsewhere(parsed: Parsed, machine: Machine, dangers: Sequence[Danger]) -> Meaning:
    clues = _danger_clues(dangers)
    if machine.handoff and machine.spot:
        start, end = machine.spot
        clues.append(Clue(start, end, parsed.text[start:end], f"handoff:{machine.handoff}"))
    return Meaning(handoff_only=machine.handoff, hazard=dangers[0].hazard if dangers else None,
                   small_talk=None if machine.handoff or dangers else "other", clues=tuple(clues))


def _variant(index: Index, parsed: Parsed, family: str | None) -> tuple[dict[str, str], list[Clue]]:
    if family is None:
        return {}, []
    found = variants_in(index.variants[family], parsed.words)
    clues = [Clue(parsed.tokens[a].start, parsed.tokens[b - 1].end, "", f"variant:{axis}={value}")
             for axis, (value, a, b) in found.items()]
    return {axis: value for axis, (value, _, _) in found.items()}, clues


def _danger_clues(dangers: Sequence[Danger]) -> list[Clue]:
    return [Clue(d.start, d.end, "", f"hazard:{d.hazard}") for d in dangers]


def _says_something(clauses: Sequence[Clause]) -> bool:
    return any(f.kind in ("function", "event") for c in clauses for f in c.features)
