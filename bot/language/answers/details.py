"""What a complaint tells of itself: 'leaks when it drains' answers at which step it leaks, before anybody asks."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import cache, partial
from typing import Final

from bot.language.answers.about import ALIKE, parts_of, stems
from bot.language.answers.answer import answer
from bot.language.answers.bands import usual
from bot.language.answers.beginnings import tells_no_beginning
from bot.language.answers.beside_it import all_but_one
from bot.language.answers.by_the_way import told_by_the_way
from bot.language.answers.foreign import PARTS
from bot.language.answers.likeness import own_words
from bot.language.answers.told_apart import lines_of, names_of, told_apart
from bot.language.dangers.unsafe_seen import without_hot_feed
from bot.language.index import Index
from bot.language.meaning import Answer, HeardResult
from bot.language.words.forms import in_full
from bot.language.words.silence import said_as_one
from bot.language.words.text import plain_words
from knowledge.schema import Check

LIKELY: Final = 0.8
"""How likely words have to be as an answer, for what nobody asked; ..."""
TOLD: Final = 0.55
"""... and how likely they then tell it by the way. Of 1,015 that were found in 9,000 labelled messages, judged by two
people by eye (they call 55 % told, 32 % not told, the others doubtful), .79 of what is told is taken so, and of
what is taken .80 is told and .09 not (by folds over checks). By the first number alone, from .93 on, as it was before:
.67, .65 and .23."""
LONGEST: Final = 30
"""Words of a message in which such an answer is looked for: of 310 that were found, 4 stood in longer ones, and looking
takes milliseconds."""
_WHEN: Final = re.compile(
    r"\b(when|whenever|while|as (it|soon)|soon as|during|once|each time|every time|at once|"
    r"the (second|moment|minute|instant)|right (away|when|as)|straight away|instant|instantly|immediately|"
    r"only (on|in|at|with)|(trips|pops|kicks|stops|quits|cuts out|shuts off) (on|in|at|after)|(leaks|drips) (on|in)|"
    r"restarts|again|(?:comes|came|come|goes|starts) back|after (?:it|they) \w+|"
    r"after (?:about |like )?(?:\d+|a few|an?|half an) ?(?:min\w*|hours?|hrs?)|cuando|"
    r"(?:if|unless|till|until) (?:i|you|u|ya|we) (?:push|press|lean|hold|lift)|"
    r"mientras|al (prender|arrancar|encender)|cada vez)\b", re.IGNORECASE)
"""Words that tell of the moment of something."""
_CUT_SHORT: Final = re.compile(r"\b[a-z]{4,}in\b", re.IGNORECASE)
_METERED: Final = re.compile(r"\b(?:ol|ohms?|megs?|megohms?|no continuity)\b", re.IGNORECASE)
"""What a meter read of a part: 'heater OL' tells of no heater that it stands beside."""
_INTACT: Final = re.compile(r"\b(?:and|n|is|are|looks?|still|all) whole\b(?! (?:top|thing|\w+ is))", re.IGNORECASE)
"""'White and whole' is how a part looks, and no whole of several."""
_MOMENT: Final = re.compile(
    r"\b(?:when|whenever|while|each time|every time|cuando|mientras) "
    r"(?:(?:it|its|it's|she|i|you|u|we|the washer|washer) )?\w+", re.IGNORECASE)
"""'When it drains' tells when, and of no drain pipe."""


CODE: Final = "error_code"
_SHOWN_ON: Final = re.compile(
    r"\b(?:on|in|across) (?:the |its |my )?(?:front |little |digital )?"
    r"(?:display|panel|screen|board|control|readout)\b|"
    r"\b(?:control )?(?:board|electronic|digital|panel|timer)(?: control\w*)?[ -]"
    r"(?:type|style|model|one|kind|machine|unit|run|version)\b", re.IGNORECASE)
"""'Code on the display, board type' tells where a code stands and how the machine is built, not what it is about."""


def details_in(index: Index, family: str, text: str, complaints: Iterable[str]) -> list[HeardResult]:
    """Answers that the words of a reported complaint give to checks which only take that complaint apart (`told`)."""
    reported, found = set(complaints), []
    if len(text.split()) > LONGEST:
        return []
    text = _INTACT.sub(" ", without_hot_feed(text))
    line = text
    text = ", ".join(part for part in parts_of(text) if not _METERED.search(part)) if _METERED.search(text) else text
    text = said_as_one(_CUT_SHORT.sub(lambda word: in_full(word[0]), text)).replace("no sound", "silent")
    wanted = {"when", "where"} if _WHEN.search(text) else {"where"}
    whole = stems(text) if reported else frozenset()
    alone_of = {complaint: _alone(index, family, complaint) for complaint in reported}
    for key, check in index.knowledge.packs[family].checks.items():
        named = {"named"} if "named" in check.told.values() and whole & _own_name(index, family, key) else set()
        of = [complaint for complaint in reported if check.told.get(complaint) in wanted | named]
        if not of:
            continue
        if check.begins and tells_no_beginning(text):
            continue
        if (one := all_but_one(check, text)) is not None:
            found.append(HeardResult(key, one, AS_NAMED))
            continue
        if check.kind != "run" and all(check.told.get(complaint) != "when" for complaint in of):
            said = _MOMENT.sub(" ", text)
            words = stems(said)
        else:
            said, words = names_of(index, family).sub(" ", text), whole
        if CODE in check.told:
            said = _SHOWN_ON.sub(" ", said)
            words = stems(said)
        plain_of = [_plain(index, family, complaint) for complaint in of]
        plain = frozenset.intersection(*plain_of)
        telling = {name: own - plain for name, own in _telling(index, family, key, check).items()}
        alone = frozenset().union(*(alone_of[complaint] for complaint in of))
        meant = {name for name, result in check.results.items()
                 if words & telling[name] - (alone - stems(result.label))} - {usual(check)}
        phrases = _said_whole(index, family, key, said)
        whole_said = {name for name, phrase in phrases if phrase - alone.union(*plain_of)} - {usual(check)}
        own = _own_name(index, family, key) | PARTS
        of_part = {name for name, phrase in phrases if phrase & own and phrase - own} & whole_said
        meant |= whole_said if named else of_part
        if len(whole_said) == 1 and of_part == whole_said:
            found.append(HeardResult(key, next(iter(of_part)), AS_NAMED))
            continue
        bare = sounds_like(index, family, key, of) if meant else {}
        meant -= {name for name, beside in bare.items() if not words & beside} - whole_said
        beside = {name: words - _own_name(index, family, key) for name, words in telling.items()}
        heard = _of_whole_or_part(index, family, key, said, meant, idle={*bare, usual(check)}, telling=beside,
                                  own=_words_of(index, family, of), named=bool(named)) if meant else None
        if heard is not None and not _sounds_elsewhere(index, family, heard, reported, text) and not (
                only_the_trouble(index, family, heard, of, words) and words not in map(stems, own_words(
                    check, heard.result))):  # nothing but the pack's own 'runs on'
            found.append(heard)
    lines = lines_of(index, family, line) if found else []
    return [heard for heard in found if _told(index, family, heard, lines)]


def _told(index: Index, family: str, heard: HeardResult, lines: Sequence[str]) -> bool:
    """Whether an answer that was found is told, and not only sounded like. 'The others are ok' needs no weighing."""
    check = index.knowledge.packs[family].checks[heard.check]
    return any(all_but_one(check, line) == heard.result for line in lines) or (
        told_by_the_way(index, family, heard.check, heard.result, lines) >= TOLD)


def only_the_trouble(index: Index, family: str, heard: HeardResult, of: Iterable[str], words: frozenset[str]) -> bool:
    """Whether a run that shows what must not wait is told by no word that is not the complaint's, too: 'keeps on
    filling' says nothing of a plug that is out."""
    check = index.knowledge.packs[family].checks[heard.check]
    return check.kind == "run" and check.results[heard.result or ""].unsafe is not None and not (
        words & stems(" ".join(own_words(check, heard.result))) - _words_of(index, family, of))


