"""Whether a meter reads from a winding, an element or a pin to bare metal, or is clear of it.

'OL to the shell', 'nothing to ground' and 'not shorted to the case' are one thing, 'beeps to the shell', 'adds up but
grounded' and '2 ohm to case' the other, though nearly all of their words are the same: what tells them apart is the
word of the meter nearest to the metal, and whether that word is denied. A leak counts before any praise beside it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from bot.language.words.text import tokens_of, word_set
from knowledge.schema import Check

Reads = Literal["leak", "clear", "megohms", "both"]
_Word = Literal["closed", "open", "none", "megohms", "number", "praise"]

_METAL: Final = word_set(
    "shell case casing frame ground earth sheath metal housing body chassis cabinet flange iron fins cage carcass "
    "tierra carcasa masa armazon gabinete")
_GROUNDED: Final = word_set("grounded earthed aterrizado aterrizada aterrizados aterrizadas")
_TO: Final = word_set("to 2 against from with of vs on onto into through thru a al")
_REACHING: Final = word_set("touching touches touch hace sees see")
_BESIDE: Final = word_set("the that this its it bare any all straight right clean solid la el both your my each "
                          "compressor motor pump heater element machine oven")
_CLOSED: Final = word_set(
    "beep beeps beeped beeping buzz buzzes buzzer buzzing tone chirps sings rings screams reads read reading "
    "shows show showing continuity short shorts shorted shorting leak leaks leaking leakage leaky leaked grounded "
    "grounds contact touches touching path passes goes go going low zero resistance connected connection conducts "
    "earthed aterrizado aterrizada aterrizados aterrizadas moves move moved gives budge budges reacts flickers "
    "marca pita hace fuga corto sees see talks connects tied")
_PLAINLY_CLOSED: Final = word_set(
    "beep beeps beeped beeping short shorts shorted shorting leak leaks leaking leakage leaky grounded continuity "
    "aterrizado aterrizada earthed fuga corto")
"""Of a machine's metal without its being named."""
_OPEN: Final = word_set("ol open infinity infinite inf overload clear isolated free quiet silent mute blank abierto "
                        "abierta infinito insulated")
_NONE: Final = word_set("nothing nothin none nada zip zilch nowhere nope")
_NOT: Final = word_set(
    "no not never none nothing nothin without isnt arent doesnt dont didnt wasnt werent wont aint neither nor nobody "
    "nada sin ninguno ninguna nunca")
_PRAISE: Final = word_set("good fine ok okay normal great clean perfect bien")
_MEGS: Final = word_set("meg megs mega megas megohm megohms megaohm megaohms mohm m million millions")
_UNITS: Final = word_set("ohm ohms k kohm kohms kilohm kilohms r kilos")
_UNDER: Final = word_set("under below half less quarter tenth bajo menos")
_BREAKS: Final = word_set(". ; : ! ? , \n but except though although pero while whereas wait sorry actually")
_JOINTS: Final = _BREAKS | word_set("and & + then y / plus")
_EXCEPT: Final = word_set("except excepting besides save excepto menos")
_ALMOST: Final = word_set("near nearly almost about basically practically casi hardly barely")
_FAINT: Final = word_set("slight faint tiny little bit whisker hair trace")
_BRIEF: Final = 5
"""Words up to which 'not shorted' alone says all: in a longer line it may be 'not a dead short, but in the k's'."""
_WISHED: Final = word_set("should supposed expect expected suppose meant havent hasnt cant couldnt forgot yet if will "
                          "ill gonna next later")
