"""What helps a pack's author in an editor: the JSON Schema of a pack's file."""

from __future__ import annotations

from typing import Any

from knowledge.schema import Common, Pack


def file_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of one YAML file of a pack.

    A file holds any of the sections. An entry that takes over a template (`from`) may leave out what the template
    says, and null removes a key: so nothing is required here; `chargehand knowledge check` sees the whole.
    """
    schema: dict[str, Any] = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    pack, common = Pack.model_json_schema(), Common.model_json_schema()
    definitions = {**pack.pop("$defs", {}), **common.pop("$defs", {})}
    for name, definition in definitions.items():
        definition.pop("required", None)
        if name in {"Complaint", "Cover", "Fault", "Repair", "Check"}:
            source = {"type": "string", "description": "take over the keys of this template; own keys win"}
            definition["properties"] = {"from": source, **definition["properties"]}
        definition["properties"] = {key: _or_null(value) for key, value in definition["properties"].items()}
    retire = {"type": "object", "description": "section -> ids that this overlay takes out",
              "additionalProperties": {"type": "array", "items": {"type": "string"}}}
    templates = {"type": "object", "description": "entries that others take over with `from`"}
    sections = {**pack["properties"], **common["properties"], "templates": templates, "retire": retire}
    return {**schema, "title": "A file of a knowledge pack", "type": "object", "additionalProperties": False,
            "properties": sections, "$defs": definitions}


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    """The same, or null, and as few entries as you like; in what mappings hold as well."""
    schema = {key: value for key, value in schema.items() if key != "minProperties"}
    inner = schema.get("additionalProperties")
    if isinstance(inner, dict):
        schema = {**schema, "additionalProperties": _or_null(inner)}
    return {"anyOf": [schema, {"type": "null"}]}
