"""Answers that speak of what is beside the thing asked: of the clock where a burner is asked, of 'the others' where one
of several is."""

from __future__ import annotations

import re
from typing import Final

from bot.language.words.text import plain_words, word_set
from knowledge.schema import Check, Family

_LIFE: Final = word_set("clock display lamp panel screen bulb keys keypad buttons reloj pantalla foco")
"""Signs that a machine has power."""
_LIGHT: Final = re.compile(r"\b(?:light (?:is |does )?(?:works?|working|on|comes|fine|ok|good|lit|too|also)|(?:oven|"
                           r"inside|drum|hood|"
                           r"and|the|y) lights?|lights? and)\b", re.IGNORECASE)
"""The lamp: 'it lights' is a flame."""
_WITH_LIFE: Final = word_set(
    "the a its is are and n both all oven inside drum hood light lights time shows show showing work works working "
    "fine ok "
    "okay good on live lit up comes come too also normal yes yeah still does do has have power beep beeps they it "
    "el la y "
    "prende prenden bien luz")
_ASKS_LIFE: Final = re.compile(
    r"\b(?:clock|display|lamp|panel|keys?|screen|sign of life|beep|oven light|drum light|bulb|lights? (?:on|up|in|"
    r"still))\b",
    re.IGNORECASE)

_NAMING: Final = word_set("a an the its it is this that my one i said yes el la un una es")
_SPOT: Final = word_set("corner corners esquina")
_PLACE: Final = word_set("left right bottom lower upper top front rear side edge middle center centre "
                         "izquierda derecha abajo arriba lado")
_OF_A_PLACE: Final = word_set(
    "the a at on in of by near from to its it is first second drop drip water comes out there here door lid machine "
    "hand bit and el la de del en puerta agua primera")
_ASKS_WHERE: Final = re.compile(r"\b(?:where|place|which (?:side|end|corner|one|part))\b", re.IGNORECASE)
_OTHERS: Final = re.compile(
    r"\b(?:(?:all |both |the |all the |any )?others?(?: (?:ones?|two|three|four|\d|burners?|units?|coils?|eyes?|"
    r"rings?|zones?))?|"
    r"(?:the )?rest(?: of (?:them|em|the \w+))?|everything else|every(?:one| one)? else|every other one|"
    r"(?:l[oa]s )?(?:otr[oa]s|dem[aá]s))\b"
    r"(?: (?:all|do|does|are|is|just|still|will|seem to|come up|s[ií]))* ?"
    r"(?:heat\w*|work\w*|lights?|lit|fine|ok|okay|good|glow\w*|hot|red|on|sparks?|tick\w*|great|perfect|normal|"
    r"running|well|"
    r"bien|calientan|prenden|sirven|jalan)\b", re.IGNORECASE)
_NOT: Final = re.compile(r"\b(?:no|not|none|dont|don't|doesnt|doesn't|arent|aren't|isnt|isn't|wont|won't|neither|"
                         r"dead|cold|either)\b",
                         re.IGNORECASE)
_ALL: Final = word_set("all every both todas todos")
_ONE: Final = word_set("one single una uno")
_SEVERAL: Final = word_set("side pair half lado par")


def only_life(entry: Check, text: str) -> bool:
    """Whether an answer tells of clock and lamp and of nothing else, where the check asks for none of them."""
    words = plain_words(text)
    if not words or not (set(words) & _LIFE or _LIGHT.search(text)) or not set(words) <= _LIFE | _WITH_LIFE:
        return False
    own = " ".join([entry.name, entry.ask, *(result.says for result in entry.results.values())])
    return _ASKS_LIFE.search(own) is None


def only_the_machine(family: Family, entry: Check, text: str) -> bool:
    """Whether an answer names the machine and says nothing of it: 'its a dryer', where gas or electric is asked."""
    said = " ".join(word for word in plain_words(text) if word not in _NAMING)
    names = {name.lower() for names in family.names.values() for name in names}
    own = " ".join(words for result in entry.results.values() for words in (
        result.label, result.says, *(phrase for phrases in result.phrases.values() for phrase in phrases)))
    return said in names and said not in own.lower()


def only_a_place(entry: Check, text: str) -> bool:
    """Whether an answer tells where and not how it is, 'first drop is at the lower left corner', and it is not asked
    where."""
    words = set(plain_words(text))
    asked = _ASKS_WHERE.search(f"{entry.name} {entry.ask}") is not None
    labels = set(plain_words(" ".join(result.label for result in entry.results.values())))
    told = bool(words & _SPOT) and words <= _SPOT | _PLACE | _OF_A_PLACE
    return told and not asked and not (_PLACE | _SPOT) & labels


def all_but_one(entry: Check, text: str) -> str | None:
    """The result 'just one', where an answer says that the others are well, or names one by its place alone: one is
    not, and it is known which. Where only the others are asked for, that is all of them."""
    found = _OTHERS.search(text)
    if "meter" in entry.tools or (found is None and not only_one_place(text)):
        return None
    if found is not None and _NOT.search(text[found.start():]):
        return None
    labels = {name: set(plain_words(result.label)) for name, result in entry.results.items()}
    ones = [name for name, words in labels.items() if words & _ONE and not words & _SEVERAL]
    alls = [name for name, words in labels.items() if (words | set(plain_words(entry.results[name].says))) & _ALL]
    rest = [name for name in alls if labels[name] & _REST]
    if not ones and len(rest) == 1 and found is None:
        return rest[0]
    return ones[0] if len(ones) == 1 and alls and ones[0] not in alls else None


def one_of_all(text: str) -> bool:
    """Whether words set one of several against the others: 'not there, all the others do', 'only this one wont'."""
    return _ONE_OF_ALL.search(text) is not None


_ONE_OF_ALL: Final = re.compile(
    r"\b(?:(?:the|all|every|any) (?:\w+ )?(?:others?|rest)|others (?:do|are|all|light|spark|heat|work|fine|ok)|"
    r"(?:only|just) (?:this|that|the|my) (?:\w+ )?(?:one|burner|coil|unit)|everything else|"
    r"every ?(?:body|one|thing)? else|l[oa]s (?:otr[oa]s|demas))\b", re.IGNORECASE)


def only_one_place(text: str) -> bool:
    """Whether words name one of several burners by its place and say nothing else of it: 'its the rear left one'."""
    return _ONE_PLACE.fullmatch(text.strip()) is not None


_REST: Final = word_set("others rest otros demas")
_UNIT: Final = r"(?:one|burner|unit|eye|coil|element|zone|ring|hob|hornilla)"
_END: Final = r"(?:rear|back|front)"
_HAND: Final = r"(?:left|right)"
_ONE_PLACE: Final = re.compile(
    r"\W*(?:(?:yeah|yes|no|nah|wait|oops|actually|i mean|ok|well|sorry|"
    r"its|it's|it is|thats|that's|this is|just|only|mainly|the|on|for|at)\W+)*"
    rf"(?:(?:{_END}[ -]?{_HAND}|{_HAND}[ -]?{_END}|[lr][fr]|[fr][lr])(?:[ -](?:hand|side|corner))?(?: {_UNIT})?|"
    rf"(?:big|small|large|little|simmer|power|double|dual|middle|center|centre) {_UNIT}"
    rf"(?: (?:in|at|on)(?: the)? (?:{_END}|{_HAND}|middle|center)(?:[ -](?:{_END}|{_HAND}))?)?)"
    r"(?:,? (?:only|alone|that is all|thats all|thats (?:it|out|dead|bad)|is (?:out|dead|bad)))?\W*", re.IGNORECASE)
"""'Its the rear left one': the place of one of several, and nothing else."""
