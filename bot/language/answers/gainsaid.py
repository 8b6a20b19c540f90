"""Whether an answer says outright what a result denies: 'it starts and runs' is not 'does not start'."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from bot.language.answers.foreign import KINDS, PARTS
from bot.language.answers.likeness import own_words
from bot.language.complaints.patterns import OK, keys_of
from bot.language.index import Index
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, plain_words, word_set
from knowledge.schema import Check

_IMPLIES: Final[Mapping[str, tuple[str, ...]]] = {
    "hot": ("heat",), "warm": ("heat",), "run": ("start",), "tumble": ("turn", "run"), "spin": ("turn",),
    "turn": ("tumble",)}
"""Who says the one says the other too."""
_DENYING: Final = word_set(
    "no not never nope nah none nothing without isnt dont doesnt wont cant didnt aint neither nor sin nunca wasnt "
    "arent nada nadie ningun casi dead zero stops stopped quit quits until then but only just except barely hardly")
"""With one of these, what an answer says of a thing may be that it does not happen."""
_PRESSING: Final = word_set("press pressed hit push pushed")
"""'When I press start': a button, and nothing that happened."""


def gainsaid(index: Index, family: str, check: str, result: str, text: str) -> bool:
    """True where the result says that something does not happen, and the text says that it does and denies nothing."""
    denied = _denied(index, family, check, result)
    if not denied:
        return False
    words, clauses = index.read(text)
    keys = keys_of(clauses)
    if _DENYING & set(words) or any(key.endswith("-") for key in keys):
        return False
    said = {key.removesuffix(OK) for key in keys}
    if _PRESSING & set(words):
        said.discard("start")
    return bool(denied & (said | {other for key in said for other in _IMPLIES.get(key, ())}))


def never_tripped(index: Index, family: str, check: str, result: str, text: str) -> bool:
    """True where the result says that something tripped, and the text that nothing ever does: 'breaker never trips, it
    just stops'."""
    entry = index.knowledge.packs[family].checks[check].results[result]
    claimed = keys_of(index.parse(entry.says)) | keys_of(index.parse(entry.label))
    return _TRIP in claimed and says_never_trips(index, text)


def says_never_trips(index: Index, text: str) -> bool:
    """Whether words say that no breaker goes off, and not only with nothing else on."""
    words, clauses = index.read(text)
    said = {key.removesuffix(OK) for key in keys_of(clauses)}
    return _TRIP not in said and f"{_TRIP}-" in said and _WITH_OTHERS.isdisjoint(words)


_TRIP: Final = "trip"
_WITH_OTHERS: Final = word_set("alone unless until till needs only except other others both together solo")
"""'Alone it never trips': with others on it does."""


def nowhere_but(index: Index, family: str, check: str, result: str, text: str) -> bool:
    """True where the result says that nothing works anywhere, and the text names a thing that does: 'no heat, burners
    work'. A clock that is lit is none: it says of no heat that there is some."""
    entry = index.knowledge.packs[family].checks[check].results[result]
    claimed = keys_of(index.parse(entry.says))
    nothing = EVERYWHERE in claimed and any(key.endswith("-") for key in claimed)
    if not nothing and not (claimed and claimed <= _DEAD):
        return False
    said = keys_of(index.parse(text))
    well = {key.removesuffix(OK) for key in said if key.endswith(OK)} - _SIGNS
    both = {key[:-1] for key in said if key.endswith("-")} & said
    return any(index.kinds.get(key) == "thing" for key in well) or any(
        index.kinds.get(key) == "function" and key + "-" in claimed for key in both)


EVERYWHERE: Final = "everywhere"
_DEAD: Final = frozenset({"dead", "inop", "nothing"})
_SIGNS: Final = frozenset({"display", "light", "fan", "beep", "flash", "lock", "start", "breaker", "outlet"})
"""Things that live with no heat anywhere."""


def _denied(index: Index, family: str, check: str, result: str) -> frozenset[str]:
    entry = index.knowledge.packs[family].checks[check].results[result]
    keys = keys_of(index.parse(entry.says)) | keys_of(index.parse(entry.label))
    return frozenset(key[:-1] for key in keys if key.endswith("-") and index.kinds.get(key[:-1]) == "function")


