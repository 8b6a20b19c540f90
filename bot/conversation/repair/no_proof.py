"""Words at a proof that prove nothing yet: the run is still on, or something else is told to go than what was wrong."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.turn import Turn
from bot.conversation.wording.mended import plain
from bot.conversation.wording.ways import way_of
from bot.language.answers.about import stems

_ONE_PART: Final = re.compile(
    r"\W*(?:(?:the|its|ok|and|now|new) )*(?P<part>(?:drain |wash |fan |drum |circulation )?"
    r"(?:motor|pump|fan|blower|compressor|lights?|lamp|panel|display|board|timer|clock))(?: is| are)? "
    r"(?:runs?|running|works|working|hums?|humming|turns?|turning|comes? on|came on|on|lit|lights? up)"
    r"(?: (?:now|fine|ok|okay|good|again|nice|too|tho))*\W*")
"""'Pump runs', and nothing else."""


def no_proof_yet(turn: Turn, text: str) -> bool:
    """Whether words at a proof say that it is being tried, or of one part alone that it runs, though the complaint is
    of something else: 'pump runs' of a washer that would not spin."""
    part = _ONE_PART.fullmatch(plain(text))
    if part is not None:
        return not stems(part["part"]) & _of_the_trouble(turn)
    return way_of("proof", text) == "not_yet"


def _of_the_trouble(turn: Turn) -> frozenset[str]:
    """The words of the complaints that stand, of the fault and of its repair."""
    pack, fault, repair = turn.pack, turn.job.position.fault, turn.job.position.repair
    said = [pack.complaints[fact.subject].says for fact in turn.job.standing("complaint")
            if fact.subject in pack.complaints]
    said += [pack.faults[fault].name] if fault in pack.faults else []
    said += [pack.repairs[repair].name] if repair in pack.repairs else []
    return stems(" ".join(said))