"""What a part with one of these tells was not measured."""
_NO_METAL: Final = word_set("wire wires strap rod cable conductor outlet outlets receptacle circuit plug")
"""After 'ground' and 'grounded': 'the ground wire is back on'."""
_VERBS: Final = word_set("reads read reading shows show showing goes going passes moves moved marca sees see")
_ANEW: Final = word_set("so because cuz cause its theyre theres thats hes then where")
"""What is denied before one of these is not denied after it: 'it wont hold, its leaking'."""
_VOLTS: Final = word_set("v vac vdc volt volts voltage voltaje voltios")
_SO_MANY_VOLTS: Final = re.compile(r"\d+(?:[.,]\d+)?(?:v|vac|vdc|volts?)")
_ELSEWHERE: Final = word_set("across between pins windings winding pair pairs other another")
_ANSWERS: Final = word_set("no nope nah yes yeah yep yup si ok okay")
_GOES_ON: Final = word_set(", . ; : it its they theyre that the he one i we this theres")
_IS_A_NUMBER: Final = re.compile(r"\d+(?:[.,]\d+)*(?P<unit>k|kohms?|ohms?|r|m|megs?|megohms?|mohms?)?$")
_PART_OF_ONE: Final = re.compile(r"0?[.,]\d")
_SPLIT: Final = re.compile(r"\b([o0]) ?[./]? ?l\b|\bover ?(?:the ?)?limit\b|\bout of limits?\b", re.IGNORECASE)
_NO_LEAK: Final = re.compile(r"\bzero (?=continuity|leak|contact|path|beep)", re.IGNORECASE)
_CLEAR_OF: Final = re.compile(
    r"\b(?:clear of|no leak to) (?:the )?(?P<metal>\w+)|\binsulation good\b", re.IGNORECASE)


_METAL_ASKED: Final = re.compile(
    r"\b(?:ground\w*|bare metal|cabinet|frame|case|casing|chassis|sheath|flange|shell|housing)\b", re.IGNORECASE)
_ALONG_A_WIRE: Final = re.compile(r"\b(?:cord|wires?)\b", re.IGNORECASE)
"""Of these one is the ground wire: 'ground is open'."""
_OF_THE_OUTLET: Final = re.compile(
    r"\b(?:tester|outlet|receptacle|legend)\b[^.;!?]*\b(?:open|no|missing|bad) (?:ground|earth)\b|"
    r"\b(?:open|no|missing|bad) (?:ground|earth)\b[^.;!?]*\b(?:tester|outlet|receptacle|legend)\b", re.IGNORECASE)
"""The lights of an outlet tester: a ground that is missing in the wall is no reading of the machine."""


def of_the_outlet(text: str) -> bool:
    """Whether words say of the outlet, or of the tester in it, that its ground is missing."""
    return _OF_THE_OUTLET.search(text) is not None



@dataclass(frozen=True, slots=True)
class Sides:
    """Results of a check from a winding, element or pin to metal. `rest`: such as tell of something else besides."""

    clear: str
    leaks: tuple[str, ...]
    high: str | None
    rest: tuple[str, ...]
    metal: frozenset[str]


def sides_of(check: Check) -> Sides | None:
    """Which result is clear of the metal and which are not, if that is what a check asks; from the pack's own words."""
    clear = next((n for n, r in check.results.items() if r.unsafe is None and _CLEAR_OF.search(r.says)), None)
    leaks = tuple(n for n, r in check.results.items() if r.unsafe is not None)
    if clear is None or not leaks:
        return None
    found = _CLEAR_OF.search(check.results[clear].says)
    own = (found.group("metal") or "").lower() if found is not None else ""
    high = next((n for n, r in check.results.items() if "megohm" in r.says and n not in (clear, *leaks)), None)
    rest = tuple(n for n in check.results if n not in (clear, high, *leaks))
    return Sides(clear, leaks, high, rest, _METAL | ({own} if own else set()))


def beside_the_metal(check: Check, text: str) -> bool:
    """Whether words read to bare metal, and the check asks for no such thing: 'OL to ground' tells nothing of a
    winding, 'nothing to the case' nothing of what is heard."""
    told = reads_to_ground(text)
    if told is None or sides_of(check) is not None or _METAL_ASKED.search(f"{check.name} {check.ask}"):
        return False
    if check.reading is None:
        return told in {"clear", "megohms"}
    return check.reading.quantity == "ohm" and not _ALONG_A_WIRE.search(check.name)


