"""'No wait, that was the broil one, bake is 30': a reading that was of another part goes there, and its own one comes
in its place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.questions.checks import take_answer
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.whose_part import only_to_metal, quantity_read, spoken_of, words_in
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.answers.open_circuit import tells_open

_WAS_THE: Final = re.compile(
    r"\b(?:that|it|this|those|they)(?:'?s| was| is| were)(?: (?:actually|really|for|of|on|from|across|at))* "
    r"(?:the |my )(?P<part>(?!same|wrong|right|other|only|last|first|good|bad|open)"
    r"(?!.*\b(?:that|thats|which|who|is|was|reads?|open|bad|shot)\b)[a-z][a-z ]{2,24}?)"
    r"(?: one| ohms| number| reading| pins?| that i (?:read|had|did))?\W*$", re.IGNORECASE)
_FOR_THE: Final = re.compile(
    r"\b(?:i (?:was|had|had it|was reading|read|measured|metered)(?: (?:on|across|at))?|had the (?:meter|leads) on)"
    r" (?:the |my )(?P<part>[a-z][a-z ]{2,24}?)(?: one| pins?)?\W*$", re.IGNORECASE)
_CALLED_FINE: Final = re.compile(r"\b(?:is|are|was|its) (?:ok|okay|fine|good|alright)\b", re.IGNORECASE)
"""'The element is ok, its the fuse': one is taken back and another told, each in its own words."""
OPEN: Final = "OL"


def was_of_another(turn: Turn, text: str) -> bool:
    """Move the last reading to the part that a line says it was of, and file the readings that it tells beside. True if
    it was moved."""
    parts = parts_of(text)
    at, part = next(((n, found["part"]) for n, said in enumerate(parts) if not any(c.isdigit() for c in said)
                     and (found := _WAS_THE.search(said) or _FOR_THE.search(said)) is not None), (0, ""))
    last = _last_reading(turn) if part and _CALLED_FINE.search(text) is None else None
    if last is None:
        return False
    key, read = last
    named = _check_of(turn, part, key)
    if named is None or named == key:
        return False
    turn.close_question(closed="passed")
    turn.place(misses=0)
    turn.withdraw([fact for fact in turn.job.standing("result") if fact.subject == key])
    turn.note("revised.moved", name=turn.pack.checks[named].name, was=turn.pack.checks[key].name)
    _take_beside(turn, key, [said for n, said in enumerate(parts) if n != at])
    if turn.job.question is None:
        take_answer(turn, named, answer_to(turn, named, read), read)
    turn.go_on = turn.job.question is None
    return True


def _take_beside(turn: Turn, key: str, parts: Sequence[str]) -> None:
    """The readings that are told with it, each of the part that it names; of the first one where it names none."""
    for said in parts:
        if turn.job.question is None and (tells_open(said) or any(c.isdigit() for c in said)):
            mine = _check_of(turn, said, None) or key
            take_answer(turn, mine, answer_to(turn, mine, said), said)


def _last_reading(turn: Turn) -> tuple[str, str] | None:
    """The check that was read last, or whose reading is asked about just now, and the reading in words."""
    question = turn.job.question
    if question is not None and question.kind == "doubt_reading":
        value = next((value.split(":") for value in question.values if value.startswith("value:")), None)
        return None if value is None else (question.data["check"], f"{value[1]} {value[2]}")
    for fact in reversed(turn.job.standing("result")):
        check = turn.pack.checks.get(fact.subject)
        if check is None or check.reading is None:
            continue
        if fact.number is not None:
            return fact.subject, f"{fact.number:g} {check.reading.quantity}"
        band = check.results[fact.value].band if fact.value in check.results else None
        return (fact.subject, OPEN) if band is not None and band.open else None
    return None


def _check_of(turn: Turn, words: str, key: str | None) -> str | None:
    """The check of a part by its name; it reads what `key` reads, where that is given."""
    quantity = None if key is None else quantity_read(turn.pack.checks[key])
    said = words_in(words)
    ranked = spoken_of(turn, said, lambda check: check.reading is not None and not only_to_metal(check)
                       and bool(said & words_in(check.name)) and quantity in {None, quantity_read(check)})
    return ranked[0][1] if ranked else None
