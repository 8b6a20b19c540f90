"""Inflection of English words: every form a base word may be typed in, and back from form to stem."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Final, Literal, get_args

Form = Literal["base", "s", "ing", "ed"]
FORMS: Final[tuple[Form, ...]] = get_args(Form)
_VOWELS: Final = "aeiou"
_IRREGULAR: Final = {
    "spin": ["spun", "span"], "run": ["ran"], "get": ["got", "gotten"], "freeze": ["froze", "frozen"],
    "shake": ["shook", "shaken"], "break": ["broke", "broken"], "blow": ["blew", "blown"],
    "stick": ["stuck"], "go": ["goes", "went", "gone"], "do": ["does", "did", "done"],
    "take": ["took", "taken"], "come": ["came"], "keep": ["kept"], "burn": ["burnt"], "smell": ["smelt"],
    "light": ["lit"], "stink": ["stank", "stunk"], "hear": ["heard"], "die": ["dying", "died"],
    "begin": ["began", "begun"], "give": ["gave", "given"], "fall": ["fell", "fallen"],
    "throw": ["threw", "thrown"], "make": ["made"], "catch": ["caught"], "tear": ["tore", "torn"],
    "rise": ["rose"], "sit": ["sat"], "feel": ["felt"], "shrink": ["shrank", "shrunk"], "hold": ["held"],
    "drive": ["drove", "driven"], "wear": ["wore", "worn"], "think": ["thought"], "tell": ["told"],
    "stand": ["stood"], "bite": ["bit", "bitten"], "wring": ["wrung"], "sweep": ["swept"], "find": ["found"]}


@cache
def verb_forms(verb: str) -> Mapping[str, Form]:
    """All forms of a verb, also with the usual slips in doubling letters ('spining', 'draing' stays a typo)."""
    forms: dict[str, Form] = {verb: "base"}
    forms.setdefault(verb + ("es" if verb.endswith(("s", "sh", "ch", "x", "z")) else "s"), "s")
    stem = verb[:-1] if verb.endswith("e") and not verb.endswith("ee") else verb
    for tail, form in (("ing", "ing"), ("in", "ing"), ("ed", "ed")):
        forms.setdefault(stem + tail, form)  # type: ignore[arg-type]
        if stem != verb:
            forms.setdefault(verb + tail, form)  # type: ignore[arg-type]
        if len(verb) > 2 and verb[-1] not in _VOWELS + "wxy" and verb[-2] in _VOWELS:
            forms.setdefault(verb + verb[-1] + tail, form)  # type: ignore[arg-type]
    if verb.endswith("y") and verb[-2:-1] not in _VOWELS:
        forms[verb[:-1] + "ies"], forms[verb[:-1] + "ied"] = "s", "ed"
    for odd in _IRREGULAR.get(verb, ()):
        forms[odd] = "ing" if odd.endswith("ing") else "ed" if odd not in ("goes", "does") else "s"
    return forms


def noun_forms(noun: str) -> dict[str, Form]:
    """A noun and its plural."""
    forms: dict[str, Form] = {noun: "base"}
    if noun.endswith("y") and noun[-2:-1] not in _VOWELS:
        forms[noun[:-1] + "ies"] = "s"
    forms[noun + ("es" if noun.endswith(("s", "sh", "ch", "x", "z")) else "s")] = "s"
    return forms


_NO_VERB: Final = frozenset({"within", "margin", "cabin", "muffin", "napkin", "pumpkin", "cousin", "vitamin", "plugin"})


def in_full(word: str) -> str:
    """'Heatin' as it is written: 'heating'. 'Drain' and 'within' are whole."""
    dropped = len(word) > 5 and word.endswith("in") and word[-3] not in "aeu" and word not in _NO_VERB
    return f"{word}g" if dropped else word


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """A rough stem for words outside the lexicon, so that 'rollers' and 'roller' meet."""
    if len(word) > 5:
        for tail in ("ing", "ed", "es"):
            if word.endswith(tail):
                cut = word[: -len(tail)]
                return cut[:-1] if len(cut) > 3 and cut[-1] == cut[-2] and cut[-1] not in "ls" else cut
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        return word[:-1]
    return word[:-1] if len(word) > 4 and word.endswith("e") else word
