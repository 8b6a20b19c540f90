"""One part of a line that tells a result of a check nobody asked for: which check, and what it showed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.questions.no_word_on_it import condemns
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.readings import FEWEST, shows_open, tells_reading
from bot.conversation.told.whose_part import quantity_read
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told, senseless
from bot.language.answers.about import about, covered, named_instead, of_relative, stems, subjects
from bot.language.answers.bands import usual
from bot.language.answers.beside_it import only_one_place
from bot.language.answers.gainsaid import BY_HAND, says_still
from bot.language.answers.hurt_part import as_it_is, hurt_otherwise, is_hurt, is_its_own, mends
from bot.language.answers.likeness import own_words
from bot.language.answers.measured import like_mains, quantity_of
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.answers.unasked import SURE, told_of
from bot.language.answers.volts import volts_of_part
from bot.language.meaning import HeardResult
from bot.language.readings.read import read
from bot.language.words.forms import stem
from bot.language.words.text import plain_words, word_set
from knowledge.schema import Check, Result

_METER: Final = re.compile(
    r"\d|\b(zero|nothing|volts?|ohms?|amps?|continuity|beeps?|meter\w*|probes?|legs?)\b", re.IGNORECASE)
WHOLE: Final = 0.75
"""Share of the words of an unsafe result, or of one way to say it, that has to be said where it was not asked."""
_LITTLE: Final = word_set("a an the is are has have at with when it its on to of and el la un una es")
NAMED_BY: Final = 2.4
"""Weight of a check's own words from which on 'belt is broken' names its part."""
SAID_OF_IT: Final = 0.3
"""What a hurt part counts for that is named by none of its check's own words."""
BEYOND_DOUBT: Final = 0.95
"""How like a result words are that need none of its own."""
AHEAD: Final = 0.1
"""By how much surer words have to be another check's whose whole name they say, to be no answer to what is asked."""
ALL_OF_IT: Final = 0.99
MUCH_MORE: Final = 3.0
"""By how much more words have to speak of another check than of what is asked, which may share a word with it."""
CLEARLY: Final = 1.3
"""By how much more of one check's name has to be said than of another's."""
NOT_SEEN: Final = re.compile(
    r"\?|\b(others?|rest|everything|will|would|should|could|might|maybe|think|"
    r"guess|if|need|needs|want|wants|going to|gonna|yet|forgot|forgotten|"
    r"(?<!code )(?<!codes )(?<!display )(?<!panel )(?<!sheet )(?<!meter )says|said|was|"
    r"replaced|swapped|changed|new|last|before|havent|haven't|didnt|didn't)\b", re.IGNORECASE)
"""Planned, supposed, heard from others or done before: nothing that was seen now."""


CALLED_FINE: Final = re.compile(
    r"(?:the |its )?[a-z]{4,}s?'?s? (?:(?:is|are|looks?|looked|was|all|both) )*"
    r"(?:fine|ok|okay|good|clean|clear|whole|tight)\W*", re.IGNORECASE)
"""'Filter fine': two words are enough to say that a part is well."""


_TAKEN_OFF: Final = re.compile(
    r"^\W*(?:(?:i|we|ok|so|well|just|then)\W+)*(?:took|pulled|popped|undid|got|unclipped|unhooked|slid|unscrewed) "
    r"(?:the |that |its |my )?(?:\w+ ){1,3}?(?:off|out|apart|loose)"
    r"(?: (?:of |from |at |the |its )*\w+)?\W*$", re.IGNORECASE)
"""'Took the hose off the tub': what somebody did to look, and not how it was found."""


