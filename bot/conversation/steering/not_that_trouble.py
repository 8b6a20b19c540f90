"""A complaint that is denied after all, in a line that answers nothing: 'no no it turns off fine, just runs hot'."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.conversation.intake import absorb
from bot.conversation.job import Phase
from bot.conversation.turn import Turn
from bot.language.complaints.beside_danger import SAME
from bot.language.meaning import Meaning


def denies_trouble(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'It turns off fine, just runs hot' while something else is asked: of the complaints that stand one is denied, and
    nothing else is made of the line. Not where it may be that a repair cured it, or a danger stands."""
    if turn.job.phase not in {Phase.INTAKE, Phase.CHECKS} or _SINCE.search(text) or turn.job.standing("repaired"):
        return False
    told = [guess.id for guess in meaning.complaints]
    stands = {fact.subject for fact in turn.job.standing("complaint")} - {*told, *_in_danger(turn)}
    denied = tuple(name for name in meaning.denied if name in stands)
    if not denied:
        return False
    absorb(turn, replace(meaning, denied=denied, results=()))
    turn.place(misses=0)
    turn.go_on = True
    return True


def _in_danger(turn: Turn) -> set[str]:
    """The complaints that say the same as a danger that was told: each is taken back in words of its own."""
    return {name for fact in turn.job.standing("danger") for hazard, same in SAME.items() if hazard == fact.subject
            for name in same}


_SINCE: Final = re.compile(r"\b(?:now|since|after|again|today|sometimes|mostly|at first|until|till|once)\b|\?",
                           re.IGNORECASE)
