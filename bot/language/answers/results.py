"""Results of checks, heard in a message that was no answer to a question."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Final

from bot.language.answers.about import stems
from bot.language.answers.answer import answer
from bot.language.answers.bands import open_result, plausible_range
from bot.language.answers.beside_it import only_one_place
from bot.language.answers.by_hand import by_another_hand
from bot.language.answers.details import details_in, only_the_trouble
from bot.language.answers.foreign import of_another_part
from bot.language.answers.gainsaid import only_sounds_like
from bot.language.answers.measured import at_supply
from bot.language.answers.to_ground import beside_the_metal, of_the_outlet, reads_to_ground, sides_of
from bot.language.answers.turns_of_phrase import without_questions
from bot.language.index import Index
from bot.language.meaning import Asked, Clue, HeardResult
from bot.language.parsed import Parsed
from bot.language.readings.quantities import measures, unit_for
from bot.language.readings.read import read
from bot.language.words.lexicon import DROPPED
from bot.language.words.text import Token, plain_words, word_set
from knowledge.schema import Check

LIKELY: Final = 0.9
STATED: Final = 0.75
CLEAR: Final = 0.7
FEWEST: Final = 3
"""Words that state a result of a check that nothing points to."""
_NOT: Final = word_set("no not never without didnt isnt dont doesnt wasnt arent sin nunca aint")


def results_in(index: Index, family: str, parsed: Parsed, checks: Iterable[str],
               reported: Iterable[str] = ()) -> tuple[tuple[HeardResult, ...], list[Clue]]:
    """Results that the text states in so many words; those of likely checks are heard more easily. Also what the
    `reported` complaints tell of themselves. What only asks tells of none."""
    if not without_questions(parsed.text) or only_one_place(parsed.text):
        return (), []
    pack = index.knowledge.packs[family]
    likely = tuple(c for c in dict.fromkeys(checks) if c in pack.checks
                   and not of_another_part(index, family, c, parsed.text)
                   and not (of_the_outlet(parsed.text) and sides_of(pack.checks[c]) is not None))
    found: dict[str, tuple[HeardResult, Clue]] = {}
    reported = frozenset(reported)
    for hit, clue in _stated(index, family, parsed, likely, reported):
        of, said = pack.checks[hit.check].told.keys(), stems(parsed.text[clue.start:clue.end])
        if of and said != stems(parsed.text) and only_the_trouble(index, family, hit, of, said):
            continue
        if hit.check not in found or hit.p > found[hit.check][0].p:
            found[hit.check] = hit, clue
    for check in likely[:4]:
        if check not in found:
            near = _answered(index, family, check, pack.checks[check], parsed)
            if near is not None:
                found[check] = near, Clue(0, len(parsed.text), "", f"result:{near.check}={near.result}")
    for detail in details_in(index, family, parsed.text, reported):
        clue = Clue(0, len(parsed.text), "", f"result:{detail.check}={detail.result}")
        found.setdefault(detail.check, (detail, clue))
    order = sorted(found.values(), key=lambda f: -f[0].p)
    return tuple(h for h, _ in order), [c for _, c in order]


def _stated(index: Index, family: str, parsed: Parsed, likely: Sequence[str], reported: Collection[str],
            ) -> list[tuple[HeardResult, Clue]]:
    spoken = index.spoken_of(family)
    kept = [(t, w) for t, w in zip(parsed.tokens, parsed.words, strict=True) if w not in DROPPED and not t.is_mark]
    words = [w for _, w in kept]
    ends = sorted(t.end for t in parsed.tokens if t.is_mark)
    checks = index.knowledge.packs[family].checks
    found: list[tuple[HeardResult, Clue]] = []
    supply, outlet = at_supply(parsed.text), of_the_outlet(parsed.text)
    place = 0
    while place < len(words):
        for length, phrased in spoken.at(words, place):
            said = phrased
            if _denied(kept, place, ends):
                break
            of_rest = length > 1 and words[place] in _REST
            if length < FEWEST and not any(check in likely or (of_rest and _takes_apart(checks[check], reported))
                                           for check, _ in phrased):
                continue
            if not supply and reads_to_ground(" ".join(words[place:place + length])) is not None:
                said = tuple(s for s in said if sides_of(checks[s[0]]) is not None)  # of a part, not of the outlet
            if outlet:
                said = tuple(s for s in said if sides_of(checks[s[0]]) is None)
            if length < FEWEST:  # 'nothing' of 'nothing to the case'
                said = tuple(s for s in said if not beside_the_metal(checks[s[0]], parsed.text))
            said = tuple(s for s in said if not only_sounds_like(checks[s[0]], s[1], parsed.text)
                         and not by_another_hand(checks[s[0]], s[1], parsed.text)
                         and not _never_metered(checks[s[0]], words[place:place + length], parsed.text))
            said = tuple(s for s in said if s[0] in likely or not (
                checks[s[0]].kind == "turn" and _is_trouble(index, family, words[place:place + length])))
            chosen = _one_of(said, checks, likely, length, reported)
            if chosen is not None:
                start, end = kept[place][0].start, kept[place + length - 1][0].end
                found.append((chosen, Clue(start, end, "", f"result:{chosen.check}={chosen.result}")))
                place += length - 1
                break
        place += 1
    return found


def _is_trouble(index: Index, family: str, said: Sequence[str]) -> bool:
    """Whether words are a way to report a trouble: 'never shuts off' is no cold control that was turned."""
    return any(plain_words(way) == tuple(said) for entry in index.knowledge.packs[family].complaints.values()
               for ways in entry.phrases.values() for way in ways)


_METERED: Final = re.compile(
    r"\b(?:reads?|reading|ohms?|ol|meter\w*|continuity|measured?|tests?|tested|beeps?|infinit\w*)\b", re.IGNORECASE)


def _never_metered(check: Check, said: Sequence[str], text: str) -> bool:
    """Whether nothing in the text tells of a meter, though only a meter shows that result: 'door switch open' may say
    how a part stands, 'walks all over the place' names no part that was read."""
    if "meter" not in check.tools or _METERED.search(text):
        return False
    return "open" in said or not (any(c.isdigit() for c in text) or stems(text) & stems(check.name))


_LACKING: Final = word_set("gas spark sparks flame flames heat power light water ice fan air")
"""'No gas others fine': what is lacking is named, and what follows is another matter."""


def _denied(kept: Sequence[tuple[Token, str]], place: int, marks: Sequence[int]) -> bool:
    """Whether a 'no' stands one or two words before, and no comma between: 'no flame, cap off center' has a cap."""
    before = [(token.end, word) for at, (token, word) in enumerate(kept[:place]) if at >= place - 2 and word in _NOT
              and not (at == place - 2 and word == "no" and kept[at + 1][1] in _LACKING)]
    start = kept[place][0].start
    return any(not any(end < mark <= start for mark in marks) for end, _ in before)


def _one_of(said: Sequence[tuple[str, str]], checks: Mapping[str, Check], likely: Sequence[str], length: int,
            reported: Collection[str]) -> HeardResult | None:
    """The result meant when one is clear: of a likely check, or of one check only and no mere complaint, unless that is
    reported anyway."""
    near = [s for s in said if s[0] in likely]
    if len(near) == 1:
        return HeardResult(near[0][0], near[0][1], LIKELY)
    told = [s for s in said if set(checks[s[0]].results[s[1]].complaints) <= set(reported)]
    if near or len(said) != 1 or not told or (length < FEWEST and not _takes_apart(checks[told[0][0]], reported)):
        return None
    return HeardResult(told[0][0], told[0][1], STATED)


def _takes_apart(check: Check, reported: Collection[str]) -> bool:
    """Whether a check only asks more of a complaint that is reported: of all the rest two words are enough, 'others
    fine'."""
    return any(check.told.get(complaint) == "where" for complaint in reported)