def reads_to_ground(text: str, metal: frozenset[str] = _METAL, *, asked: bool = False) -> Reads | None:
    """What words say of the way to bare metal; None where they say nothing of it, or ask.

    `asked`: nothing else was asked for, so that 'beeps' and 'not shorted' are of the metal too.
    """
    if text.rstrip().endswith("?") or of_the_outlet(text) or (
            not asked and (_OF_THE_GROUND.search(text) or without_ground(text))):
        return None
    words = _words(text)
    said: list[Reads] = []
    parts = _parts(words)
    for place, part in enumerate(parts):
        if _WISHED & set(part) or _of_volts(part):
            continue
        for at in _mentions(part, metal):
            told = _of_mention(part, at) or _of_neighbours(parts, place, metal)
            if told is not None:
                said.append(told)
    if not said:
        return _unnamed(parts) if asked else None
    kinds = set(said)
    if asked and kinds == {"clear"} and any(_denies_open(part) for part in parts):
        return None  # 'not open, not grounded either'
    if "leak" in kinds:
        return "leak" if kinds == {"leak"} else "both"
    return "megohms" if "megohms" in kinds else "clear"


_OF_THE_GROUND: Final = re.compile(
    r"\b(?:ground|earth) (?:pin|prong|screw|lug|wire|strap)\b|"
    r"\b(?:cabinet|chassis|frame|case) to (?:the )?(?:ground|earth)\b", re.IGNORECASE)
"""The ground wire itself is read, 'ground pin to cabinet 0.1': that should beep."""
_NO_GROUND: Final = re.compile(
    r"\b(?:cabinet|chassis|frame|case|machine|unit|washer|dryer|fridge|range|stove)s? (?:is |has |got |have |had |s )*"
    r"(?:no|not|isnt|aint|hasnt|hasnt got|zero) (?:a )?(?:good |real )?(?:ground(?:ed)?|earth(?:ed)?|bond(?:ed)?)\b|"
    r"\bno (?:ground|earth|bond) (?:on|at|to|in|from) (?:the |its )?(?:cabinet|chassis|frame|case|machine|unit)\b",
    re.IGNORECASE)


def without_ground(text: str) -> bool:
    """Whether words say that the machine's metal has no ground: 'cabinet's got no ground' tells of no leak to it."""
    return _NO_GROUND.search(text.replace("'", "")) is not None
_FIGURE_FIRST: Final = re.compile(
    r"^(?P<own>[^,;]*?\d[\d.,]*\s*(?:k|meg\w*|ohms?)*)\s+(?=(?:not|no|nothing|none|clear|ol|open|isnt|isn't)\b)",
    re.IGNORECASE)


def figure_before_ground(text: str) -> str:
    """What a part reads before a word on the metal in the same breath: '4 ohms' of '4 ohms not grounded'."""
    found = _FIGURE_FIRST.match(text)
    return found["own"].strip() if found is not None else ""


def _of_volts(part: Sequence[str]) -> bool:
    """'0 v at the motor to ground' was read with power on: it is no way to the metal."""
    return any((word in _VOLTS and (place == 0 or part[place - 1][:1].isdigit() or part[place - 1] in _NOT | _NONE))
               or _SO_MANY_VOLTS.fullmatch(word) for place, word in enumerate(part))


def apart_from_ground(text: str, metal: frozenset[str] = _METAL) -> str:
    """The parts of a line that do not speak of the metal: '4 8 12' of '4 8 12, OL to the shell'."""
    kept = []
    between = re.search(r"\b(between|from)\b", text) is not None
    for part in re.split(r"[,.;\n]|\bbut\b" + ("" if between else r"|\band\b|&"), text):
        words = _words(part)
        if words and not any(True for _ in _mentions(words, metal)):
            kept.append(part.strip())
    return ", ".join(kept)