def of_another(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """The result of a check that is not asked, told in words that do not answer what is. None for words on the meter
    itself, for the trouble as it was told already, and for a hurt that nobody calls that result by."""
    if read("ohm", part).special == "cant_measure" or only_the_trouble(turn, part) or only_one_place(part):
        return None
    heard = _told_of_another(turn, part, asked)
    hurt = heard is not None and hurt_otherwise(
        turn.context.release.index, turn.job.family or "", heard.check, heard.result, part)
    return None if hurt or (heard is not None and _set_right(turn, heard, part)) else heard


def _set_right(turn: Turn, heard: HeardResult, part: str) -> bool:
    """Whether words tell that what was found amiss was set right: 'cleaned the duct' is no clean duct."""
    found = {fact.value for fact in turn.job.standing("result") if fact.subject == heard.check}
    return heard.result == usual(turn.pack.checks[heard.check]) and bool(found - {heard.result}) and mends(part)


def only_the_trouble(turn: Turn, part: str) -> bool:
    """'But it wont start' of a machine that does not: no word on how it starts when the door is pushed."""
    said = tuple(word for word in plain_words(part) if word not in _BESIDE_IT)
    told = (turn.pack.complaints[fact.subject] for fact in turn.job.standing("complaint")
            if fact.subject in turn.pack.complaints)
    return any(said == plain_words(way) for entry in told for ways in entry.phrases.values() for way in ways)


_BESIDE_IT: Final = word_set("but it still just and so the thing that is what pero")


def _told_of_another(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    if len(part.split()) < FEWEST and not is_hurt(part) and not CALLED_FINE.fullmatch(part.strip()):
        return None
    if not _BARE_HURT.sub("", part).strip(" ,.;") or _TAKEN_OFF.match(part):
        return None  # 'its broken' is said of what is asked
    evidence = evidence_of(turn.job)
    heard = told_of(turn.context.release.index, turn.job.family or "", part, asked, _idle(turn))
    if heard is None:
        return out_of_turn(turn, part, asked)
    check = turn.pack.checks[heard.check]
    if check.kind == "turn" and BY_HAND.search(part) is None and says_still(turn.context.release.index, part):
        return out_of_turn(turn, part, asked)
    if not holds_as_told(check, evidence) or _only_condemned(turn, heard, part):
        return None
    if "meter" not in check.tools and tells_continuity(part):
        return None  # 'thermostat closed' is a meter's word, and no look
    if "meter" not in check.tools and volts_at(part):
        return None
    if "meter" in check.tools and not _metered(check, part):
        return None
    if "clamp" in check.tools and not _metered(check, part):
        return out_of_turn(turn, part, asked)  # 'glows orange' is what was seen, no current
    if not said_whole(check.results[heard.result], part) or _of_nobodys(turn, heard, part):
        return None
    if check.reading is None and named_instead(
            turn.context.release.index, turn.job.family or "", part, asked, (heard.check,)) is not None and not (
            _plainly_asked(turn, part, asked)):
        return heard
    named = covered(turn.context.release.index, turn.job.family or "", part, heard.check) >= ALL_OF_IT
    if _names_it(turn, heard.check, part, asked) and not _plainly_asked(turn, part, asked):
        return heard
    metered = tells_open(part)
    own = [its.p for key in asked if not (metered and "meter" not in turn.pack.checks[key].tools)
           and (its := answer_to(turn, key, part)).result is not None]
    return None if own and (not named or max(own) > heard.p - AHEAD) else heard


_BARE_HURT: Final = re.compile(
    r"\b(?:its|it is|it|is|yes|yeah|yep|all|the|and|just|really|"
    r"broken?|busted|torn|bent|cracked|split|clogged|jammed|packed|melted|stripped|ripped|snapped|frayed)\b",
    re.IGNORECASE)


def _only_condemned(turn: Turn, heard: HeardResult, text: str) -> bool:
    """Whether a verdict on a part is all that is said, and that part is not what the check is on: 'door lock is bad' is
    no bad wire at its plug."""
    return condemns(text) and covered(
        turn.context.release.index, turn.job.family or "", text, heard.check) < ALL_OF_IT


def volts_at(text: str) -> bool:
    """'120 at the valve', 'fan gets 120': volts as they are read at a part, and no look at it."""
    return any(like_mains(float(found["volts"])) for found in _AT.finditer(text)) or volts_of_part(text)


_AT: Final = re.compile(r"(?<![\w.])(?P<volts>[1-9]\d{1,2}) ?(?:v|vac|volts?)? (?:at|to|across|on) (?:the |its )?[a-z]",
                        re.IGNORECASE)

def _of_nobodys(turn: Turn, heard: HeardResult, text: str) -> bool:
    """Whether a result would be a trouble that nobody reported, of a check that is for such troubles, and was not said
    whole: 'i hear the click but no flame' is no dryer that does not start."""
    result = turn.pack.checks[heard.check].results[heard.result]
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    return (heard.check in _idle(turn) and not stands & set(result.complaints) and bool(result.complaints)
            and not has_whole(result, text))


def said_whole(result: Result, text: str) -> bool:
    """Whether an unsafe result that is a complaint too was said, and not only sounded like: 'the oven heats' is no
    'oven heats at off'."""
    return not (result.unsafe and result.complaints) or has_whole(result, text)


def has_whole(result: Result, text: str) -> bool:
    """Whether words have nearly all of what a result says, or of one way to say it."""
    said = {stem(word) for word in plain_words(text)}
    ways = [result.says, *(phrase for those in result.phrases.values() for phrase in those)]
    wholes = [{stem(word) for word in plain_words(way)} - _LITTLE for way in ways]
    return any(whole and len(whole & said) >= WHOLE * len(whole) for whole in wholes)


def _metered(check: Check, text: str) -> bool:
    """Whether words tell of a reading that this check can show: 'held by ice' is no volts, 'element open' no ground."""
    told = quantity_of(text)
    if told is not None and quantity_read(check) not in {None, told}:
        return False
    if tells_open(text):
        return shows_open(check, text) or _switch_stays_open(check)
    return tells_reading(text) or _METER.search(text) is not None


def _switch_stays_open(check: Check) -> bool:
    """Whether a check of a switch, which has no figure, can find it open: 'door switch reads open when shut'."""
    return check.reading is None and check.kind == "meter" and any(
        tells_open(phrase) for result in check.results.values() for phrase in result.phrases.get("en", ()))


def out_of_turn(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """'Belt is broken' while the vent is asked: the look whose part it names, if it says nothing of what is asked."""
    if NOT_SEEN.search(as_it_is(part)) or tells_continuity(part) or volts_at(part):
        return None
    index, family = turn.context.release.index, turn.job.family or ""
    evidence, idle = evidence_of(turn.job), _idle(turn)
    of_open = MUCH_MORE * max(about(index, family, part, asked).values(), default=0.0)
    runs = says_still(index, part) and BY_HAND.search(part) is None  # how it runs, and not how it turns by hand
    looks = [key for key, check in turn.pack.checks.items()
             if check.reading is None and "meter" not in check.tools and key not in asked
             and holds_as_told(check, evidence) and not (runs and check.kind == "turn")]
    found = []
    hurt = is_hurt(part)
    unnamed = hurt and all(answer_to(turn, key, part).result is None for key in asked)
    for key, weight in about(index, family, part, looks).items():
        heard = answer_to(turn, key, part) if weight >= max(NAMED_BY, of_open) or (
            unnamed and any(is_its_own(part, key, turn.pack.checks[key], name)
                         for name in turn.pack.checks[key].results)) else None
        if heard is not None and heard.result is not None and heard.p >= SURE and (
                heard.p >= BEYOND_DOUBT or _in_its_words(turn.pack.checks[key], heard.result, part)) and not (
                key in idle and heard.result == usual(turn.pack.checks[key])) and said_whole(
                turn.pack.checks[key].results[heard.result], part) and not _of_nobodys(
                turn, HeardResult(key, heard.result, heard.p), part) and not _only_condemned(
                turn, HeardResult(key, heard.result, heard.p), part):
            own = hurt and is_its_own(part, key, turn.pack.checks[key], heard.result)
            share = covered(index, family, part, key) or (SAID_OF_IT if own else 0.0)
            found.append((share, HeardResult(key, heard.result, heard.p)))
    found.sort(key=lambda f: -f[0])
    if not found or found[0][0] <= 0 or (len(found) > 1 and found[0][0] < CLEARLY * found[1][0]):
        return None
    best = found[0][1]
    if hurt and is_its_own(part, best.check, turn.pack.checks[best.check], best.result):
        return best  # 'squashed flat' is said of that part, whatever it would answer elsewhere
    if _names_it(turn, best.check, part, asked) and not _plainly_asked(turn, part, asked):
        return best
    forced = [answer_to(turn, key, part) for key in asked if turn.pack.checks[key].reading is None]
    return best if all(heard.result is None or heard.p < min(SURE, best.p) for heard in forced) else None


def _plainly_asked(turn: Turn, text: str, asked: Sequence[str]) -> bool:
    """Whether words answer what is asked plainly, in its own: "a coin in the impeller" at the filter."""
    checks = turn.pack.checks
    heard = ((key, answer_to(turn, key, text)) for key in asked if checks[key].reading is None)
    return any(its.result is not None and its.p >= SURE
               and (stems(" ".join(own_words(checks[key], its.result))) - stems(checks[key].name)) & stems(text)
               for key, its in heard)


def _names_it(turn: Turn, key: str, text: str, asked: Sequence[str]) -> bool:
    """Whether words have the whole name of a check, of more words than one, and hardly any of what is asked: 'cond fan
    not spinning' is the look at that fan, whatever it would say of the air at the grille."""
    index, family = turn.context.release.index, turn.job.family or ""
    if len(subjects(index, family)[key].named) < 2 or covered(index, family, text, key) < ALL_OF_IT:
        return False
    weights = [about(index, family, text, (one,)).get(one, 0.0) for one in (key, *asked)]
    return weights[0] >= MUCH_MORE * max(weights[1:], default=0.0)


def _in_its_words(check: Check, result: str, text: str) -> bool:
    """Whether words have any of the result's own that are not the check's: 'the one with a pulley' is no oily pulley.
    What a good machine shows needs none."""
    own = stems(" ".join(own_words(check, result))) - stems(check.name)
    return result == usual(check) or not own or bool(own & stems(text))


def _idle(turn: Turn) -> set[str]:
    """Checks of troubles that nobody reported: 'no spark' of a burner that does not light is no word on arcs."""
    evidence = evidence_of(turn.job)
    return {key for key, check in turn.pack.checks.items() if check.presumes and senseless(turn.pack, check, evidence)}


def of_like_part(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """'Start reads open' where the run winding is asked for: never that one's answer, clear or not (result '')."""
    if len(asked) != 1 or asked[0] not in turn.pack.checks:
        return None
    other = of_relative(turn.context.release.index, turn.job.family or "", part, asked[0])
    if other is None:
        return None
    heard = answer_to(turn, other, part)
    sure = heard.result is not None and heard.p >= SURE
    return HeardResult(other, heard.result if sure and heard.result is not None else "", heard.p)
