"""Pydantic's errors in the words of a pack's author: file, line, what is wrong, what to write instead."""

from __future__ import annotations

from typing import Any, Final, get_args

from pydantic import BaseModel, ValidationError

from knowledge.source import Finding, Place, Tree, nearest

_WRITE: Final = {
    "model_type": "write its keys under it, one a line",
    "dict_type": "write `key: value` under it, one a line",
    "tuple_type": "write a list: [one, two]",
    "string_type": "write text; in quotes if it looks like a number",
    "float_type": "write a number",
    "float_parsing": "write a number",
    "bool_type": "write true or false",
    "bool_parsing": "write true or false",
}
LACKS: Final = "is missing: add it"
"""How the message of a missing key ends."""


def findings_of(error: ValidationError, model: type[BaseModel], tree: Tree) -> list[Finding]:
    """One finding for each wrong place and each missing key.

    A union reports every member: of errors at one place the first counts, and "should be text" counts only where
    nothing was found wrong inside.
    """
    items = error.errors(include_url=False)
    placed = [(_place(item["loc"], tree), item) for item in items]
    found: dict[tuple[Place, object], Finding] = {}
    for place, item in placed:
        if item["type"] == "string_type" and isinstance(item["input"], dict) and any(
                other is not item and p[:len(place)] == place for p, other in placed):
            continue
        key = (place, item["loc"][-1] if item["type"] == "missing" else None)
        if key not in found:
            found[key] = Finding(tree.spot(place), _message(item, place, model))
    return list(found.values())


def _place(loc: tuple[int | str, ...], tree: Tree) -> Place:
    """The keys of `loc` that exist in the file, without pydantic's own marks for unions."""
    place: Place = ()
    for part in loc:
        if (*place, part) in tree.spots:
            place = (*place, part)
    return place


def _message(item: Any, place: Place, model: type[BaseModel]) -> str:
    kind, loc, given = item["type"], item["loc"] or ("pack",), item["input"]
    where = ".".join(map(str, place)) or "the pack"
    if kind == "missing":
        return f"{where}: '{loc[-1]}' {LACKS}"
    if kind == "extra_forbidden":
        allowed = _fields(model, loc[:-1])
        return f"{where}: unknown key '{loc[-1]}'{nearest(str(loc[-1]), allowed, _known(allowed))}"
    if kind == "literal_error":
        expected = item["ctx"]["expected"].replace(" or ", ", ").replace("'", "")
        shown = _short(given)
        return f"{where}: {shown} is none of {expected}{nearest(str(given), expected.split(', '))}"
    if kind in _WRITE:
        return f"{where}: {_WRITE[kind]} (found {_short(given)})"
    said = item["msg"].removeprefix("Value error, ")
    for theirs, ours in (("Input should", "should"), ("String should", "should"), ("Tuple should", "the list should")):
        said = said.replace(theirs, ours)
    return f"{where}: {said} (found {_short(given)})"


def _short(value: object) -> str:
    if value is None:
        return "nothing"
    text = repr(value)
    return text if len(text) <= 50 else text[:47] + "..."


def _known(names: list[str]) -> str:
    return f": known are {', '.join(names)}" if names else ""


def _fields(model: type[BaseModel], loc: tuple[int | str, ...]) -> list[str]:
    models = [model]
    for part in loc:
        inner = [m for candidate in models if (field := candidate.model_fields.get(str(part)))
                 for m in _models_in(field.annotation)]
        models = inner or models
    return sorted({field.alias or name for m in models for name, field in m.model_fields.items()})


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for inner in get_args(annotation) for model in _models_in(inner)]
