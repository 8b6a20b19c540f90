"""The `understand` and `read` contracts as JSON objects, and understanding in words for a person."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, get_args

from bot.language.answers.bands import heater_range, plausible_range
from bot.language.answers.found_first import with_found_first
from bot.language.index import Index
from bot.language.meaning import Asked, Heard, Meaning
from bot.language.readings.read import Range, read
from bot.language.understand import understand

_ASKED: Final = get_args(Asked)


def understand_json(index: Index, obj: Mapping[str, Any]) -> dict[str, Any]:
    """One line of `understand --jsonl`. Raises ValueError with what to write instead."""
    text = _text(obj)
    family = obj.get("family")
    if family is not None and family not in index.tables:
        raise ValueError(f"family: '{family}' is none of {', '.join(index.tables)} (or null)")
    checks = obj.get("checks", ())
    if not isinstance(checks, (list, tuple)) or not all(isinstance(c, str) for c in checks):
        raise ValueError("checks: must be a list of check ids")
    meaning = understand(index, text, family, checks)
    return as_json(meaning if checks else with_found_first(index, text, meaning))


def as_json(meaning: Meaning) -> dict[str, Any]:
    """A meaning under the names of the contract."""
    return {
        "family": meaning.family, "family_p": round(meaning.family_p, 4),
        "complaints": [{"id": g.id, "p": round(g.p, 4)} for g in meaning.complaints],
        "denied": list(meaning.denied), "variant": dict(meaning.variant),
        "results": [{"check": r.check, "result": r.result, "p": round(r.p, 4)} for r in meaning.results],
        "confident": meaning.confident, "handoff_only": meaning.handoff_only, "hazard": meaning.hazard,
        "candidates": [{"id": g.id, "p": round(g.p, 4)} for g in meaning.candidates],
        "small_talk": meaning.small_talk}


def read_json(obj: Mapping[str, Any], index: Index | None = None) -> dict[str, Any]:
    """One line of `read --jsonl`. Raises ValueError with what to write instead.

    `check` narrows what is plausible where the index knows it: a check's own range, and for a heater the value
    that follows from its watts and volts (`given`).
    """
    text = _text(obj)
    asked: Any = obj.get("asked")
    if asked not in _ASKED:
        raise ValueError(f"asked: '{asked}' is none of {', '.join(_ASKED)}")
    given = obj.get("given") or {}
    if not isinstance(given, Mapping):
        raise ValueError("given: must be an object such as {\"watts\": 5400, \"volts\": 240}")
    check = obj.get("check")
    rated = heater_range(check if isinstance(check, str) else None, _numbers(given)) if asked == "ohm" else None
    return heard_json(read(asked, text, rated or _plausible(index, check)))


def heard_json(heard: Heard) -> dict[str, Any]:
    """A reading under the names of the contract."""
    return {"value": heard.value, "low": heard.low, "high": heard.high, "special": heard.special,
            "unit_mismatch": heard.unit_mismatch, "unit": heard.unit,
            "multiple": list(heard.multiple) if heard.multiple else None, "plausible": heard.plausible}


def _text(obj: Mapping[str, Any]) -> str:
    if not isinstance(obj, Mapping):
        raise ValueError("each line must be a JSON object with a \"text\"")
    text = obj.get("text")
    if not isinstance(text, str):
        raise ValueError("text: must be there, and a string")
    return text


def _numbers(given: Mapping[str, Any]) -> dict[str, float]:
    for name in ("watts", "volts"):
        value = given.get(name)
        if value is not None and (isinstance(value, bool) or not isinstance(value, (int, float)) or value <= 0):
            raise ValueError(f"given: {name} must be a number above 0")
    return {name: float(value) for name, value in given.items()
            if isinstance(value, (int, float)) and not isinstance(value, bool)}


def _plausible(index: Index | None, check: object) -> Range | None:
    if index is None or not isinstance(check, str):
        return None
    for pack in index.knowledge.packs.values():
        entry = pack.checks.get(check)
        if entry is not None and entry.reading is not None:
            return plausible_range(entry.reading)
    return None


def explain_text(meaning: Meaning, text: str) -> str:
    """Which words led to which meaning, a line each, for a person."""
    lines = [f"family    {meaning.family or 'not told'} ({meaning.family_p:.0%})"]
    lines += [f"complaint {g.id} ({g.p:.0%}){_words(meaning, text, 'complaint:' + g.id)}" for g in meaning.complaints]
    lines += [f"denied    {d}{_words(meaning, text, 'denied:' + d)}" for d in meaning.denied]
    lines += [f"variant   {a}: {v}{_words(meaning, text, f'variant:{a}={v}')}" for a, v in meaning.variant.items()]
    lines += [f"result    {r.check}: {r.result} ({r.p:.0%}){_words(meaning, text, f'result:{r.check}={r.result}')}"
              for r in meaning.results]
    if meaning.handoff_only:
        lines.append(f"handed on {meaning.handoff_only}{_words(meaning, text, 'handoff:' + meaning.handoff_only)}")
    if meaning.hazard:
        lines.append(f"hazard    {meaning.hazard}{_words(meaning, text, 'hazard:' + meaning.hazard)}")
    if meaning.small_talk:
        lines.append(f"small talk ({meaning.small_talk}): nothing of the trade in it")
    if not meaning.confident:
        offered = ", ".join(f"{g.id} ({g.p:.0%})" for g in meaning.candidates)
        lines.append(f"not sure: would ask which is meant: {offered}" if offered
                     else "not sure: would say that it does not follow")
    return "\n".join(lines)


def _words(meaning: Meaning, text: str, what: str) -> str:
    said = [text[c.start:c.end] for c in meaning.clues if c.meaning == what]
    return f'  <- "{said[0]}"' if said else ""
