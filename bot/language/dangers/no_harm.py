"""Words of a danger that are of something else where they stand: 'got a bit wet', 'bled it first', 'a fire hose'."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from bot.language.dangers.only_told import only_told
from bot.language.meaning import Hazard
from bot.language.words.text import word_set

_MOVES: Final = word_set(
    "wiggle wiggles wiggled move moves moved wobble wobbles wobbled loose slack rattle rattles fall falls crumble "
    "crumbles stop stops stopped click clicks turn turns spin spins give gives stick sticks sticky soft cold wet "
    "beep beeps respond responds react reacts work works flex flexes bend bends")
"""What a part does 'when i touch it', and no current."""
_BLED_OFF: Final = word_set("it them that off down out first cap capacitor charge")
_WHO: Final = word_set(
    "i im ive he hes she shes they theyre we were me him her them is are was got get gets getting be been and but help "
    "kid kids child toddler baby boy girl man guy woman lady wife husband son daughter helper partner tech buddy dad "
    "mom cat dog customer cust owner hand hands arm arms leg legs foot feet finger fingers thumb head hair")
"""Who may be 'stuck under' a machine; a label or a coin is no case for a doctor."""
_GOT_IT: Final = frozenset({"got it", "have it", "had it", "got them"})
_ITS_SIDE: Final = word_set("back side front face edge")
_GUARDS: Final = word_set("switch switches float sensor sensors guard protection")
_CORDS: Final = word_set("cord cords cable insulation jacket gasket seal wire wires harness lead")
_SEALED: Final = word_set(
    "line lines tube tubes tubing coil coils evap evaporator liner copper aluminum pipe gas refrigerant freon hiss "
    "hisses hissing hissed psst smell smells smelled oil oily ice pick spray spraying")
_INTO: Final = word_set("in inside into under underneath down behind up through thru near by against over between to")


def no_harm(hazard: Hazard, words: Sequence[str], first: int, end: int) -> bool:
    """Whether the words [first, end) that told a danger are of something else here."""
    told, before, after = words[first:end], words[max(0, first - 2):first], words[end:end + 3]
    match hazard:
        case "shock":
            return ("a", "bit") in pairwise(told) or (told[0] == "when" and bool(before) and before[-1] in _MOVES)
        case "injury":
            bled = told == ["bled"] and (after[:1] == ["the"] or not _BLED_OFF.isdisjoint(after[:1]))
            drained = told == ["bled"] and " ".join(before) in _GOT_IT
            laid = told == ["tipped", "on"] and after[:1] == ["its"] and not _ITS_SIDE.isdisjoint(after[1:2])
            return bled or drained or laid or (
                told == ["stuck", "under"] and bool(before) and before[-1] not in _WHO)
        case "fire":
            return told[-1] == "fire" and after[:1] in (["hose"], ["hydrant"], ["extinguisher"])
        case "flood":
            guard = told[-1] == "flood" and not _GUARDS.isdisjoint(after[:1])
            return guard or (told[-2:] == ["hose", "split"] and "air" in words and "water" not in words)
        case "refrigerant":
            return told == ["nicked"] and not _CORDS.isdisjoint(words) and _SEALED.isdisjoint(words)
        case _:
            return False


def of_the_ground(words: Sequence[str]) -> bool:
    """Whether a meter reads next to nothing to ground, and nobody felt anything: 'ground pin to cabinet 0.1'."""
    return only_told(words, _TO_GROUND, _FELT)


def of_volts(words: Sequence[str]) -> bool:
    """Whether a part gets its volts, and nobody: 'gets volts at the block', 'no volts on the pump'."""
    return only_told(words, _HAS_VOLTS, _ON_SOMEBODY)


def of_a_leak_to_metal(words: Sequence[str]) -> bool:
    """Whether ohms are read from a part to bare metal, or none, and nobody felt anything: 'one winding touches the
    body, 85 ohm', 'pins to ground 6 megohm'."""
    return only_told(words, _OHMS_TO_METAL, _FELT_METAL)