_REST: Final = word_set("other others rest")


def _answered(index: Index, family: str, check: str, entry: Check, parsed: Parsed) -> HeardResult | None:
    """The whole message as an answer to a likely check: a reading with its unit, or words near a result's own."""
    if beside_the_metal(entry, parsed.text):
        return None
    if entry.reading is not None and entry.reading.quantity != "seconds":
        asked: Asked = entry.reading.quantity
        heard = read(asked, parsed.text, plausible_range(entry.reading))
        if heard.value is not None and not heard.unit_mismatch and heard.plausible and _has_unit(parsed, asked):
            return HeardResult(check, in_band(entry, heard.value), LIKELY, heard.value)
        named = open_result(entry) if heard.special == "open" else None
        return HeardResult(check, named, LIKELY) if named else None
    found = answer(index, family, check, parsed.text, aside=True, unasked=True)
    return HeardResult(check, found.result, found.p * 0.9) if found.result is not None and found.p >= CLEAR else None


def _has_unit(parsed: Parsed, asked: Asked) -> bool:
    want = measures(asked)
    units = [unit_for(t.word.lstrip("0123456789.,"), asked) for t in parsed.tokens]
    return any(u is not None and u.measures == want for u in units)


def in_band(entry: Check, value: float) -> str:
    """The result whose fixed band holds a value in SI units; '' where bands are relative or none fits."""
    if entry.reading is None or entry.reading.relative:
        return ""
    if entry.reading.quantity == "microfarad":
        value *= 1e6
    for name, result in entry.results.items():
        band = result.band
        if band is not None and not band.open and (band.low is None or value >= band.low) and (
                band.high is None or value < band.high):
            return name
    return ""
