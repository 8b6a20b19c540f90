"""What a senior's line asks of the bot. Everything else they write is talk, and goes to the junior as it stands."""

# ruff: noqa: E501  word lists
from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from rapidfuzz import fuzz

from bot.conversation.firm import Person
from bot.language.words.text import drop_apostrophes

Kind = Literal["carry_on", "ask", "found", "pass", "call", "end", "where"]
NEAR: Final = 80
"""Similarity (0..100) from which a word is a name with a typo."""

_NO_QUESTION: Final = r"[\s.!]*"
_FORMS: Final[dict[Kind, re.Pattern[str]]] = {
    "carry_on": re.compile(rf"(?:ok |let (?:him|her|them) )?(?:carry on|go on|give (?:it )?back|back to (?:the )?bot|all yours|"
                           rf"continue){_NO_QUESTION}", re.IGNORECASE),
    "ask": re.compile(r"ask(?: (?:him|her|them|for))*[: ]+(?P<what>.+)", re.IGNORECASE),
    "found": re.compile(r"(?:found|(?:the )?fault(?: is)?)[: ]+(?P<what>.+)", re.IGNORECASE | re.DOTALL),
    "pass": re.compile(r"pass(?: it| this(?: one)?| the (?:case|job))?(?: on| over)?(?P<to> to)?[: ]+(?P<what>\w[\w ]*?)"
                       rf"(?: please| pls| thanks| now)?{_NO_QUESTION}", re.IGNORECASE),
    "call": re.compile(r"(?:call|call (?:him|her|them)|ring|phone|number)\W*", re.IGNORECASE),
    "end": re.compile(rf"(?:end(?: it| (?:the )?case)?|close(?: it)?|done with it){_NO_QUESTION}", re.IGNORECASE),
    "where": re.compile(r"(?:where|brief|the case|status)\W*\??", re.IGNORECASE)}

_NOT_FLAT: Final = re.compile(
    r"\b(?:not|no|isnt|wasnt|aint|arent|dont|doesnt|didnt|cant|wont|never|none|nothing|nobody|neither|nor|without|yet|"
    r"probably|prob|likely|maybe|might|may|could|should|would|think|thought|guess|suspect|perhaps|possibly|suppose\w*|"
    r"assume|reckon|bet|seems?|looks like|sounds like|sure|if|unless|or|either|before|first|"
    r"but|though|although|however|except|only|check|try|ok|okay|fine|good|normal|creo|quiza)\b|\?")
"""Doubt, denial, a condition, another way out: no word on a fault that a repair could be built on."""


@dataclass(frozen=True, slots=True)
class Order:
    """One order: `what` it is about, and for `pass` whether it was said to whom ('pass to')."""

    kind: Kind
    what: str = ""
    to: bool = False


def order_in(text: str) -> Order | None:
    """The order that the whole line is; None if it is talk."""
    for kind, form in _FORMS.items():
        if found := form.fullmatch(text.strip()):
            named = found.groupdict()
            return Order(kind, (named.get("what") or "").strip(), bool(named.get("to")))
    return None


def said_flatly(text: str, name: str = "") -> bool:
    """Whether words name a fault without a but. Words of the fault's own `name` ('door not closed') are none."""
    said = drop_apostrophes(text.lower())
    own = set(re.findall(r"\w+", drop_apostrophes(name.lower())))
    return all(found[0] in own for found in _NOT_FLAT.finditer(said))


def person_called(what: str, people: Iterable[Person]) -> Person | None:
    """The one of the crew whose name, or part of it, these words are; typos and missing accents allowed."""
    said = _bare(what)
    for person in people:
        name = _bare(person.name)
        if said in {name, person.id.lower(), *name.split()}:
            return person
    near = [p for p in people if len(said.split()) == 1 and len(said) > 3
            and max(fuzz.ratio(said, form) for form in (_bare(p.name), *_bare(p.name).split())) >= NEAR]
    return near[0] if len(near) == 1 else None


def _bare(text: str) -> str:
    apart = unicodedata.normalize("NFKD", text.lower())
    return " ".join("".join(c for c in apart if not unicodedata.combining(c)).split())
