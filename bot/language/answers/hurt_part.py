"""A part that is said to be torn, jammed, bent: how somebody found it who looked."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final

from bot.language.answers.about import stems
from bot.language.answers.likeness import choices_of, learned
from bot.language.index import Index
from bot.language.words.forms import stem
from bot.language.words.text import plain_words, word_set
from knowledge.schema import Check

_HURT: Final = re.compile(
    r"\b(?:jammed|torn|ripped|bent|snapped|broke|broken|busted|sheared|stripped|melted|cracked|split|"
    r"kinked|squashed|squished|crushed|smashed|flattened|pinched|chewed|frayed|worn through|packed|"
    r"nests?|chunk (?:out|gone|missing)|flat spots?|"
    r"caked|stuck shut|glued shut|(?:froze|frozen|iced) (?:up|over|solid|shut)|plugged (?:solid|up|tight)|"
    r"full of (?:lint|fluff|hair|coins?|change|junk|crap|gunk)|clogged|off its (?:rail|slide|track|hinge)|"
    r"(?:laying|layin|lying)(?= (?:on|in|at|down)\b)|"
    r"burn(?:ed|t) (?:right )?(?:thru|through|in two|in half|open)|blistered|hole (?:burned|burnt|blown) in|"
    r"(?:has|got) an? (?:\w+ )?(?:hole|rip|tear|cut|split|crack)|"
    r"roto|rota|rasgad[oa]|doblad[oa]|atorad[oa])\b", re.IGNORECASE)
_FOUND_SO: Final = re.compile(
    r"\b(?:was|were)(?= (?:all |really |totally |completely |just )?(?:jammed|torn|packed|clogged|full of|kinked|"
    r"snapped|squashed|squished|crushed|smashed|flattened|pinched|chewed|split|cracked|broken|bent)\b)", re.IGNORECASE)
"""How it was when somebody looked."""
_SAME: Final = {"broke": "broken", "busted": "broken", "rip": "torn", "tear": "torn", "crack": "cracked",
               "layin": "laying", "lying": "laying"}
_NOT_SEEN: Final = re.compile(
    r"\?|\b(?:smells?|sounds?|feels?|like|as if|maybe|might|could|would|if|think|thinks|guess|says?|said|told|"
    r"customer|cust|was|were|wont|cant|not|no|isnt|arent|never|nothing|keeps?|gets?|always|sometimes|before|"
    r"replaced|changed|swapped|new|last|fixed|huele|suena|parece|dice)\b", re.IGNORECASE)
_LITTLE: Final = frozenset((
    "a", "all", "an", "and", "are", "at", "been", "bit", "el", "has", "have", "her", "his", "in", "is", "its", "la",
    "my", "n", "of", "on", "one", "so", "that", "the", "this", "to", "un", "una", "with"))
NEAREST: Final = 3
"""Words beside the one that says how it is that tell which part it is."""
NAMED: Final = 0.6
"""Share of those words that a check has to speak of for the part to be its own."""


_MENDED: Final = re.compile(
    r"\b(?:cleaned|cleared|vacuumed|brushed|wiped|scrubbed|unclogged|freed|fixed|straightened|replaced|swapped|changed|removed|took|pulled|"
    r"limpie)\b", re.IGNORECASE)


def mends(text: str) -> bool:
    """Whether a line tells that it was set right: 'filter packed, cleaned it' is how it was."""
    return _MENDED.search(text) is not None


def as_it_is(text: str) -> str:
    """'Hose was crushed' as 'hose crushed': what somebody found who looked is so now."""
    return _FOUND_SO.sub(" ", text)


def is_hurt(text: str) -> bool:
    """Whether words say of a part how it was found, and not what it sounds like or what somebody says of it."""
    plain = as_it_is(text.replace("'", ""))
    return _HURT.search(plain) is not None and _NOT_SEEN.search(plain) is None


def is_its_own(text: str, key: str, check: Check, result: str) -> bool:
    """Whether the part that words call hurt is the one that a check looks at, and this result says so in such words: a
    cracked cap of a filter is no packed filter."""
    found = _HURT.search(text)
    if found is None:
        return False
    entry = check.results[result]
    says = " ".join([entry.label, entry.says, *entry.phrases.get("en", ()), *entry.phrases.get("es", ())])
    how = found.group().lower()
    if not stems(_SAME.get(how.split()[-1], how)) & stems(says):
        return False
    return names_it(text, stems(f"{key.replace('_', ' ')} {check.name} {check.ask} {says}"))


def names_it(text: str, own: frozenset[str], called: Callable[[frozenset[str]], frozenset[str]] = frozenset) -> bool:
    """Whether the words beside the one that says how a part is are mostly `own`. `called`: what else they call it."""
    found = _HURT.search(text)
    near = (_of_part(text[:found.start()])[-NEAREST:] or _of_part(text[found.end():])[:NEAREST]) if found else []
    return bool(near) and sum(bool(called(stems(word)) & own) for word in near) >= NAMED * len(near)


def _of_part(text: str) -> Sequence[str]:
    return [word for word in re.findall(r"[a-zñáéíóú]+", text.lower()) if word not in _LITTLE]


def hurt_otherwise(index: Index, family: str, check: str, result: str, text: str) -> bool:
    """Whether words tell a hurt that nobody has ever called this result by: 'frayed' of a belt is not yet 'broken'."""
    told = {f"'{stem(word)}" for word in plain_words(text)} & _HURTS
    lines = choices_of(index, family, check, learned())
    return bool(told) and not any(lines.says(result, trait) for trait in told)


_HURTS: Final = frozenset(f"'{stem(word)}" for word in word_set("frayed fraying chewed cracked"))
"""What may still hold."""
