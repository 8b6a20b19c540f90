"""Whether an answer says outright what a result denies: 'it starts and runs' is not 'does not start'."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from bot.language.answers.about import parts_of
from bot.language.answers.bands import usual
from bot.language.answers.foreign import KINDS, PARTS
from bot.language.answers.likeness import choices_of, learned, own_words
from bot.language.complaints.dry_place import only_a_place_dry, says_dry
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
    "arent nada nadie ningun casi dead zero zip zilch squat jack diddly "
    "nothin nuthin stops stopped quit quits until then but only just except barely hardly")
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


def denied_outright(index: Index, family: str, check: str, text: str) -> frozenset[str]:
    """Results called after a state that the text denies and says nothing else of: 'both on, not hot' is no 'hot or
    slack', 'isnt slimy' no 'slimy or packed'."""
    denied, said = _denied_states(index, text)
    if not denied:
        return frozenset()
    lines, found = choices_of(index, family, check, learned()), set()
    for result, entry in index.knowledge.packs[family].checks[check].results.items():
        named = denied & (keys_of(index.parse(entry.says)) | keys_of(index.parse(entry.label)))
        if named and not any(lines.says(result, key) for key in said) and any(
                not lines.says(result, f"{key}-") for key in named):
            found.add(result)
    return frozenset(found)


def without_denials(index: Index, text: str) -> str:
    """A text without the states it denies: 'both on, level' of 'both on, level, not hot'."""
    left = _NOTHING_IS.sub(" ", drop_apostrophes(text))
    for feature in reversed([one for clause in index.parse(left) for one in clause.features]):
        no = list(_NO_WORD.finditer(left, 0, feature.start)) if feature.sign < 0 and feature.kind in _STATES else []
        if no and len(left[no[-1].end():feature.start].split()) <= _FAR:
            left = left[:no[-1].start()] + " " + left[feature.end:]
    return re.sub(r"\s+", " ", left).strip(" ,.;")


def _denied_states(index: Index, text: str) -> tuple[frozenset[str], frozenset[str]]:
    """States and happenings that a text denies, and what else it says is so; of 'nothing hot' hot is denied too. A
    place that is dry denies no leak elsewhere."""
    keys = keys_of(index.parse(text))
    nothing = frozenset(key for found in _NOTHING_IS.finditer(drop_apostrophes(text))
                        for key in keys_of(index.parse(found["what"])))
    denied = {key[:-1] for key in keys if key.endswith("-")} | nothing
    said = {key.removesuffix(OK) for key in keys if not key.endswith("-")} - nothing
    return frozenset(key for key in denied if index.kinds.get(key) in _STATES and key != "leak"), frozenset(
        key for key in said if index.kinds.get(key) in (*_STATES, "function"))


_STATES: Final = ("state", "event")
_FAR: Final = 3
"""Words that may stand between a 'not' and what it denies."""
_NO_WORD: Final = re.compile(
    r"\b(?:no|not|isnt|arent|aint|wasnt|werent|never|neither|nor|doesnt|dont|didnt|without|sin)\b", re.IGNORECASE)
_NOTHING_IS: Final = re.compile(
    r"\b(?:nothing|nothin|nuthin|nowt|none|neither|no (?:part|bit|side|one|wire|lug) of (?:it|them)|nada)"
    r"(?: (?:is|was|are|were|looks?|feels?|seems?|got|really|even|one|side|half|of (?:it|them|em|the \w+)))* "
    r"(?P<what>[a-z]+)", re.IGNORECASE)


def stands_still(index: Index, entry: Check, result: str, text: str) -> bool:
    """True where the result is of a part that turns freely by hand, and the text says that it does not turn: 'fan isnt
    spinning' is how it runs, not how it turns."""
    return entry.kind == "turn" and result == usual(entry) and says_still(index, text)


def says_still(index: Index, text: str) -> bool:
    """Whether words say that something does not turn or run, and of nothing that it does."""
    keys = keys_of(index.parse(text))
    return any(f"{key}-" in keys for key in _MOVES) and not any(key in keys or key + OK in keys for key in _MOVES)


