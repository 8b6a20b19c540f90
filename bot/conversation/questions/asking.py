"""Putting a question: its words, its choices, and what has to be done to the machine first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bot.conversation.effects import Choice, Text
from bot.conversation.job import Question, QuestionKind
from bot.conversation.safety.machine import bring_to
from bot.conversation.turn import Turn, capital, raw
from bot.conversation.wording import en
from knowledge.schema import Check

WRITTEN_OUT: Final = 30
"""Days ahead with which a day is written out whole ('Friday, Dec 4')."""
ROOM: Final = 260
"""Characters of a check's question up to which what a good part shows is said along with it."""


def put(turn: Turn, kind: QuestionKind, values: Sequence[str] = (), *, checks: tuple[str, ...] = (),
        asked: int = 1, **data: str) -> None:
    """Ask in the words that belong to the kind (`ask.<kind>`, the second time `ask.<kind>.again`)."""
    if kind == "check":
        ask_checks(turn, checks, asked=asked, **data)
        return
    key = _key(kind, asked, data.get("hazard", ""))
    turn.note(key, **{k: Text("price", {"band": v}) if k == "price" else v for k, v in data.items()})
    turn.ask(kind, [Choice(v, label(turn, kind, v)) for v in values], asked=asked, data=data)


def _key(kind: QuestionKind, asked: int, special: str) -> str:
    """The message key of a question: the second time another one, for some hazards one of their own."""
    wanted = (f"ask.{kind}.{special}", f"ask.{kind}.again" if asked > 1 else "", f"ask.{kind}")
    return next(key for key in wanted if key in en.TEXTS)


def put_again(turn: Turn, question: Question) -> None:
    """The question once more, worded differently, its choices shown."""
    put(turn, question.kind, question.values, checks=question.checks, asked=question.asked + 1, **question.data)


def label(turn: Turn, kind: QuestionKind, value: str) -> Text:
    """The label of a choice, from its value and the kind of question alone."""
    knowledge = turn.context.release.knowledge
    if kind == "family" and value in knowledge.packs:
        return raw(knowledge.packs[value].family.name.capitalize())
    if kind == "menu" and value.isdigit():
        return raw(turn.pack.family.menu[int(value)].label)
    if kind == "due" and value.startswith("date:"):
        return Text("day", {"day": value.removeprefix("date:"), "days": WRITTEN_OUT})
    if kind == "complaint" and turn.job.family and value in turn.pack.complaints:
        return raw(turn.pack.complaints[value].label)
    if kind == "variant" and value.startswith("variant:"):
        _, axis, name = value.split(":")
        return raw(capital(turn.pack.family.variants[axis].values[name].name))
    if kind == "which_check" and value.startswith("check:"):
        return raw(capital(turn.pack.checks[value.removeprefix("check:")].name))
    if kind in {"doubt_reading", "check"} and value.startswith("result:"):
        check, result = value.removeprefix("result:").split("/")
        return raw(turn.pack.checks[check].results[result].label)
    if kind == "doubt_reading" and value.startswith("value:"):
        _, number, quantity = value.split(":")
        return Text("reading", {"value": float(number), "quantity": quantity})
    return Text(f"choice.{value}")


def labels(turn: Turn, question: Question) -> dict[str, Text]:
    """Value -> label of every choice of an open question."""
    return {value: label(turn, question.kind, value) for value in question.values}


def ask_checks(turn: Turn, checks: tuple[str, ...], *, asked: int = 1, **data: str) -> None:
    """Ask for one check with its choices, or for up to three behind one open cover, answered together."""
    first = turn.pack.checks[checks[0]]
    bring_to(turn, first, [c for key in checks for c in turn.pack.checks[key].cautions])
    if len(checks) > 1:
        turn.note("check.while_in_there")
        for number, key in enumerate(checks, 1):
            check = turn.pack.checks[key]
            turn.note("check.numbered", number=number, ask=check.ask,
                      labels=" / ".join(result.label for result in check.results.values()))
        turn.ask("check", (), checks=checks, asked=asked, data=data)
        return
    turn.quote(first.again if asked > 1 and first.again else first.ask)
    tells_kind = all(result.identifies for result in first.results.values())
    if asked == 1 and first.good and first.kind not in {"ask", "run"} and not tells_kind and (
            len(first.ask) + len(first.good) < ROOM):
        turn.note("check.good", good=first.good)
    if first.reading is not None:
        turn.note("check.type_reading")
        law = first.reading.expect
        if law is not None and law.model == "heater" and all(f.subject != "watts" for f in turn.job.standing("given")):
            turn.note("check.stamp")
    turn.ask("check", check_choices(checks[0], first), checks=checks, asked=asked, data=data)


def check_choices(key: str, check: Check) -> list[Choice]:
    """The results of a check as choices, in the pack's order."""
    return [Choice(f"result:{key}/{result}", raw(entry.label)) for result, entry in check.results.items()]
