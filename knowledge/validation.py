"""Pydantic's errors in the words of a pack's author: file, line, what is wrong, what to write instead."""

from __future__ import annotations

from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from rapidfuzz.process import extractOne

from knowledge.source import Finding, Place, Tree


def findings_of(error: ValidationError, model: type[BaseModel], tree: Tree) -> list[Finding]:
    """One finding for each wrong place (a union reports each of its members: the first counts)."""
    found: dict[Place, Finding] = {}
    for item in error.errors(include_url=False):
        place = _place(item["loc"], tree)
        if place not in found:
            found[place] = Finding(tree.spot(place), _message(item, place, model))
    return list(found.values())


def _place(loc: tuple[int | str, ...], tree: Tree) -> Place:
    """The keys of `loc` that exist in the file, without pydantic's own marks for unions."""
    place: Place = ()
    for part in loc:
        if (*place, part) in tree.spots:
            place = (*place, part)
    return place


def _message(item: Any, place: Place, model: type[BaseModel]) -> str:
    kind, key, shown = item["type"], item["loc"][-1], item["input"]
    where = ".".join(str(part) for part in place)
    if kind == "missing":
        return f"{where or 'the pack'}: '{key}' is missing: add it"
    if kind == "extra_forbidden":
        allowed = _fields(model, item["loc"][:-1])
        return f"{where}: unknown key '{key}'{_nearest(str(key), allowed)}"
    if kind == "literal_error":
        expected = item["ctx"]["expected"].replace(" or ", ", ").replace("'", "")
        return f"{where}: '{shown}' is none of {expected}{_nearest(str(shown), expected.split(', '))}"
    if kind.endswith("_type") or kind.endswith("_parsing"):
        return f"{where}: {item['msg'].lower().replace('input should be', 'should be')}, found {shown!r}"
    return f"{where}: {item['msg'].removeprefix('Value error, ').replace('Input', 'it')} (found {shown!r})"


def _nearest(word: str, names: list[str]) -> str:
    near = extractOne(word, names)
    return f": nearest is '{near[0]}'" if near and near[1] > 50 else f": known are {', '.join(names)}"


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
