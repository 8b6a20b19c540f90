"""Which choice of a question a short answer means: its number, its label, or a common way to say it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from rapidfuzz import fuzz
from rapidfuzz.distance import Levenshtein

from bot.conversation.wording import choice_words
from bot.language.answers.turns_of_phrase import echo_denied
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, word_set

_NUMBER: Final = re.compile(r"\s*(?:no\.?|number|nr\.?|#|opcion|option)?\s*(\d{1,2})\s*[.):!]*\s*", re.IGNORECASE)
_NUMBER_FIRST: Final = re.compile(r"\s*(?:no\.?|number|nr\.?|#)?\s*(\d{1,2})\s*(?:[,;:)]|[.](?=\s)|"
                                  r"\s-+\s)\s*(?P<rest>[^\d]*[a-záéíóúñ][^\d]*)",
                                  re.IGNORECASE)
"""'4, oven fine': a choice, and a word on it. 'No' or 'or' after it takes that back."""
_TAKEN_BACK: Final = re.compile(r"\b(or|no|not|wait|maybe|ohms?|volts?|amps?|k|meg\w*|min\w*|sec\w*|o|pero|"
                                r"but)\b", re.IGNORECASE)
_NUMBER_WORDS: Final = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "first": 1, "second": 2,
                        "third": 3, "uno": 1, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "1st": 1, "2nd": 2,
                        "3rd": 3, "the first": 1, "the second": 2, "the third": 3, "last": -1, "the last": -1}
_THE_ONE: Final = re.compile(
    r"^(?:(?:its|it is|i pick|pick|id say|thats|the) )*(first|second|third|fourth|fifth|last|1st|2nd|3rd)"
    r"(?: (?:one|choice|option|answer))?$")
"""'The second one' is the second."""
LEAST: Final = 5
"""Letters that a choice must have to be recognised at the start of a longer answer."""
FEW: Final = 4
"""Words of an answer that is taken for the choice it shares one with."""
_LITTLE: Final = word_set("a all an the it its is this that one ones my me i im ill got has have and or of on in at to "
                          "with so just thats there was yes yeah ok part parts el la un una es de y")
_ALIKE: Final = {stem(said): stem(shown) for said, shown in (
    ("lights", "lamps"), ("leds", "lamps"), ("buttons", "keys"), ("touchpad", "keys"), ("dial", "knob"))}
"""What techs call a thing -> what choices call it."""
_PLAIN_WORD: Final = re.compile(r"^\s*(yes|yep|yeah|yup|no|nope|nah|si|sí)\s*[,.;!]\s.*$", re.IGNORECASE | re.DOTALL)
"""'Nope, too dear': the word before the comma answers, what follows says why."""
_CONTRAST: Final = re.compile(r"\b(but|still|not|except|though|however|only|pero|dont|didnt|isnt|wont)\b")
NEAR: Final = 88
"""Similarity (0..100) from which a typed answer counts as a label with a typo."""

WORD_NEAR, SLIPS = 60, 2
"""The same for each word of it, where there are as many, and how many letters of one may be amiss: 'forgot' is no
'got'."""


def number_of(text: str, count: int) -> int | None:
    """The choice (from 1) that a bare number names, if there are that many."""
    found = _NUMBER.fullmatch(text)
    first = _NUMBER_FIRST.fullmatch(text)
    if first is not None and not _TAKEN_BACK.search(first["rest"]):
        found = first
    bare = _THE_ONE.sub(r"\1", text.strip().lower().strip(".!"))
    number = int(found[1]) if found else _NUMBER_WORDS.get(bare)
    if number == -1:
        number = count
    return number if number is not None and 1 <= number <= count else None


def choose(text: str, values: Sequence[str], labels: Mapping[str, str], language: str = "en") -> str | None:
    """The value that `text` means, or None. `labels`: value -> the label that was shown for it."""
    number = number_of(text, len(values))
    if number is not None:
        return values[number - 1]
    said = _folded(_PLAIN_WORD.sub(r"\1", text))
    if not said:
        return None
    best, score = None, 0.0
    for value in values:
        for form in (labels.get(value, value), *choice_words(value, language)):
            folded = _folded(form)
            if said == folded:
                return value
            if len(folded) >= 4 and abs(len(folded) - len(said)) <= 3:
                near = fuzz.ratio(said, folded)
                if near > score and _word_by_word(said, folded):
                    best, score = value, near
    if score < NEAR and echo_denied(text) is None:  # 'as designed? no' chooses nothing
        forms = [(form, value) for value in values for form in (labels.get(value, value),
                                                                *choice_words(value, language))]
        return _begins_with(said, forms) or _shares_a_word(said, forms)
    return best if score >= NEAR else None


def _word_by_word(said: str, form: str) -> bool:
    """Whether only letters are amiss: 'they said ok' is near 'they said no' by its letters, and says the opposite."""
    mine, theirs = said.split(), form.split()
    if len(mine) != len(theirs):
        return _denies(said) == _denies(form)
    return all(
        one == other or (fuzz.ratio(one, other) >= WORD_NEAR and Levenshtein.distance(one, other) <= SLIPS)
        for one, other in zip(mine, theirs, strict=True))


def _denies(folded: str) -> int:
    """How often words deny: 'no frost on back wall' is three letters from 'frost on back wall', and its opposite."""
    return len(_NO_WORD.findall(folded))


_NO_WORD: Final = re.compile(
    r"\b(?:no|not|never|none|nothing|without|isnt|arent|aint|wasnt|doesnt|dont|didnt|wont|cant|sin|nada|nunca)\b")


def _begins_with(said: str, forms: Sequence[tuple[str, str]]) -> str | None:
    """'Not safe to work, the floor is wet': the choice first, then why. A contrast takes that back, and of a look at
    parts what is said of the one that a choice is called after: 'rollers fine, idler rough'."""
    begun = [(len(folded), value) for form, value in forms
             if len(folded := _folded(form)) >= LEAST and said.startswith(folded + " ")
             and not _CONTRAST.search(said[len(folded):])
             and not (value.startswith("result:") and _PRAISE.match(said[len(folded):]))]
    return max(begun)[1] if begun else None


_PRAISE: Final = re.compile(
    r" (?:(?:is|are|looks?|feels?|seems?|spins?|turns?|runs?|both|all|pretty|nice and) )*"
    r"(?:fine|good|ok|okay|sound|quiet|smooth|nice|free|perfect|normal|like new)\b")


def _shares_a_word(said: str, forms: Sequence[tuple[str, str]]) -> str | None:
    """'A knob' for 'Timer knob': the one choice that has any of a few words said. Results of checks are weighed
    elsewhere, with all that is known to be said for each."""
    words = said.split()
    of_check = any(value.startswith("result:") for _, value in forms)
    if of_check or len(words) > FEW or _CONTRAST.search(said) or "no" in words:
        return None
    told = telling(said)
    having = {value for form, value in forms if told & telling(form) and not _DENIES.match(form)}
    return having.pop() if len(having) == 1 else None


_DENIES: Final = re.compile(r"\s*(?:no|not|none|never|without|sin)\b", re.IGNORECASE)
"""'No gas ignition' is not what 'a gas range' shares a word with."""


def telling(words: str) -> set[str]:
    """The stems of words that can tell one choice from another."""
    return {_ALIKE.get(stem(w), stem(w)) for w in _folded(words).split() if w not in _LITTLE}


def _folded(text: str) -> str:
    said = _AND.sub(" and ", _JOINED.sub(" ", drop_apostrophes(text.lower())))
    return re.sub(r"[^\w ]+", "", said).strip()


_JOINED: Final = re.compile(r"(?<=[a-z])-(?=[a-z])")
"""'Top' is the one that is top-load."""
_AND: Final = re.compile(r" (?:n|&|\+) ")
"""'Free n clicks': by its letters the n is nearer to a no."""
