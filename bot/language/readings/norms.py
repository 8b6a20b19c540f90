"""Numbers that something is set to, rated at, compared with or claimed by a display, beside what was read."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from bot.language.readings.amounts import RANGE, Amount, follows
from bot.language.readings.metertalk import TOOLS
from bot.language.readings.shortwords import spots_of
from bot.language.words.text import word_set

_RATED: Final = word_set("rail supply set setpoint rated nominal breaker fuse outlet circuit cap capacitor fusible")
_LABELS: Final = word_set("label plate nameplate tag sticker sheet etiqueta placa")
_PRINTED: Final = _LABELS | word_set("can box book manual schematic diagram drawing chart")
_CONTROLS: Final = word_set("timer dial knob thermostat stat selector control perilla dials knobs timers selectors "
                            "controls thermostats")
_SET: Final = word_set("on at to is set was turned en a for says sits")
_SETTING: Final = word_set("set setting cranked dialed puesto")
_HAD: Final = word_set("had turned")
_INTO: Final = word_set("it the on to at for in my meter its a timer dial oven temp control thermostat up")
_FURTHER: Final = word_set("less more higher lower hotter colder warmer cooler over under slower faster")
_BEING: Final = word_set("to be see get read have hit show measure do make come run pull draw")
_FUSES: Final = word_set("breaker breakers fuse fuses")
_AROUND: Final = word_set("room rooms ambient kitchen garage basement")
"""Whose temperature is told beside the reading."""
LARGEST_FUSE: Final = 60
"""Amps: a larger number at a breaker is what was read there."""
_FUSED: Final = word_set("is are a an its size at")
_WHOLE: Final = word_set("of voltage power speed rated line heat load")
_NORMS: Final = word_set("spec specs specd factory nominal target setpoint normal normally rating goal")
_NORM_SAYS: Final = word_set("is at was of says for number value be the its a around about reading range temp")
_ASTRAY: Final = word_set("off over under short shy")
_DISPLAYS: Final = word_set("display displays screen panel readout pantalla")
_OWN: Final = TOOLS | word_set("actual actually laser")
_SHOWN: Final = word_set("shows says showing reads claims is at the said show thinks its")
_SAYS: Final = word_set("says is said the reads shows has was wants")


def nominal(amounts: Sequence[Amount], words: Sequence[str]) -> list[Amount]:
    """What it should be, is rated at, is set to, has printed on it, or has as a fuse; both ends of a range."""
    found: list[Amount] = []
    for _, last in spots_of(words, "should"):
        reach = last + (3 if set(words[last:last + 1]) & _BEING else 2)
        expected = [a for a in amounts if last <= a.first <= reach and "," not in words[last:a.first]][:1]
        found += expected if len(found) + len(expected) < len(amounts) else []
    for amount in amounts:
        after = list(words[amount.last + 1:amount.last + 4])
        printed = after[:1] in (["on"], ["en"]) and bool(_PRINTED & set(after))
        stated = after[:2] in (["was", "what"], ["is", "what"]) or follows(words, amount.first, _LABELS, _SAYS)
        stated = stated or follows(words, amount.first, _NORMS, _NORM_SAYS) or _is_beside(amount, words)
        control = follows(words, amount.first, _CONTROLS, _SET)
        if printed or stated or control or (bool(_RATED & set(after[:1])) and after[1:2] != ["side"]):
            found.append(amount)
        elif words[max(0, amount.first - 1):amount.first] == ["the"] and after[:1] in (["side"], ["section"], ["end"]):
            found += [a for a in amounts if a.value == amount.value]
    found += [two for one, two in pairwise(amounts) if one.value <= two.value
              and list(words[one.last + 1:two.first]) in (["of"], ["out", "of"], ["de"])]  # 'thirty eight of forty'
    found += [two for one, two in pairwise(amounts)
              if one in found and list(words[one.last + 1:two.first]) in (*RANGE, ["/"])]
    return found


def _is_beside(amount: Amount, words: Sequence[str]) -> bool:
    """'breakers a 15', 'room is about 70'; the 0 of 'at the breaker 0' is read there."""
    fused = words[max(0, amount.first - 1):amount.first]
    fuse = amount.value <= LARGEST_FUSE and bool(_FUSED & set(fused)) and follows(words, amount.first, _FUSES, _FUSED)
    return fuse or follows(words, amount.first, _AROUND, _NORM_SAYS)


def compared(amounts: Sequence[Amount], words: Sequence[str]) -> list[Amount]:
    """'20 less than it should, 98', 'half of what it was': how far it is from something, not what it is."""
    found = []
    for amount in amounts:
        after = list(words[amount.last + 1:amount.last + 4])
        off = after[1:2] == [","] and after[0] in _ASTRAY and amount.unit is None
        than = "than" in after and after[0] in _FURTHER
        share = list(words[max(0, amount.first - 2):amount.first]) == ["percent", "of"]
        fraction = amount.spelled and amount.value < 1 and after[:1] and after[0] in _WHOLE
        if off or than or share or fraction or after[:2] in (["of", "what"], ["x", "what"], ["times", "what"]):
            found.append(amount)
    return found


def set_before(amounts: Sequence[Amount], words: Sequence[str]) -> list[Amount]:
    """'set 375 it averages 412', 'had it on 20 dcv, 11.97': what something was set to, told before what came of it."""
    first, second = amounts[0], amounts[1]
    held = bool({"it", "meter"} & set(words[max(0, first.first - 4):first.first]))
    put = follows(words, first.first, _SETTING, _INTO) or (held and follows(words, first.first, _HAD, _INTO))
    if not put or list(words[first.last + 1:second.first]) in RANGE:
        return []
    return [first]


def set_after(amounts: Sequence[Amount], words: Sequence[str]) -> list[Amount]:
    """'300 at 350', 'reads 300 with the dial at 350': the setting, told after the temperature that came of it."""
    return [two for one, two in pairwise(amounts)
            if (gap := set(words[one.last + 1:two.first])) and gap <= _TO_A_SETTING and gap & _AT_A_SETTING]


_AT_A_SETTING: Final = word_set("at vs versus set dialed dial knob")
_TO_A_SETTING: Final = _AT_A_SETTING | word_set("to for on when with w it its is was the temp")


def shown_only(amounts: Sequence[Amount], words: Sequence[str]) -> list[Amount]:
    """'display shows 1000 but my tach shows 640': one's own tool goes before what the machine claims."""
    claimed = [a for a in amounts if follows(words, a.first, _DISPLAYS, _SHOWN)]
    own = [a for a in amounts if follows(words, a.first, _OWN, _SHOWN)]
    return claimed if own else []