def _sounds_elsewhere(index: Index, family: str, heard: HeardResult, reported: Collection[str], text: str) -> bool:
    """Whether a bare sound, with no word of what makes it, is made elsewhere: at a moment that is none of the check's,
    'wont drain, rattles when it spins'; or it would show a complaint that nobody told, though another check takes one
    that was told apart by the same sound: 'wont drain, stops with water in the drum, hums' is no drum that stands."""
    checks, words = index.knowledge.packs[family].checks, stems(text)
    sound, check = words & _SOUNDS, checks[heard.check]
    if not sound or words & _RUNNING or check.kind != "listen":
        return False
    moment = _MOMENT.search(text)
    if moment is not None and not stems(" ".join(text[moment.start():].split()[:MOMENT])) & stems(
            f"{check.name} {check.ask}"):
        return True
    result = check.results[heard.result or ""]
    shows, said = set(result.complaints), words & stems(result.says) - sound
    return not shows <= set(reported) and len(said) < ALIKE and any(
        sound & telling for key, other in checks.items() if key != heard.check and reported & other.told.keys()
        for name, telling in _telling(index, family, key, other).items()
        if set(other.results[name].complaints) <= set(reported))


MOMENT: Final = 5
"""Words from 'when' on that tell the moment: 'when it tries to start'."""


