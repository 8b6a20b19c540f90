"""Taking names, phone numbers, addresses and plates out of what people typed, before it leaves the house.

What is taken out, each by a word that says what stood there:
- names of the crew and of customers' sites, as the store has them, whatever their case: [name], [address]
- house number and street ("14 Hazel Lane"): [address]; e-mail addresses: [e-mail]
- seven digits and more that are written as a phone number: [phone]
- model and serial numbers: what follows those words, and letters mixed with digits as plates have them: [plate]

Readings stay: they are short numbers with units. (Several in a row without units can look like a phone number and go.)
No pattern finds everything: whoever passes an export on still has to look it over.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

from bot.store.erasing import pattern_of

_MAIL: Final = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")
_PHONE: Final = re.compile(r"(?<![\w.])\+?\(?\d[\d()]*(?:[\s./-]{0,3}\(?\d[\d()]*)*")
PHONE_DIGITS: Final = 7
_STREET: Final = re.compile(
    r"\b\d{1,5}[a-z]?,?\s+(?:[\w'’.-]+\s+){0,3}?(?:street|st|lane|ln|road|rd|avenue|ave|drive|dr|court|ct|place|pl|row|way|"
    r"hill|square|sq|close|crescent|gardens?|terrace|boulevard|blvd|highway|hwy|calle|avenida|plaza)\b\.?"
    r"(?:,?\s*(?:apt|unit|flat|no|#)\.?\s*\w+)?", re.IGNORECASE)
_LABELLED: Final = re.compile(
    r"\b(?P<label>model|mod|serial|ser|s/?n|m/?n|modelo|serie)\b(?P<between>\s*(?:no|nr|number|is|#|:|\.|=)*\s*)"
    r"(?P<value>(?=[\w/-]*\d)[\w/-]{3,})", re.IGNORECASE)
_PLATE: Final = re.compile(r"\b(?=[A-Za-z0-9/-]*\d[A-Za-z0-9/-]*\d)(?=[A-Za-z0-9/-]*[A-Za-z])[A-Z0-9][A-Z0-9/-]{6,}\b")


class Redactor:
    """Takes out what names people and places. `names` -> what to write instead (a stand-in, or [name])."""

    def __init__(self, names: Mapping[str, str], sites: Iterable[str] = ()) -> None:
        longest_first = sorted(names.items(), key=lambda each: -len(each[0]))
        self._names = [(re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE), instead)
                       for name, instead in longest_first if name.strip()]
        patterns = (pattern_of(site) for site in sorted(sites, key=len, reverse=True))
        self._sites = [pattern for pattern in patterns if pattern is not None]

    def __call__(self, text: str) -> str:
        """The text without them."""
        for pattern in self._sites:
            text = pattern.sub("[address]", text)
        text = _MAIL.sub("[e-mail]", text)
        text = _STREET.sub("[address]", text)
        text = _LABELLED.sub(lambda m: f"{m['label']}{m['between']}[plate]", text)
        text = _PHONE.sub(_phone, text)
        text = _PLATE.sub("[plate]", text)
        for name, instead in self._names:
            text = name.sub(instead, text)
        return text


def _phone(found: re.Match[str]) -> str:
    return "[phone]" if sum(c.isdigit() for c in found[0]) >= PHONE_DIGITS else found[0]


def as_it_is(text: str) -> str:
    """No redaction: for the owner's own use."""
    return text
