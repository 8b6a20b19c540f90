"""The things that one line tells, also where no mark stands between them."""

from __future__ import annotations

import re
from typing import Final

from bot.language.answers.about import parts_of
from bot.language.index import Index
from bot.language.words.silence import said_as_one

_MOMENT: Final = re.compile(r"\b(?:when|whenever|while|as soon as|each time|every time|cuando|mientras)\b.*",
                            re.IGNORECASE | re.DOTALL)


def lines_of(index: Index, family: str, text: str) -> list[str]:
    """A line, each thing it tells, when that is said to come, and the line without the machine; each of them once."""
    text = said_as_one(text).replace("no sound", "silent")
    moment, bare = _MOMENT.search(text), names_of(index, family).sub(" ", text)
    lines = [text, *parts_of(text), *told_apart(text), *([moment[0]] if moment else []), bare, *told_apart(bare)]
    return list(dict.fromkeys(line.strip() for line in lines if any(c.isalnum() for c in line)))


def names_of(index: Index, family: str) -> re.Pattern[str]:
    """What the machine is called: no word on what it does."""
    if family not in index.names:
        names = (name for names in index.knowledge.packs[family].family.names.values() for name in names)
        longest = sorted(names, key=lambda name: -len(name))
        index.names[family] = re.compile(rf"\b(?:{'|'.join(map(re.escape, longest))})\b", re.IGNORECASE)
    return index.names[family]


def told_apart(text: str) -> list[str]:
    """The parts of a line, also where no mark stands between them: 'wont drain tub full | pump just hums'."""
    return [piece.strip() for part in parts_of(text) for piece in _BEGINS_ANEW.split(part) if piece.strip()]


_BEGINS_ANEW: Final = re.compile(
    r"(?<=\w)(?<!\bthe)(?<!\ba)(?<!\bits)(?<!\bof)(?<!\bto)(?<!\bin)(?<!\bon)(?<!\bat)(?<!\bno)"
    r"\s+(?=(?:the |its )?(?:pump|motor|basket|drum|tub|belt|ignit[eo]r|glow ?bar|element|heater)s? "
    r"(?:is |just |only |aint |isnt |not |never )*"
    r"(?:hum\w*|buzz\w*|runs?|running|silent|quiet|dead|sits?|stays?|stands?|making|makes|spins?|turns?|turning|tries|"
    r"starts?|clicks?|growls?|glow\w*|dont|wont|doesnt|no)\b)|"
    r"(?<=\w)(?<!pump)(?<!motor)\s+(?=no (?:hum|noise|click)\b)|"
    r"(?<=\w)(?<!pump)(?<!motor)(?<!drum)(?<!dead)(?<!\bis)(?<!its)\s+(?=silent\b)|"
    r"(?:(?<=hums)|(?<=buzzes)|(?<=runs)|(?<=silent)|(?<=quiet))\s+(?=(?:wont|doesnt|dont)\b)|"
    r"(?<=\w)\s+(?=tries\b)", re.IGNORECASE)
"""Where a part of the machine is named and what it does is said, and before 'silent': something else is told."""