def stands_level(entry: Check, result: str, text: str) -> bool:
    """True where the result is of water, and the words say how the machine stands: 'firm, its dead level'."""
    plain = drop_apostrophes(text)
    return ("water" in plain_words(entry.results[result].says) and _STANDS_LEVEL.search(plain) is not None
            and _OF_WATER.isdisjoint(plain_words(plain)))


_STANDS_LEVEL: Final = re.compile(
    r"(?:\b(?:dead|perfectly|its|is|are|sits?|sitting|stands?|standing|all|both ways|pretty|nice and|machine|cabinet|"
    r"and|but|firm|bubble)[ ,]+(?:dead |perfectly |pretty |all |nice and |perfect )?level)\b"
    r"(?! (?:is|looks|was|of|in|seems|ok|good|fine|right|low|high|normal|stays|stops))", re.IGNORECASE)
_OF_WATER: Final = word_set("water agua fill fills filled filling glass wash line inch inches tub drum")


_FINE: Final = r"(?:good|fine|ok|okay|sound|solid|tight|free|whole|intact|perfect|normal|new|bien|buen[oa]s?)"
_WELL: Final = re.compile(_FINE, re.IGNORECASE)
_ILL: Final = re.compile(
    r"\b(?:bad|worn|shot|loose|broken|broke|torn|cracked|bent|wobbl\w*|squeal\w*|stuck|seized|flat|gone|missing|but|"
    r"except|not|isnt|arent|gastad\w*|mal[oa]?)\b", re.IGNORECASE)


def called_fine(entry: Check, result: str, text: str) -> bool:
    """True where a result is called after the part that is bad, and the words call just that part good: 'idler fine'
    is no 'idler worn'."""
    plain = drop_apostrophes(text)
    if entry.kind not in KINDS or not _WELL.search(plain) or _ILL.search(plain):
        return False
    named = [word for word in plain_words(entry.results[result].label) if stem(word) in PARTS]
    if not named:
        return False
    label = "|".join(re.escape(stem(word)) for word in named)
    return re.search(rf"\b(?:{label})\w*(?: (?:is|are|looks?|feels?|seems?|s|all|both|pretty|and \w+|\w+s))* {_FINE}\b",
                     plain, re.IGNORECASE) is not None


_AND_NOT: Final = re.compile(
    r"\W*(?:the |its |that )?(?P<part>\w+)(?: (?:is|are|looks?|feels?|seems?|reads?))?(?: all| pretty| nice and)? "
    rf"{_FINE}(?:\W+| and | n | its )(?:not|no|isnt|aint|never|nothing)(?: at all| even)? (?P<ill>\w+(?: \w+)?)\W*",
    re.IGNORECASE)


def fine_and_not_ill(entry: Check, good: str, text: str) -> bool:
    """Whether words call what is looked at good and deny a trouble of it, and no more: 'belt good, not shiny' has no
    loose pulley. `good`: what a good one shows; 'belt ok not tight' does deny that."""
    told = _AND_NOT.fullmatch(drop_apostrophes(text))
    if told is None or stem(told["part"].lower()) not in {stem(word) for word in plain_words(entry.name)}:
        return False
    well = {stem(word) for word in plain_words(" ".join([*entry.results[good].phrases.get("en", ()), entry.good]))}
    return not _WELL.search(told["ill"]) and not {stem(word) for word in plain_words(told["ill"])} & well


_HALF: Final = re.compile(
    r"\b(?:half|halfway|barely|hardly|partly|partially|not quite|not (?:really|very|that|too|all(?: that)?)|kinda|"
    r"kind of|sorta|sort of|somewhat|medio|apenas)[ -](?:way )?"
    r"(clean|dry|free|clear|open|strong|smooth|bright|tight|hot|warm|good|limpi[oa]s?|sec[oa]s?)\b", re.IGNORECASE)


def half_said(entry: Check, result: str, text: str) -> bool:
    """True where the words give what the result says only by halves, and the result itself does not: 'half clean' is
    no 'clean'."""
    halves = list(_HALF.finditer(drop_apostrophes(text)))
    if not halves:
        return False
    ways = own_words(entry, result)
    own = {stem(word) for way in ways for word in plain_words(way)}
    return any(stem(found.group(1).lower()) in own and not any(found.group().lower() in way.lower() for way in ways)
               for found in halves)


def only_sounds_like(entry: Check, result: str, text: str) -> bool:
    """Whether the words have a result's own in them and mean another."""
    return half_said(entry, result, text) or called_fine(entry, result, text) or stands_level(entry, result, text)
