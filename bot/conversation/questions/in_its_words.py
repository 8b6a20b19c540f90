"""A question after the build of a machine, answered in its own words: what it has, 'two strips by the filter';
what heats it, 'gas on all of it'; or by a word that goes with one build alone, 'board run, no timer'."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Question
from bot.conversation.questions.choosing import telling
from bot.conversation.turn import Turn
from bot.language.dangers.sounds_like import of_a_fuel
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, plain_words, tokens_of, word_set

_HAS: Final = frozenset({"present", "absent"})
_NO: Final = re.compile(
    r"\b(?:no|not|none|nope|nah|never|without|dont|doesnt|isnt|arent|aint|cant|couldnt|nothing|neither|no hay|sin|"
    r"ningun\w*)\b")
_YES: Final = re.compile(
    r"^\W*(?:yes|yep|yeah|yup|ya|si|sí|sure|it (?:does|has)|they are|there (?:is|are)|it (?:is|"
    r"are))\W*$", re.IGNORECASE)
_BARE_NO: Final = re.compile(r"^\W*(?:no|nope|nah|none|not any|neither|it (?:doesnt|hasnt)|there (?:isnt|arent))\W*$")
_LITTLE: Final = word_set(
    "a an the is are has have got it its there theres theyre its i see can yes yep yeah si of on in by at to and or "
    "with two 2 both "
    "some any this that one right here just do does they them el la los las hay un una en de dos y inside")
FEWEST: Final = 1
GAS: Final = "gas"
_OTHERS: Final = re.compile(r"(?<!not )\belectric\b|\bnot gas\b|\b(?:top|cooktop|burners?)\b(?!.*\b(?:ovens?|bottom|"
    r"all|both|too)\b)")
"""Of gas that is only on top."""


MOST: Final = 10
"""Words of a line that names a build; a longer one tells of more."""
_DENIED: Final = re.compile(
    r"\b(?:no|not|never|isnt|doesnt|dont|wont|without|sin)\b(?: (?:a|an|the|any|one|un|una))*((?: \w+){1,2})")
_NO_NAME: Final = word_set("none present absent")
_OPEN: Final = re.compile(r"\b(?:or|think|maybe|guess|could|might|probably|either|both|o|creo|tal vez)\b|\?")


def build_named(turn: Turn, question: Question, text: str) -> str | None:
    """The build that words name which go with no other's name or id; what it is not counts for the other of two.

    By the name alone: 'I can still lift it' has words of the pack for a plain switch, and a lock that fails lifts too.
    """
    axis = question.data.get("axis", "")
    variant = turn.pack.family.variants.get(axis)
    bare = drop_apostrophes(text.lower()).replace("-", " ")
    if variant is None or len(bare.split()) > MOST or _OPEN.search(bare):
        return None
    without = next((name for name, entry in variant.values.items() if entry.name.startswith("no ") and bare.startswith(
        "no ") and telling(bare) <= telling(entry.name)), None)
    if without is not None:
        return f"variant:{axis}:{without}"  # 'no gas' of no gas ignition
    called = {name: entry.name.partition(" in the ")[0] for name, entry in variant.values.items()}  # 'oven heats ok'
    words = {name: telling(f"{its} {name}".replace("-", " ").replace("_", " ")) - _NO_NAME
             for name, its in called.items()}
    own = {name: its - {word for other, theirs in words.items() if other != name for word in theirs}
           for name, its in words.items()}
    denied = telling(" ".join(found[1] for found in _DENIED.finditer(bare)))
    told = telling(_DENIED.sub(" ", bare))
    named = [name for name, its in own.items() if its & told]
    if not named and len(own) == len(question.values) - 1 == 2:
        named = [name for name, its in own.items() if not its & denied]
    return f"variant:{axis}:{named[0]}" if len(named) == 1 and not own[named[0]] & denied else None


def has_or_not(turn: Turn, question: Question, text: str) -> str | None:
    """The value of a has-it-or-not question that words mean which say nothing but what was asked for, or gas where what
    heats it is asked; else None."""
    axis = question.data.get("axis", "")
    variant = turn.pack.family.variants.get(axis)
    if variant is None or "?" in text:
        return None
    bare = drop_apostrophes(text.lower())
    if GAS in variant.values and not _OTHERS.search(bare) and of_a_fuel(
            [token.word for token in tokens_of(bare)], asked=True):
        return f"variant:{axis}:{GAS}"
    if set(variant.values) != _HAS:
        return None
    value = _said(bare, variant.ask)
    return None if value is None else f"variant:{axis}:{value}"


def _said(bare: str, ask: str) -> str | None:
    if _YES.search(bare) or _BARE_NO.search(bare):
        return "present" if _YES.search(bare) else "absent"
    denied = _NO.search(bare) is not None
    told = {stem(word) for word in plain_words(_NO.sub(" ", bare)) if word not in _LITTLE}
    asked = {stem(word) for word in plain_words(ask)}
    if len(told & asked) < FEWEST or not told <= asked:
        return None
    return "absent" if denied else "present"
