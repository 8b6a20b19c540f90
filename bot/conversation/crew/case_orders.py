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

_END: Final = r"(?:[ ,]+(?:please|pls|plz|thanks|thx|now|then|mate))*[\s.!]*"
"""How an order may end; a question mark makes talk of it."""
_WHOM: Final = r"(?:him|her|them)"
_CASE: Final = rf"(?:it|this(?: one)?|that(?: one)?|{_WHOM}|(?:the |this )?(?:case|job))"
_FORMS: Final[dict[Kind, str]] = {
    "carry_on": rf"(?:(?:ok|let {_WHOM})[ ,]+)*(?:carry on|go on|continue|all yours|(?:(?:give|hand|put) )?(?:{_CASE} )?back"
                rf"(?: over)? to (?:the )?bot|give (?:{_CASE} )?back){_END}",
    "ask": rf"ask(?: (?:{_WHOM}|for))*[: ]+(?P<what>.+)",
    "found": r"(?:i )?(?:found|(?:the )?fault(?: is)?)[: ]+(?P<what>.+)",
    "pass": rf"(?:pass(?: {_CASE})?(?: on| over)?(?P<to> to)?|(?:pass|give|hand) {_CASE}(?: on| over)? to)"
            rf"[: ]+(?P<what>\w[\w ]*?){_END}|(?:pass(?: {_CASE})?|(?:pass|give|hand) {_CASE})(?: on| over)?(?: to)?{_END}",
    "call": rf"(?:(?:call|ring|phone)(?: {_WHOM})?|(?:phone )?number|(?:whats |give me )?(?:his|her|their) (?:phone )?number)"
            rf"{_END}\W*",
    "end": rf"(?:end(?: it| (?:the |this )?(?:case|job))?|close (?:the |this )?(?:case|job)|done with it){_END}",
    "where": rf"(?:where(?: are we| we are)?|brief|(?:show me )?the case(?: again)?|status){_END}\??"}
_COMPILED: Final = {kind: re.compile(form, re.IGNORECASE | re.DOTALL) for kind, form in _FORMS.items()}

_NOBODY: Final = re.compile(rf"(?:{_CASE})?(?: ?(?:on|over))?(?: ?to)?", re.IGNORECASE)
"""'Pass it on', with nobody's name."""
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
    said = text.strip().replace("what's", "whats").replace("what’s", "whats")
    for kind, form in _COMPILED.items():
        if found := form.fullmatch(said):
            named = found.groupdict()
            to = bool(named.get("to")) or said[:4].lower() in {"give", "hand"}
            what = (named.get("what") or "").strip()
            return Order(kind, "" if kind == "pass" and _NOBODY.fullmatch(what) else what, to)
    return None


_TAKES: Final = re.compile(
    r"(?:i(?: wi)?ll )?(?:take|have) (?:it|that|this|the (?:case|job)|him|her)(?: back| again| over)?|mine(?: again)?|"
    r"back to me|give it back to me", re.IGNORECASE)


def takes_again(text: str) -> bool:
    """Whether a senior who let go of a case wants it again."""
    return _TAKES.fullmatch(drop_apostrophes(text.strip(" .!"))) is not None


_NEARLY_FOUND: Final = re.compile(r"(?:fond|fund|foudn|fuond|foun|its|it's|it is|thats|that's|that is)[: ]+(?P<what>.+)",
                                  re.IGNORECASE | re.DOTALL)


def nearly_found(text: str) -> str | None:
    """What a line may be meant to name as the fault without the order's word: 'its the belt', 'fond the belt'."""
    found = _NEARLY_FOUND.fullmatch(text.strip().replace("’", "'"))
    return found["what"].strip() if found else None


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
