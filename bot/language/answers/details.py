"""What a complaint tells of itself: 'leaks when it drains' answers at which step it leaks, before anybody asks."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable
from typing import Final

from bot.language.answers.about import parts_of, stems
from bot.language.answers.answer import answer
from bot.language.answers.bands import usual
from bot.language.answers.beginnings import names_only_work
from bot.language.answers.likeness import own_words
from bot.language.index import Index
from bot.language.meaning import HeardResult
from knowledge.schema import Check

BEYOND_DOUBT: Final = 0.93
"""How sure words have to be that answer what nobody asked. Of 40,000 labelled messages some hundred were heard so at
.95, when it trips, leaks or stops; read by eye, five of them wrongly. Where it leaks, sparks, smells or is not clean:
some 350 of 6,300 that report one of these, read by eye about twenty wrongly."""
LONGEST: Final = 30
"""Words of a message in which such an answer is looked for: of 310 that were found, 4 stood in longer ones, and looking
takes milliseconds."""
_WHEN: Final = re.compile(
    r"\b(when|whenever|while|as (it|soon)|soon as|during|once|each time|every time|at once|"
    r"the (second|moment|minute|instant)|right (away|when|as)|straight away|instant|instantly|immediately|"
    r"only (on|in|at|with)|(trips|pops|kicks|stops|quits|cuts out|shuts off) (on|in|at|after)|(leaks|drips) (on|in)|"
    r"restarts|again|(?:comes|came|come|goes|starts) back|after (?:it|they) \w+|"
    r"after (?:about |like )?(?:\d+|a few|an?|half an) ?(?:min\w*|hours?|hrs?)|cuando|"
    r"mientras|al (prender|arrancar|encender)|cada vez)\b", re.IGNORECASE)
"""Words that tell of the moment of something."""
_METERED: Final = re.compile(r"\b(?:ol|ohms?|megs?|megohms?|no continuity)\b", re.IGNORECASE)
"""What a meter read of a part: 'heater OL' tells of no heater that it stands beside."""
_MOMENT: Final = re.compile(
    r"\b(?:when|whenever|while|each time|every time|cuando|mientras) (?:(?:it|its|it's|she|the washer|washer) )?\w+",
    re.IGNORECASE)
"""'When it drains' tells when, and of no drain pipe."""


def details_in(index: Index, family: str, text: str, complaints: Iterable[str]) -> list[HeardResult]:
    """Answers that the words of a reported complaint give to checks which only take that complaint apart (`told`)."""
    reported, found = set(complaints), []
    if len(text.split()) > LONGEST:
        return []
    text = ", ".join(part for part in parts_of(text) if not _METERED.search(part)) if _METERED.search(text) else text
    wanted = {"when", "where"} if _WHEN.search(text) else {"where"}
    whole = stems(text) if reported else frozenset()
    alone_of = {complaint: _alone(index, family, complaint) for complaint in reported}
    for key, check in index.knowledge.packs[family].checks.items():
        named = {"named"} if "named" in check.told.values() and whole & _own_name(index, family, key) else set()
        of = [complaint for complaint in reported if check.told.get(complaint) in wanted | named]
        if not of:
            continue
        if check.begins and names_only_work(text):
            continue
        if all(check.told.get(complaint) != "when" for complaint in of):
            said = _MOMENT.sub(" ", text)
            words = stems(said)
        else:
            said, words = text, whole
        telling = _telling(index, family, key, check)
        plain = frozenset.intersection(*(_plain(index, family, complaint) for complaint in of))
        alone = frozenset().union(*(alone_of[complaint] for complaint in of))
        meant = {name for name, result in check.results.items()
                 if words & telling[name] - plain - (alone - stems(result.label))} - {usual(check)}
        heard = _of_whole_or_part(index, family, key, said, meant) if meant else None
        if heard is not None:
            found.append(heard)
    return found


def _own_name(index: Index, family: str, key: str) -> frozenset[str]:
    """The words of a check's name, without the machine's: for what is told of a part only where that is named."""
    pack = index.knowledge.packs[family]
    machine = (name for names in pack.family.names.values() for name in names)
    return stems(pack.checks[key].name) - stems(" ".join(machine))


def _of_whole_or_part(index: Index, family: str, key: str, text: str, meant: Collection[str]) -> HeardResult | None:
    """The answer of a line, or of the parts of it that give one and no other: 'shows leak code, pan is dry'. How it
    began is told by the whole of a line."""
    whole = _sure(index, family, key, text, meant)
    parts = parts_of(text)
    if whole is not None or len(parts) < 2 or index.knowledge.packs[family].checks[key].begins:
        return whole
    told = [heard for part in parts if (heard := _sure(index, family, key, part, meant)) is not None]
    return told[0] if told and {_likely(index, family, key, part) for part in parts} <= {told[0].result, None} else None


def _likely(index: Index, family: str, key: str, part: str) -> str | None:
    """What a part of a line more likely says than not."""
    heard = answer(index, family, key, part)
    near = heard.near[0] if heard.result is None and heard.near else None
    return near.id if near is not None and near.p >= AS_WELL else heard.result


AS_WELL: Final = 0.4
"""From here on another part of a line may say something else: 'squeals and thumps' is neither alone."""


def _sure(index: Index, family: str, key: str, text: str, meant: Collection[str]) -> HeardResult | None:
    heard = answer(index, family, key, text)
    sure = heard.result in meant and heard.p >= BEYOND_DOUBT
    return HeardResult(key, heard.result, heard.p) if sure and heard.result is not None else None


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
    entry = index.knowledge.packs[family].complaints.get(complaint)
    phrases = [stems(phrase) for phrase in entry.phrases.get("en", ())] if entry is not None else []
    return frozenset().union(*(phrase for phrase in phrases if len(phrase) == 1))


_NO_NEWS: Final = stems(
    "wont doesnt dont cant isnt not no never just only but and make makes get gets it its all goes up out")
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
            for name, entry in check.results.items()}
    return index.telling[family, key]
