"""Numbers in an answer that are not its reading: pins, counts, ratings, settings, what is taken back."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from bot.language.meaning import Asked, Special
from bot.language.readings.amounts import Amount, follows
from bot.language.readings.norms import compared, nominal, set_after, set_before, shown_only
from bot.language.readings.numbers import Lexeme
from bot.language.readings.shortwords import phrases
from bot.language.words.text import word_set

_PAIR: Final = (["and"], ["n"], ["y"], ["to"], ["a"], ["or"], ["/"], ["-"])
_BETWEEN: Final = (["between"], ["across"], ["from"], ["entre"])
_RUN_ON: Final = word_set("its is at got abt")
_READS: Final = word_set("is reads read gives shows was i im da marca")
_OR_SO: Final = word_set("or to maybe ish point and n y about so thereabouts mas a hundred thousand half even flat "
                         "exactly")
_THESE: Final = word_set("those these both them")
_POINTING: Final = word_set("the this that other another each every which no")
_WHICH: Final = word_set("outer inner outside inside other others first last end top bottom left right same big small")
_WHERE: Final = word_set("on at in that you i we from by")
_NOT_COUNTED: Final = word_set("of other more end side leg time way")
_MANY: Final = word_set("pin pins terminal breaker circuit")
_NO_PLURAL: Final = word_set("across less plus this always sometimes goes stays reads keeps shows says drops "
                             "jumps does minus")
_SCALES: Final = word_set("scale setting mode escala")
_FOREIGN: Final = word_set("hz hertz ft feet foot inch inches in yards yard block blocks mile miles psi gauge ga awg "
                           "hp btu gallons gallon lbs pounds years year yrs months weeks days day floors stories bucks "
                           "dollars mm cm metros pulgadas cuadras")
"""Units of nothing that is asked for."""
_CALENDAR: Final = word_set("day days week weeks wk wks month months year years yr yrs dia dias semana semanas mes "
                            "meses ano anos")
"""How long ago, or for how long: never a reading."""
_STOCK: Final = word_set("battery batteries breaker fuse circuit outlet bulb adapter")
_UNNUMBERED: Final = word_set("about around maybe like then and read reads got gets shows says was now its")
_UNDESCRIBED: Final = word_set("the from one and this that for with only got getting between across los del")
_HELD: Final = word_set("probe probes lead leads red black blk rd other one white wht")
_LEADS: Final = word_set("leads lead probes puntas")
_ALONE: Final = word_set("are is read reads touching together touched shorted alone themselves show give at about to "
                         "each other by just")
_HEDGE: Final = word_set("like about around thats its its maybe im getting i get call it really id say figure")


def readings_among(amounts: Sequence[Amount], items: Sequence[Lexeme], asked: Asked) -> list[Amount]:
    """The amounts that are readings. Where all look like something else they are kept, but for words ('that one')."""
    words = [i.text for i in items]
    kept = [a for a in amounts if not _is_pronoun(a, words, asked) and not _is_scale(a, words)
            and words[a.last + 1:a.last + 2] != ["percent"] and not (
                a.unit is None and _CALENDAR & set(words[a.last + 1:a.last + 2]))]
    kept = [a for a in kept if not _is_foreign(a, words)] or kept
    pins = _pairs(kept, words, asked)
    kept = [a for a in kept if a not in pins]
    labels = _labels(kept, items)
    named = [a for a in kept if a not in labels]
    uncounted = [a for a in named if not _counts_something(a, items)]
    kept = uncounted or ([] if asked == "continuity" else named or kept)
    degrees = (set_after,) if asked in {"celsius", "fahrenheit"} else ()
    for find in (_concluded, nominal, compared, set_before, *degrees, shown_only, _taken_back):
        if len(kept) > 1:
            away = find(kept, words)
            kept = [a for a in kept if a not in away] or kept
    return kept


def are_only_counts(amounts: Sequence[Amount], items: Sequence[Lexeme]) -> bool:
    """'OL, tried 2 meters': none of the numbers is a reading."""
    words = [i.text for i in items]
    return all(_counts_something(a, items) or a in _labels(amounts, items) or _is_foreign(a, words)
               or _STOCK & set(words[a.last + 1:a.last + 2]) for a in amounts)


def is_over_range(amounts: Sequence[Amount], items: Sequence[Lexeme], special: Special | None) -> bool:
    """A lone 1 at the left of the display, as many meters show an open circuit."""
    if len(amounts) != 1 or amounts[0].unit is not None or amounts[0].value != 1:
        return False
    after = [i.text for i in items[amounts[0].last + 1:amounts[0].last + 13]]
    return special == "open" or "left" in after or "izquierda" in after


def _is_pronoun(amount: Amount, words: Sequence[str], asked: Asked) -> bool:
    """'the white one', 'the other one'; 'one beeps'; 'on those two'; 'from one day to the next'."""
    after = words[amount.last + 1:amount.last + 2]
    if words[amount.first] == "one" and amount.unit is None and after and after[0].isalpha() and after[0] not in _OR_SO:
        return True
    if words[amount.first] == "zero" and words[amount.last + 1:amount.last + 2] in (["the"], ["out"], ["my"]):
        return True  # 'let me zero the leads'
    of_these = list(words[max(0, amount.first - 2):amount.first])
    if words[amount.first] in ("two", "three") and amount.unit is None and of_these[:1] == ["the"] and (
            of_these[-1] in _WHICH):
        return True  # 'between the outer two'
    if amount.unit is None and 1 < amount.value <= 6 and of_these[-1:] == ["all"]:
        return True  # 'all three 4.7'
    if words[amount.first] in ("two", "three") and of_these[-1:] == ["the"] and after and after[0] in _WHERE:
        return amount.unit is None  # 'the two on the left'
    if words[amount.first] in ("two", "three") and set(words[max(0, amount.first - 1):amount.first]) & _THESE:
        return amount.unit is None
    return words[amount.first] in ("one", "half") and amount.unit is None and (asked == "continuity" or bool(
        _POINTING & set(words[max(0, amount.first - 2):amount.first])))


def _is_scale(amount: Amount, words: Sequence[str]) -> bool:
    """'on the 20 meg scale', 'on the 200 range'; 'in the 50 range' is a reading."""
    after = words[amount.last + 1:amount.last + 2]
    return bool(_SCALES & set(after)) or (after == ["range"] and list(words[max(0, amount.first - 2):amount.first]) == [
        "on", "the"])


def _is_foreign(amount: Amount, words: Sequence[str]) -> bool:
    """'60 hz', '20 ft', '2 blocks away': of another quantity than any that is asked for."""
    after = words[amount.last + 1:amount.last + 3]
    return amount.unit is None and bool(_FOREIGN & set(after[:1])) and (after[0] != "in" or len(after) == 1)


def _labels(amounts: Sequence[Amount], items: Sequence[Lexeme]) -> list[Amount]:
    """'pin 3', 'L1', and the 3 of 'pins 1 and 3'."""
    found: list[Amount] = _numbered(amounts, items)
    for place, amount in enumerate(amounts):
        if _is_glued(amount, items):
            found.append(amount)
            continue
        if amount.unit is not None or "." in items[amount.first].text or not float(amount.value).is_integer():
            continue
        before = items[amount.first - 1].text if amount.first else ""
        singular = before.removesuffix("s") if len(before) > 3 else before
        if singular in ("side", "leg", "winding") and _is_described(items, amount.first - 1):
            continue
        held = before == "on" and amount.first > 1 and items[amount.first - 2].text in _HELD
        named = held or (before,) in phrases("skip_before") or (singular,) in phrases("skip_before")
        listed = place > 0 and amounts[place - 1] in found and [
            i.text for i in items[amounts[place - 1].last + 1:amount.first]] in _PAIR
        if 0 < amount.value <= (40 if singular in _MANY else 12 if listed else 6) and (named or listed):
            found.append(amount)
    return found


def _numbered(amounts: Sequence[Amount], items: Sequence[Lexeme]) -> list[Amount]:
    """The 1 and 2 of 'heater 1 10.2, heater 2 0': one name, counted through."""
    named: dict[str, list[Amount]] = {}
    for amount in amounts:
        before = items[amount.first - 1].text if amount.first else ""
        if amount.unit is None and len(before) > 2 and before.isalpha() and before not in _UNNUMBERED:
            named.setdefault(before, []).append(amount)
    return [a for found in named.values() if len(found) > 1 and len(found) < len(amounts)
            and [x.value for x in found] == [float(n + 1) for n in range(len(found))] for a in found]


def _is_described(items: Sequence[Lexeme], place: int) -> bool:
    """'fan side 5': a side with a name needs no number, so what follows is read there."""
    before = items[place - 1].text if place else ""
    return len(before) > 2 and before.isalpha() and before not in _UNDESCRIBED


def _is_glued(amount: Amount, items: Sequence[Lexeme]) -> bool:
    """'wf220', 'L1': digits that go on from letters name a model, a part or a wire."""
    if amount.first == 0 or amount.unit is not None:
        return False
    before = items[amount.first - 1]
    return before.text.isalpha() and before.end == items[amount.first].start and before.text not in _RUN_ON and (
        len(before.text) <= 3)


def _counts_something(amount: Amount, items: Sequence[Lexeme]) -> bool:
    """'the two outside pins', 'one side', 'has 3 plugs' count things; the 5.0 of 'pin 1 5.0 pin 2 0.3' does not."""
    if amount.unit is not None or "." in items[amount.first].text:
        return False
    after, following = (items[here].text if here < len(items) else "" for here in (amount.last + 1, amount.last + 2))
    names_next = not amount.spelled and (after,) in phrases("skip_before") and following[:1].isdigit()
    small = float(amount.value).is_integer() and 0 < amount.value <= (6 if amount.spelled else 8)
    if small and amount.spelled and items[amount.first - 1].text in ("the", "both", "those") and amount.first:
        later = items[amount.last + 2].text if amount.last + 2 < len(items) else ""
        if after.isalpha() and len(later) > 3 and later.endswith("s") and later not in _NO_PLURAL:
            return True  # 'the two spade terminals'
    counted = (after,) in phrases("skip_after") and (amount.spelled or after not in _NOT_COUNTED) and not names_next
    some = after == "of" and following in ("em", "them", "the", "these", "those")
    things = len(after) > 3 and after.endswith("s") and after not in _NO_PLURAL
    lone = amount.spelled and amount.value == 1 and after in ("", "is", "on", "at", ",")
    return small and (counted or some or things or lone)


def _pairs(amounts: Sequence[Amount], words: Sequence[str], asked: Asked) -> list[Amount]:
    """'120 between 4 and 5', '1-2 is 6.1': places on a connector, when there is another number that is the reading, or
    none is wanted."""
    places: list[Amount] = []
    for one, two in pairwise(amounts):
        joined = list(words[one.last + 1:two.first]) in _PAIR
        small = all(a.unit is None and float(a.value).is_integer() and 0 < a.value <= 12 for a in (one, two))
        told = words[two.last + 1:two.last + 2]
        if joined and small and (words[max(0, one.first - 1):one.first] in _BETWEEN or bool(_READS & set(told))):
            places += [one, two]
    return places if len(places) < len(amounts) or asked == "continuity" else []


def _concluded(amounts: Sequence[Amount], words: Sequence[str]) -> list[Amount]:
    """'one a second so 60': what it comes to counts."""
    before = list(words[amounts[-2].last + 1:amounts[-1].first])
    while before and before[-1] in _HEDGE:
        before.pop()
    if list(words[max(0, amounts[-1].first - 2):amounts[-1].first]) == ["call", "it"]:
        return list(amounts[:-1])
    return list(amounts[:-1]) if before[-1:] == ["so"] and before[-2:-1] != ["or"] else []


def _taken_back(amounts: Sequence[Amount], words: Sequence[str]) -> list[Amount]:
    """'12 not 14', 'leads touching is .3', 'give or take 2', 'missed a zero'."""
    return [a for a in amounts if words[max(0, a.first - 1):a.first] in (["not"], ["no"])
            or follows(words, a.first, _LEADS, _ALONE)
            or list(words[max(0, a.first - 2):a.first]) in (["or", "minus"], ["or", "take"], ["/", "-"])
            or list(words[max(0, a.first - 2):a.first]) in (["plus", "minus"], ["+", "-"], ["mas", "menos"])
            or list(words[max(0, a.first - 3):a.first]) in (["plus", "or", "minus"], ["+", "/", "-"])
            or (a.value == 0 and a.spelled and words[max(0, a.first - 1):a.first] == ["a"])]