def cuts_a_part(words: Sequence[str]) -> bool:
    """Whether what cut something cut a part, and nobody: 'sharp edge cut the hose', 'pin cut it, took it out'."""
    return only_told(words, _CUT_A_PART, _SOMEBODY)


_TO_GROUND: Final = re.compile(
    r"\b(?:ground|earth)\b.*\b(?:pin|prong|screw|lug|strap|cabinet|case|chassis|frame|metal)\b.*"
    r"(?<![\d.])(?:0 ?)?\. ?\d+(?! ?(?:v|volts?|vac|a|amps?)\b)|"
    r"\b(?:pin|prong|screw|lug|strap|cabinet|case|chassis|frame|metal)\b.*\b(?:ground|earth)\b.*"
    r"(?<![\d.])(?:0 ?)?\. ?\d+(?! ?(?:v|volts?|vac|a|amps?)\b)")
_FELT: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|felt|feels?|touch\w*|live|volts?|current|sparks?|hand|finger)\b")
_METAL: Final = r"\b(?:ground|earth|cabinet|case|casing|chassis|frame|shell|housing|body|iron|metal)\b"
_OHMS: Final = (r"(?:\b(?:\d[\d.]*|zero) ?(?:k|m|meg|mega)? ?(?:ohms?|megohms?|megaohms?)\b|\bmega?ohms?\b|"
                r"\binfinit\w+|"
                r"\bo\.? ?l\b|(?<![\d.])(?:0 ?)?\. ?\d+ to (?:the )?(?:ground|earth)\b)")
_OHMS_TO_METAL: Final = re.compile(rf"^(?=.*{_METAL}).*{_OHMS}")
_FELT_METAL: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|felt|feels?|(?<!winding )(?<!element )(?<!coil )(?<!wire )"
    r"touch(?:ed|ing)?|live|volts?|v|current|sparks?|hands?|"
    r"fingers?|arms?|elbow|sting\w*|stung|pok\w*|ouch|prick\w*|twitch\w*|wet|barefoot|static|sink|tap|faucet|grab\w*|"
    r"when|him|her|she|he|cust\w*|owner|lady|kids?|wife|tenant|people|somebody|someone|us|them|hurt\w*|hot|buzz\w*|"
    r"tickl\w*|needles|belt\w*|bolt|wallop|1[12]0|2[0-4]0)\b")
_HAS_VOLTS: Final = re.compile(
    r"\b(?:gets?|getting|got|has|have|had|sees?|shows?|theres|is|no|full|good) (?:no |the |its |full |some )?"
    r"(?:volts?|voltage|power|current)\b")
_ON_SOMEBODY: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|felt|feels?|touch\w*|me|him|her|hand|finger|cabinet|case|casing|frame|"
    r"body|chassis|shell|housing|skin|door|handle|metal|faucet|sink|pok\w*|static|cust\w*|owner|lady|kid|people|somebody|"
    r"someone|us|them|barefoot|wet)\b")
_CUT_A_PART: Final = re.compile(
    r"\b(?:cut|sliced|nicked|tore|ripped) (?:through |into |up )?(?:the |its |that |a |one )?"
    r"(?:hoses?|wires?|gasket|boot|belts?|seal|cord|line|tub|tube|rubber|harness|cable|liner|fold|bellows?|it)\b")
_SOMEBODY: Final = re.compile(
    r"\b(?:me|him|her|my|his|i|im|he|she|us|bleed\w*|blood|hands?|fingers?|thumb|arm|skin|hurt\w*)\b")


def put_in(words: Sequence[str], place: int) -> bool:
    """Whether the part of the body at `place` was put somewhere of one's own will: 'stuck my arm in, its cold'."""
    after = words[place + 1:place + 3]
    into = after[1:] if after[:1] in (["right"], ["straight"], ["way"]) else after[:1]
    return words[place - 2:place - 1] == ["stuck"] and not _INTO.isdisjoint(into)