def _own_name(index: Index, family: str, key: str) -> frozenset[str]:
    """The words of a check's name, without the machine's: for what is told of a part only where that is named."""
    pack = index.knowledge.packs[family]
    machine = (name for names in pack.family.names.values() for name in names)
    return stems(pack.checks[key].name) - stems(" ".join(machine))


def _said_whole(index: Index, family: str, key: str, text: str) -> list[tuple[str, frozenset[str]]]:
    """Result -> stems of its own phrase of two words or more that stands whole in a text and is not denied there: 'drum
    turns, no glow seen'. Where it names the part itself nothing else can be meant: 'wont drain, pump hums'."""
    if (family, key) not in index.phrases_of:
        results = index.knowledge.packs[family].checks[key].results
        index.phrases_of[family, key] = [
            (name, f" {' '.join(plain_words(phrase))} ", stems(phrase))
            for name, result in results.items() for phrase in result.phrases.get("en", ()) if " " in phrase]
    said = f" {' '.join(plain_words(text))} "
    return [(name, own) for name, phrase, own in index.phrases_of[family, key]
            if phrase in said and not all(f" {before}".endswith(_DENIES) for before in said.split(phrase)[:-1])]


_DENIES: Final = (" not", " no", " never", " isnt")


AS_NAMED: Final = 0.95


def _of_whole_or_part(index: Index, family: str, key: str, text: str, meant: Collection[str], *,
                      idle: Collection[str | None], telling: Mapping[str, frozenset[str]], own: frozenset[str],
                      named: bool) -> HeardResult | None:
    """The answer of a line, or of the parts of it that give one and no other: 'shows leak code, pan is dry'. How it
    began is told by the whole of a line. `idle`: results that its other parts may sound like; `own`: words of the
    complaint, of which alone a part tells nothing else, unless they are `telling`; `named`: only of the parts in which
    a word of the check's name is said."""
    check, hear = index.knowledge.packs[family].checks[key], cache(partial(answer, index, family, key, unasked=True))
    whole = _sure(check, hear, text, meant)
    if whole is not None or check.begins:
        return None if whole is None else HeardResult(key, *whole)
    marked, anew = parts_of(text), told_apart(text)
    if named and len(marked) > 1:
        marked = [part for part in marked if stems(part) & _own_name(index, family, key)] or marked
    for parts in (marked, anew) if len(anew) > len(marked) else (marked,):
        told = [heard for part in parts if (heard := _sure(check, hear, part, meant)) is not None]
        others = {likely for part in parts if told and (likely := _likely(hear, part)) is not None
                  and (stems(part) - own or stems(part) & telling[likely])}
        if told and others <= {told[0][0], *idle}:
            return HeardResult(key, *told[0])
    return None


Hear = Callable[[str], Answer]
"""What an answer to one check is heard as."""


def _likely(hear: Hear, part: str) -> str | None:
    """What a part of a line more likely says than not."""
    heard = hear(part)
    near = heard.near[0] if heard.result is None and heard.near else None
    return near.id if near is not None and near.p >= AS_WELL else heard.result


AS_WELL: Final = 0.4
"""From here on another part of a line may say something else: 'squeals and thumps' is neither alone."""


def _sure(check: Check, hear: Hear, text: str, meant: Collection[str]) -> tuple[str, float] | None:
    """The result that a text gives, and how surely."""
    named, own = stems(text) & _RUNNING, _RUNNING & stems(
        " ".join([check.name, check.ask, *(entry.says for entry in check.results.values())]))
    if named and own and not named & own:
        return None  # 'pump hums' is no word on the motor of a drum
    heard = hear(text)
    if heard.result is None or heard.result not in meant or heard.p < LIKELY:
        return None
    return heard.result, heard.p


_RUNNING: Final = stems("pump motor fan blower compressor")
"""Parts that hum, run or stand still each for itself."""


_SOUNDS: Final = stems("hums buzzes rattles growls clicks")
"""What a result is told by where the pack has it in one word, though 'hums along' is said of another, too."""