def _words(text: str) -> list[str]:
    """Folded words and marks; 'O.L.', 'over limit' as 'ol', and no leading 'no,' that only answers."""
    spelled = _NO_LEAK.sub("no ", _SPLIT.sub("ol", text))
    words = [token.word for token in tokens_of(spelled)]
    while len(words) > 1 and words[0] in _ANSWERS and words[1] in _GOES_ON:
        words = words[2:] if words[1] in _JOINTS else words[1:]
    return words


def _parts(words: Sequence[str]) -> list[list[str]]:
    """The line in parts; what 'except' opens keeps that word."""
    parts: list[list[str]] = [[]]
    for word in words:
        if word in _BREAKS:
            parts.append([word] if word in _EXCEPT else [])
        else:
            parts[-1].append(word)
    return [part for part in parts if part]


def _mentions(part: Sequence[str], metal: frozenset[str]) -> list[tuple[int, int]]:
    """Where a part names the metal: from the word that leads to it to its name."""
    found = []
    for place, word in enumerate(part):
        if _NO_METAL & set(part[place + 1:place + 2]):
            continue
        if word in _GROUNDED:
            found.append((place, place))
            continue
        if word not in metal:
            continue
        start = place
        while start > 0 and (part[start - 1] in _BESIDE or part[start - 1] in metal):
            start -= 1
        led = start > 0 and (part[start - 1] in _TO or (part[start - 1] in ("and", "y") and bool(
            {"between", "from", "entre"} & set(part[:start]))))
        if led:
            found.append((start - 1, place))
        elif _is_subject(part, start, place):
            found.append((start, place))
    return [spot for place, spot in enumerate(found) if place == 0 or spot[0] > found[place - 1][1]]


def _is_subject(part: Sequence[str], start: int, place: int) -> bool:
    """'Shell OL', 'case: nothing', 'no ground', 'touching the case'."""
    if start > 0:
        return part[start - 1] in _NOT | _OPEN | _JOINTS | _REACHING
    after = part[place + 1:place + 6]
    return not after or any(_kind(after, at) not in (None, "praise") for at in range(len(after)))


def _of_mention(part: Sequence[str], at: tuple[int, int]) -> Reads | None:
    """What a part says of the metal that it names: the nearest word of the meter before it, else after it."""
    start, end = at
    if part[start] in _GROUNDED:
        return "clear" if _denied(part, start) else "leak"
    before = _nearest(part, range(start - 1, -1, -1))
    if start and part[start - 1] in _NOT and before is not None and before[1] == "number":
        return "clear"  # '4 6 10 no ground'
    after = _nearest(part, range(end + 1, len(part)))
    if after is not None and (_ELSEWHERE & set(part[after[0] + 1:]) or _own_metal_after(part, after[0])):
        after = None
    spot = before
    if before is None or (before[1] == "number" and after is not None and _kind(part, before[0]) == "number"
                          and not _has_unit(part, before[0])):
        spot = after
    if spot is None or spot[1] == "praise":
        return "clear" if start and part[start - 1] in _NOT else None  # 'no ground', 'not to the shell'
    return _told(part, *spot)


def _own_metal_after(part: Sequence[str], place: int) -> bool:
    """'To the case OL to the coil': what comes after belongs to the next metal."""
    return any(word in _TO for word in part[place + 1:place + 2])


def _of_neighbours(parts: Sequence[Sequence[str]], place: int, metal: frozenset[str]) -> Reads | None:
    """'OL on every pin, to the shell'; 'each one to the case: nothing'."""
    for near in (*range(place + 1, len(parts)), *range(place - 1, -1, -1)):
        part = parts[near]
        if _mentions(part, metal):
            break
        spot = _nearest(part, range(len(part)))
        if spot is not None and spot[1] != "praise" and (near > place or spot[1] != "number"):
            return _told(part, *spot)
    return None


