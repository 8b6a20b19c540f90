"""What is said of windings: beside the way to the shell three ohms that have to add up, or one pair that is open; of a
drive motor its run and its start winding."""

from __future__ import annotations

import re
from typing import Final, Literal

from bot.language.answers.to_ground import apart_from_ground, reads_to_ground
from bot.language.words.text import tokens_of, word_set

_MORE: Final = word_set(
    "ol open infinity infinite no not none nothing isnt dont doesnt arent short shorts shorted low lower high off "
    "uneven beeps zero abierto abierta infinito sin")


def adds_up(text: str) -> bool:
    """False where three numbers of a line are neither alike nor two of them as much as the third."""
    numbers = sorted(float(word.replace(",", ".")) for word in re.findall(r"\d+(?:[.,]\d+)?", text))
    if len(numbers) != 3:
        return True
    low, middle, high = numbers
    return low >= ALIKE * high or abs(low + middle - high) <= (1 - ALIKE) * high


ALIKE: Final = 0.85
"""From this share on two ohm readings of a cheap meter may be the same."""


def tells_more(text: str) -> bool:
    """Whether words tell more of windings than the ohms of one: 'one pair is OL', 'doesnt add up'."""
    words = [token.word for token in tokens_of(text) if not token.is_mark]
    return bool(_MORE & set(words)) or (bool(words) and not any(word[:1].isdigit() for word in words))


_OF_ONE: Final = re.compile(r"\b(?:run|main|start|aux) (?:windings?|coils?|side)\b|\b(?:run|start) (?:is |reads )?"
                            r"(?:\d|ol\b|open\b)|\b(?:\d|ohms?|ol)\b[^.;]{0,12}\b(?:run|start)\b", re.IGNORECASE)


def of_windings(text: str) -> bool:
    """Whether words speak of the reading of a run or a start winding."""
    return _OF_ONE.search(text) is not None


def reads_windings(text: str) -> bool:
    """Whether words give ohms of windings: 'run 6 start 4 both 10'. 'Ran 5 min and started' gives none."""
    return _BOTH_READ.search(text) is not None


_BOTH_READ: Final = re.compile(
    r"\bwindings?\b.*\d|\brun (?:is |reads )?\d[\d.]*(?: ?ohms?)?,? (?:and |n )?start (?:is |reads )?\d|"
    r"\bstart (?:is |reads )?\d[\d.]*(?: ?ohms?)?,? (?:and |n )?run (?:is |reads )?\d|\brun to start\b.*\d",
    re.IGNORECASE)


Windings = Literal["good", "open", "off"]
_NOT_A_WINDING: Final = re.compile(
    r"\b(?:wont|doesnt|dont|didnt|not|cant|cannot|to|will|would|hard|never|press|hit|push) (?:re)?(?:start|run)\b"
    r"(?! (?:winding|coil|side|is \d|reads))|\b(?:start|run) (?:cap\w*|relay|switch|button)\b")
_NAME: Final = r"(?P<name>\b(?:run|main|start|aux)\b(?: windings?| coils?| side)?)"
_VALUE: Final = (
    r"(?P<open>\b(?:o\.?l\.?|open|infinit\w+|no continuity|nothing|dead)(?![\w]))|"
    r"(?P<short>\b(?:dead short|shorted|near zero|zero)\b)|(?P<good>\b(?:good|fine|ok|okay|bien)\b)|"
    r"(?P<number>(?<![\w.])\d+(?:\.\d+)?)\s*(?P<unit>k|meg\w*|kohms?)?\s*(?:ohms?\b|Ω)?")
_SAID: Final = re.compile(f"{_NAME}|{_VALUE}")
_PARTS: Final = re.compile(r"[,;]|\.(?!\w)|\b(?:and|but|n|y|pero)\b")
_OF_WINDINGS: Final = re.compile(r"\bwindings?\b|\bohms?\b|Ω|\bol\b|\bo\.l\b")
LOWEST: Final = 0.3
HIGHEST: Final = 8.0
"""Ohms between which a winding of a household drive motor reads, with the leads of a plain meter."""


def run_and_start(text: str) -> Windings | None:
    """What is told of a motor's run and start windings: both by their ohms, or one that is open or shorted; None where
    they are not named, only one of them has a reading, or it is open which number is whose."""
    across = text if reads_to_ground(text) is None else apart_from_ground(text)
    plain = _NOT_A_WINDING.sub(" ", across.lower().replace("'", ""))
    if not _OF_WINDINGS.search(plain):
        return None
    told = [pair for part in _PARTS.split(plain) for pair in _pairs(list(_SAID.finditer(part)))]
    told = told or _pairs(list(_SAID.finditer(plain)))
    if not told:
        return None
    kinds = {name["name"].split()[0]: _reads(value) for value, name in told}
    if "open" in kinds.values():
        return "open"
    if "off" in kinds.values():
        return "off"
    return "good" if len(kinds) > 1 else None


def _pairs(said: list[re.Match[str]]) -> list[tuple[re.Match[str], re.Match[str]]]:
    """Value and name by turns, whichever comes first; none where they do not go together like that."""
    first = next((at for at, one in enumerate(said) if one["name"]), None)
    if first is None:
        return []
    if first > 0 and not said[-1]["name"]:
        said = said[first:]
    pairs = [(said[at], said[at + 1]) for at in range(0, len(said) - 1, 2)]
    turned = [(one, other) if other["name"] else (other, one) for one, other in pairs]
    return turned if all(name["name"] and not value["name"] for value, name in turned) else []


def _reads(value: re.Match[str]) -> Windings:
    if value["open"]:
        return "open"
    if value["short"] or value["unit"]:
        return "off"
    return "good" if value["good"] or LOWEST <= float(value["number"]) <= HIGHEST else "off"


def asks_windings(ask: str) -> bool:
    """Whether a question is for the run and the start winding together."""
    return "run winding" in ask.lower() and "start winding" in ask.lower()