def _plain(index: Index, family: str, complaint: str) -> frozenset[str]:
    """Words that say the complaint and no more: 'wont drain' tells nothing of a pump that hums and wont drain."""
    if (family, complaint) not in index.plainly_said:
        entry = index.knowledge.packs[family].complaints.get(complaint)
        phrases = [stems(phrase) for phrase in entry.phrases.get("en", ())] if entry is not None else []
        often = Counter(word for phrase in phrases for word in phrase)
        index.plainly_said[family, complaint] = frozenset(
            word for word, count in often.items() if count >= max(2, COMMON * len(phrases))) | _NO_NEWS
    return index.plainly_said[family, complaint]


def _alone(index: Index, family: str, complaint: str) -> frozenset[str]:
    """Words that are the complaint all by themselves: 'off balance' tells of no balance ring, 'grinds' what it is."""
    if (family, complaint) not in index.said_alone:
        entry = index.knowledge.packs[family].complaints.get(complaint)
        phrases = [stems(phrase) for phrase in entry.phrases.get("en", ())] if entry is not None else []
        index.said_alone[family, complaint] = frozenset().union(*(own for own in phrases if len(own) == 1))
    return index.said_alone[family, complaint]


def sounds_like(index: Index, family: str, key: str, complaints: Iterable[str]) -> dict[str, frozenset[str]]:
    """Results that the plainest ways to say a complaint, 'wont spin', sound like anyway -> what else they say: 'motor
    runs, basket stands' is told with a word of the motor alone."""
    found: dict[str, frozenset[str]] = {}
    for complaint in complaints:
        if (family, key, complaint) not in index.sounds_like:
            index.sounds_like[family, key, complaint] = _plainly_like(index, family, key, complaint)
        found |= index.sounds_like[family, key, complaint]
    return found


def _plainly_like(index: Index, family: str, key: str, complaint: str) -> dict[str, frozenset[str]]:
    entry, check = index.knowledge.packs[family].complaints.get(complaint), index.knowledge.packs[family].checks[key]
    phrases = entry.phrases.get("en", ()) if entry is not None else ()
    given = Counter(answer(index, family, key, phrase, unasked=True).result for phrase in phrases[:PLAINEST])
    own = _words_of(index, family, (complaint,)) - _RUNNING
    says = {result: stems(f"{its.label} {its.says}") for result, its in check.results.items()
            if complaint in its.complaints}
    return {result: says[result] - own for result, count in given.items()
            if result in says and count >= OFTEN and (check.kind == "run" or says[result] & _RUNNING)}


def _words_of(index: Index, family: str, complaints: Iterable[str]) -> frozenset[str]:
    """All words that the pack says complaints in, and those of the machine."""
    pack = index.knowledge.packs[family]
    entries = (pack.complaints.get(complaint) for complaint in complaints)
    machine = stems(" ".join(name for names in pack.family.names.values() for name in names))
    return _NO_NEWS.union(machine, _FUELS, *(stems(phrase) for entry in entries if entry is not None
                            for phrase in entry.phrases.get("en", ())))


PLAINEST: Final = 5
"""Ways to say a complaint that stand first in the pack: the plain ones, ..."""
OFTEN: Final = 2
"""... and how many of them have to sound like a result, for others to sound so by themselves."""
_NO_NEWS: Final = stems(
    "wont doesnt dont cant isnt not no never just only but and make makes get gets it its all goes up out after")
_FUELS: Final = stems("electric elec")
"""Which machine it is, and nothing of what it does."""
_DENIED: Final = re.compile(r"\b(?:no|not|without|never) \w+")
COMMON: Final = 0.3
"""Share of a complaint's phrases from which on a word of them tells nothing beside it."""


def _telling(index: Index, family: str, key: str, check: Check) -> dict[str, frozenset[str]]:
    """Words that the pack has for a result and for no other of the check. 'No hum' has none of a hum, but of what stops
    the visit only words count that stand nowhere else at all."""
    if (family, key) not in index.telling:
        ways = {name: " ".join(own_words(check, name)) for name in check.results}
        whole = {name: stems(said) for name, said in ways.items()}
        meant = {name: stems(_DENIED.sub(" ", said)) for name, said in ways.items()}
        index.telling[family, key] = {
            name: whole[name] - frozenset().union(*(
                (meant if entry.unsafe is None else whole)[other] for other in check.results if other != name))
            | (_SOUNDS & stems(" ".join(way for way in entry.phrases.get("en", ()) if " " not in way)))
            for name, entry in check.results.items()}
    return index.telling[family, key]