def _nearest(part: Sequence[str], places: Sequence[int] | range) -> tuple[int, _Word] | None:
    for place in places:
        kind = _kind(part, place)
        if kind == "closed" and part[place] in _VERBS:
            for then in range(place + 1, min(place + 3, len(part))):  # 'the shell shows nothing'
                told = _kind(part, then)
                if told not in (None, "closed", "praise"):
                    return then, told
        if kind is not None:
            return place, kind
    return None


def _kind(part: Sequence[str], place: int) -> _Word | None:
    """What kind of word of a meter stands there."""
    word = part[place]
    if word in _MEGS and (word != "m" or (place and part[place - 1][:1].isdigit())):
        return "megohms"
    if word in _OPEN:
        return "open"
    if word in _CLOSED:
        return "closed"
    if word in _NONE:
        return "none"
    if word in _PRAISE:
        return "praise"
    found = _IS_A_NUMBER.match(word)
    if found is not None:
        return "megohms" if (found.group("unit") or "").startswith("m") else "number"
    return "number" if word in _UNITS and place and part[place - 1][:1].isdigit() else None


def _has_unit(part: Sequence[str], place: int) -> bool:
    found = _IS_A_NUMBER.match(part[place])
    return part[place] in _UNITS or (found is not None and found.group("unit") is not None)


def _told(part: Sequence[str], place: int, kind: _Word) -> Reads | None:
    """What the word at a place comes to, with what denies it."""
    if kind == "praise":
        return None
    if kind == "none":
        return "leak" if _ALMOST & set(part[max(0, place - 1):place]) else "clear"
    if kind == "megohms":
        before = part[max(0, place - 4):place]
        under = bool(_UNDER & set(before)) or any(_PART_OF_ONE.match(word) for word in (part[place], *before[-1:]))
        return "leak" if under or _denied(part, place) else "megohms"
    denied = _denied(part, place)
    if kind == "open":
        return "leak" if denied or _EXCEPT & set(part[:place]) else "clear"
    if kind == "number":
        return "clear" if denied and not _has_unit(part, place) else "leak"
    return "clear" if denied else "leak"


def _denied(part: Sequence[str], place: int) -> bool:
    """Whether a word before it in the same breath denies the one at a place; 'nothing but' and 'not only' do not."""
    for at in range(place - 1, -1, -1):
        word = part[at]
        if word in _ANEW or (word in _JOINTS and not (word == "and" and {"between", "from"} & set(part[:at]))):
            return False
        if word in _NOT:
            return part[at + 1] not in ("but", "only", "just")
    return False


def _unnamed(parts: Sequence[Sequence[str]]) -> Reads | None:
    """The same of a line that names no metal, by its plainest words alone."""
    words = [word for part in parts for word in part]
    if any(word in _MEGS and _UNDER & set(words[max(0, place - 3):place]) for place, word in enumerate(words)):
        return "leak"
    if (_MEGS | _FAINT) & set(words):
        return None
    told = [_denied(part, place) for part in parts if not _WISHED & set(part)
            for place, word in enumerate(part) if word in _PLAINLY_CLOSED]
    if False in told:
        return "leak"
    return "clear" if told and len(words) <= _BRIEF and len(parts) == 1 else None


def _denies_open(part: Sequence[str]) -> bool:
    return any(word in _OPEN and _denied(part, place) for place, word in enumerate(part))


def leak_among(sides: Sides, shares: Mapping[str, float]) -> str | None:
    """Which of several leaks is meant: of one part how bad it is, of several parts the one that is clearly named."""
    ranked = sorted(sides.leaks, key=lambda name: -shares.get(name, 0.0))
    if len(ranked) == 1 or sides.high is not None:
        return ranked[0]
    first, second = (shares.get(name, 0.0) for name in ranked[:2])
    return ranked[0] if first >= TWICE * second and first > 0 else None


TWICE: Final = 2.0
"""How much more like one leak than like another words have to be, where a check tells several apart."""
MEGOHM: Final = 1e6
