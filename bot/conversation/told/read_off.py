"""What only the name of a measured part sounds like: 'fuse on the blower reads OL' blows no fuse of the house."""

from __future__ import annotations

from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.answers.both_ways import both_ways, reads
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.meaning import Guess, Meaning
from bot.language.understand import understand


def without_read_off(turn: Turn, meaning: Meaning, text: str) -> tuple[Guess, ...]:
    """The complaints of a line without those that it has only from a part that a meter was on, where the rest of the
    line tells one."""
    parts, switch = parts_of(text), both_ways(text) is not None  # how one reads, pressed and let go
    rest = [part for part in parts if not (tells_open(part) or tells_continuity(part) or (switch and reads(part)))]
    if switch and not rest:
        return ()
    if not meaning.complaints or not rest or len(rest) == len(parts):
        return meaning.complaints
    told = understand(turn.context.release.index, ", ".join(rest), family=turn.job.family or meaning.family)
    kept = {guess.id for guess in told.complaints}
    return tuple(guess for guess in meaning.complaints if guess.id in kept) if kept or switch else meaning.complaints