BY_HAND: Final = re.compile(
    r"\b(?:hand|fingers?|flick\w*|stiff|seiz\w*|froz\w*|jam\w*|stuck|gritt?y|rough|locked|bound|tight|when i)\b",
    re.IGNORECASE)
"""Words by which what does not turn was turned by hand."""
_MOVES: Final = ("spin", "turn", "run", "tumble")


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


_FINE: Final = (r"(?:good|fine|ok|okay|sound|solid|tight|free|whole|intact|smooth|quiet|quietly|nice|nicely|perfect|"
                r"normal|new|bien|buen[oa]s?)")
_PRAISED: Final = r"(?:good|fine|ok|okay|sound|smooth|quiet|nice|perfect|normal)"
_BEING: Final = r"(?: (?:is|are|looks?|feels?|seems?|s|all|both|pretty|and \w+|\w+s))"
_LISTED: Final = rf"(?:,|&| and| n| the| both| all| (?:{'|'.join(sorted(map(re.escape, PARTS)))})\w*)"
"""What stands between the parts of a list: 'rollers, idler and belt spin fine'."""
_WELL: Final = re.compile(_FINE, re.IGNORECASE)
_ILL: Final = re.compile(
    r"\b(?:bad|worn|shot|loose|broken|broke|torn|cracked|bent|wobbl\w*|squeal\w*|stuck|seized|flat|gone|missing|but|"
    r"except|not|isnt|arent|dont|doesnt|wont|cant|grind\w*|growl\w*|squeak\w*|nois[ey]\w*|rough|gritty|stiff|play|dry|"
    r"worse|half|gastad\w*|mal[oa]?)\b", re.IGNORECASE)


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
    return re.search(rf"\b(?:{label})\w*(?:{_BEING}* {_FINE}|{_LISTED}*(?: \w+){{0,3}} {_PRAISED})\b", plain,
                     re.IGNORECASE) is not None


def without_praise(entry: Check, text: str) -> str:
    """A text without what it calls good of the parts that the results are called after: 'idler feels rough' of 'rollers
    fine, idler feels rough'. All of it where nothing else is called bad: 'rollers, idler and bearing all good'."""
    parts = parts_of(text)
    left = [part for part in parts if not any(called_fine(entry, result, part) for result in entry.results)]
    rest = ", ".join(left)
    return rest if len(left) < len(parts) and _ILL.search(drop_apostrophes(rest)) else text


def leaks_nowhere_named(entry: Check, result: str, text: str) -> bool:
    """True where a result is that it leaks there and the words say that it is dry, or it is that nothing leaks and they
    say so of one place alone."""
    leaking = {name for name, found in entry.results.items() if _LEAKS & set(found.complaints)}
    if not leaking:
        return False
    return says_dry(text) if result in leaking else only_a_place_dry(text)


_LEAKS: Final = frozenset({"leaks", "water_on_floor"})
_EASY: Final = re.compile(
    r"\W*(?:(?:the|it|its|drum|basket|tub|wheel|and|yes|yeah|yep|ok|it still|still)\W+)*"
    r"(?:(?:turns?|spins?|rolls?|moves?|goes|turned|spun) )?"
    r"(?:(?:pretty|real|really|nice|nice and|very|quite|all|fairly) )*"
    r"(?:easy|easily|free|freely|loose|loosely)(?: (?:by hand|both ways|enough|around|round|now|tho|though|all))*\W*",
    re.IGNORECASE)


def only_easy(entry: Check, result: str, text: str) -> bool:
    """True where a part that turns too freely is at fault, and the words say of it no more than 'turns easy': that is
    how many say that it is well."""
    return entry.kind == "turn" and result != usual(entry) and _EASY.fullmatch(drop_apostrophes(text)) is not None


_AND_NOT: Final = re.compile(
    rf"\W*(?:the |its |that )?(?P<part>\w+)(?: (?:is|are|looks?|feels?|seems?|reads?))?"
    rf"(?: all| pretty| nice and)? {_FINE}(?:\W+| and | n | its )(?:not|no|isnt|aint|never|nothing)(?: at all| even)? "
    r"(?P<ill>\w+(?: \w+)?)\W*", re.IGNORECASE)


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
