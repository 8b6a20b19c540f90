"""What people say of their meter in place of a reading: it lacks a function, is broken, sounds here and not there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bot.language.meaning import Asked, Special
from bot.language.words.text import word_set

NOT: Final = word_set("neither no not dont doesnt didnt isnt aint never wont without sin nope nunca cant")
TOOLS: Final = word_set(
    "meter tester multimeter thermometer clamp tach tachometer probe probes gun gauge leads watch "
    "beeper buzzer stopwatch "
    "medidor multimetro termometro pinza")
_FUNCTIONS: Final = word_set("mode setting function option feature range funcion")
_QUANTITIES: Final = {
    "ohm": word_set("ohms ohm resistance"), "continuity": word_set("continuity"), "amp": word_set("amps amp current"),
    "volt_ac": word_set("volts volt voltage ac"), "volt_dc": word_set("volts volt voltage dc"),
    "microfarad": word_set("caps capacitance microfarads"), "celsius": word_set("temp temps temperature"),
    "fahrenheit": word_set("temp temps temperature"), "rpm": word_set("rpm rpms")}
_AWAY: Final = word_set("bag home box house truck van shop car office camioneta taller")
_LACKING: Final = word_set("dropped havent hasnt no without sin dont doesnt didnt aint never forgot left lost broke "
                           "olvide deje")
_HAVING: Final = word_set("do does has have had got reads measures checks tests")
_BROKEN: Final = word_set("wet soaked drowned stolen dead died broke broken busted quit toast fried shot blew")
_REFUSED: Final = word_set("comfortable trained qualified allowed permitted certified licensed messing risking")
_REACHING: Final = word_set("reach get fit see read measure test count check")
_WILLING: Final = word_set("wanna want gonna going goin dare")
_BEING: Final = word_set("is was are went got just")
_FLOW: Final = {
    "amp": word_set("current amps amp draw corriente amperage"),
    "volt_ac": word_set("volts volt voltage power juice corriente voltaje"),
    "volt_dc": word_set("volts volt voltage power juice corriente voltaje"),
    "rpm": word_set("movement rotation spin spins spinning turn turns turning move moves moving rotate")}
_WATCHING: Final = word_set("watch watching watchin time timing timed look looking lookin count counting notice "
                            "noticing clock clocking pay paying hear listening")
_POINTING: Final = TOOLS | word_set("needle display screen it number numbers reading readout aguja pantalla and but")
_REACTING: Final = word_set("budge move change react respond flinch twitch blink")
_KNOWING: Final = word_set("know say tell sure certain remember recall confirm rule")
_ANYTHING: Final = word_set("thing anything reading")
_GETTING: Final = word_set("read reads reading get gets getting show shows showing see seeing pick picks do does "
                           "pull pulls draw draws make makes give gives giving hear register registers")
_APART: Final = word_set("apart air touching touchin touch separated open nothing")
_UNWORKING: Final = (["turn", "on"], ["come", "on"], ["power", "on"], ["power", "up"], ["fire", "up"], ["work"])
_WITH: Final = word_set("w with when while con cuando if")
_PARTS: Final = word_set("lid door puerta tapa drawer plunger button")
_STATES: Final = word_set("open opened closed shut up down in out on off pressed released unplugged abierta cerrada")
_THERE: Final = word_set("on at from between across to in")
_LEADS: Final = word_set("lead leads probe probes puntas")
_TOUCHED: Final = word_set("together touching touched touch juntas")
_OPEN: Final = word_set("ol open abierto infinite")
_JOINTS: Final = word_set(", ; . but pero then and one other otro otra")


def cannot_measure(words: Sequence[str], asked: Asked) -> bool:
    """'no beep mode', 'it only does ohms', 'forgot my clamp', 'the ir gun is dead', 'meter wont turn on'."""
    if words[-1:] == ["with"] and _REACHING & set(words[-4:]) and (NOT | {"nothing"}) & set(words):
        return True  # 'nothing here to measure with'
    if asked in ("ohm", "continuity") and open_when_touched(words):
        return True
    for place, word in enumerate(words):
        after = words[place + 1:place + 5]
        if word in ("not", "no", "isnt", "aint") and _REFUSED & set(after[:2]):
            return True
        own = asked != "rpm" and (place == 0 or words[place - 1] in ("i", "im"))
        if word in ("not", "didnt", "dont", "aint", "wouldnt") and (
                (own and _WILLING & set(after[:1])) or list(after[:1]) == ["dare"]):
            return True
        if word == "too" and "to" in after[:3] and _REACHING & set(words[place + 2:place + 6]):
            return True
        if word in _LACKING and _lacks(word, list(after)):
            return True
        if word in ("only", "just", "solo", "nomas") and after and after[0] in _HAVING and _is_other(after[1:], asked):
            return True
        tool = word in TOOLS or word.removesuffix("s") in TOOLS
        if tool and list(after[:1]) == ["in"] and _AWAY & set(after[1:4]):
            return True
        if tool and (_is_broken(after) or _wont_work(words[place + 1:place + 9])):
            return True
    return False


def open_when_touched(words: Sequence[str]) -> bool:
    """'leads together are OL too', 'my probes touching, still open': the meter or its leads are broken."""
    for place, word in enumerate(words):
        near = words[max(0, place - 5):place + 6]
        if word in _TOUCHED and _LEADS & set(near):
            return bool(_OPEN & set(near)) and not any(w[:1].isdigit() for w in near)
    return False


def _lacks(word: str, after: list[str]) -> bool:
    """A lacking tool is named with 'my', 'a', 'any' or nothing; 'no reading on the meter' lacks none."""
    if _FUNCTIONS & set(after[:3]):
        return True
    first = next((i for i, w in enumerate(after) if w in TOOLS), None)
    if first is None:
        return False
    between = set(after[:first])
    had = bool(between & word_set("have got own bring carry")) or word not in (
        "havent", "hasnt", "dont", "doesnt", "didnt", "aint", "never", "left", "lost")
    near = word in ("left", "lost", "broke", "forgot") and first <= 1
    return near or (had and not between & word_set("on at the to reading tone beep from"))


def _is_other(words: Sequence[str], asked: Asked) -> bool:
    """'only does ohms' when volts were asked for; 'only got a continuity tester'."""
    named = {name for name, said in _QUANTITIES.items() if said & set(words)}
    return bool(named or TOOLS & set(words)) and asked not in named and not any(w[:1].isdigit() for w in words)


def _is_broken(after: Sequence[str]) -> bool:
    """'meter died', 'beeper on mine is broke'; 'meter says it is dead' speaks of the part."""
    if after[:1] and after[0] in _BROKEN:
        return True
    told = bool({"says", "reads", "shows", "it", "its"} & set(after))
    return not told and any(w in _BEING and bool(_BROKEN & set(after[i + 1:i + 2])) for i, w in enumerate(after))


def _wont_work(after: Sequence[str]) -> bool:
    return any(w in NOT and list(after[i + 1:i + 1 + len(end)]) == end
               for i, w in enumerate(after) for end in _UNWORKING)


def is_like_open(words: Sequence[str]) -> bool:
    """'same as with the leads in the air', 'acts like the probes arent touching'."""
    for place, word in enumerate(words):
        if word in ("like", "same", "igual"):
            after = words[place + 1:place + 9]
            if {"leads", "probes", "puntas"} & set(after) and _APART & set(after):
                return True
    return False


def has_no_flow(words: Sequence[str], asked: Asked) -> bool:
    """'not pulling any current': none of what was asked for."""
    flow = _FLOW.get(asked, frozenset())
    return any(w in NOT - {"cant"} and flow & set(words[i + 1:i + 5]) for i, w in enumerate(words))


def is_nothing_at_all(words: Sequence[str]) -> bool:
    """'never reads a thing', 'dont see anything on it'."""
    return any(w in NOT and _GETTING & set(words[i + 1:i + 3]) and _ANYTHING & set(words[i + 2:i + 6])
               for i, w in enumerate(words))


def does_not_react(words: Sequence[str]) -> bool:
    """'meter doesnt budge', 'wont budge'; 'impeller wont budge' speaks of something else."""
    return any(w in NOT and _REACTING & set(words[i + 1:i + 3]) and (i == 0 or words[i - 1] in _POINTING)
               for i, w in enumerate(words))


def does_not_know(words: Sequence[str]) -> bool:
    """'wouldnt know', 'couldnt say for sure', 'too dark to tell'."""
    if any(w == "too" and any(v == "to" and _KNOWING & set(words[j + 1:j + 2])
                              for j, v in enumerate(words[i + 2:i + 6], i + 2)) for i, w in enumerate(words)):
        return True
    if any(w in ("have", "gotta", "need", "hafta") and words[-2:-1] == ["to"] and words[-1] in _KNOWING for w in words):
        return True  # 'id have to pull it out to know'
    return any((w in NOT or w in ("wouldnt", "couldnt", "wasnt")) and _KNOWING & set(words[i + 1:i + 3]) and w != "no"
               for i, w in enumerate(words))


def did_not_watch(words: Sequence[str]) -> bool:
    """'wasnt timing it', 'not a clue'."""
    return any(w in ("wasnt", "didnt", "not", "forgot", "werent", "havent") and (
        _WATCHING & set(words[i + 1:i + 3]) or {"clue", "idea"} & set(words[i + 1:i + 3])) for i, w in enumerate(words))


def denied(words: Sequence[str]) -> list[bool]:
    """For each word, whether one of the four before it denies it; 'doesnt not' denies nothing."""
    plain = list(words)
    for i, word in enumerate(plain[1:], 1):
        if word == "not" and plain[i - 1] in NOT and plain[i - 1].endswith("nt"):
            plain[i - 1] = plain[i] = ""
    return [bool(set(_since_mark(plain[max(0, i - 4):i])) & NOT) for i in range(len(plain))]


def _since_mark(words: list[str]) -> list[str]:
    """What is denied before a comma denies nothing after it: 'no marca nada, abierto'."""
    return words[len(words) - words[::-1].index(","):] if "," in words else words


def without_conditions(words: Sequence[str]) -> list[str]:
    """'with it open', 'lid up' say when it was measured, not what was measured."""
    out, place = list(words), 0
    while place < len(out):
        reach = 5 if out[place] in _WITH else 3 if out[place] in _PARTS else 0
        end = next((i for i in range(place + 1, min(place + reach, len(out))) if out[i] in _STATES), None)
        if end is not None and not {",", ";"} & set(out[place:end]):
            del out[place:end + 1]
        else:
            place += 1
    return out


def parts_of(words: Sequence[str]) -> list[list[str]]:
    """The clauses of an answer about several contacts, without the words that join them."""
    parts: list[list[str]] = [[]]
    for place, word in enumerate(words):
        if word in _JOINTS:
            parts.append([])
        elif word in ("not", "no", "yes") and parts[-1] and set(words[place + 1:place + 2]) & _THERE:
            parts.append([word])  # 'beeps on the left not on the right'
        else:
            parts[-1].append(word)
    return [p for p in parts if p]


def ellipsis(words: Sequence[str]) -> Special | None:
    """'the other one doesnt': the verb is the one said before."""
    if not words:
        return None
    if words[0] in ("not", "no", "yes") and set(words[1:2]) & _THERE:
        return "beeps" if words[0] == "yes" else "no_beep"
    if words[-1] in ("dont", "doesnt", "didnt", "isnt", "not", "no", "wont") and len(words) <= 6:
        return "no_beep" if len(words) > 1 or words[0] not in ("no", "not") else None
    return "beeps" if words[-1] in ("does", "do", "did") and len(words) <= 6 else None
