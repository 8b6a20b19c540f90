"""Templates: everything is escaped, and what people typed stands apart so that it cannot turn the text around it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from adapters.pages import drawing
from bot.conversation.markup import Paragraph
from bot.review import naming
from bot.review.access import Visitor

FOLDER: Final = Path(__file__).parent
LONG: Final = 700
"""Letters of a message that are shown at once; the rest is a touch away."""
_CONTROL: Final = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ue000\ue001]")
_BIDI: Final = re.compile(r"[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
NOTICES: Final = {
    "marked": "The mark is kept.", "unmarked": "The mark is taken off.", "noted": "The note is kept.",
    "note_gone": "The note is gone.",
    "wording": "The wording is kept. New visits understand it from the next start on.",
    "undone": "The wording is taken back.", "retired": "The note is no longer shown.",
    "erased": "It is removed, and nothing of it is left in the files.",
    "erased_mostly": "It is removed. Another program kept the database's log open: run `chargehand erase --scour` "
                     "once nothing else runs.", "kept_months": "The time to keep is set.",
    "learned": "It is in force: new visits begin on it.",
    "unlearned": "It is undone: new visits begin on what was in force before."}


class Templates:
    """The pages' templates, with their filters."""

    def __init__(self, firm: str, zone: ZoneInfo) -> None:
        self._env = Environment(loader=FileSystemLoader(FOLDER / "templates"), autoescape=True,
                                undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
        self._env.globals.update(firm=firm, query=_query, drawing=drawing, naming=naming, zone=zone.key)
        filters: dict[str, Callable[..., Any]] = {
            "typed": typed, "typed_long": typed_long, "inert": inert, "hit": hit, "spans": spans,
            "day": lambda at: f"{at.astimezone(zone):%-d %b %Y}", "clock": lambda at: f"{at.astimezone(zone):%H:%M}",
            "when": lambda at: f"{at.astimezone(zone):%-d %b %Y, %H:%M}", "iso": datetime.isoformat,
            "percent": lambda p: "–" if p is None else f"{100 * p:.0f} %"}
        self._env.filters.update(filters)

    def render(self, template: str, values: Mapping[str, Any], visitor: Visitor | None, token: str,
               notice: str | None) -> str:
        """The page as text."""
        return self._env.get_template(template).render(
            **values, visitor=visitor, token=token, notice=NOTICES.get(notice or ""))


def clean(text: str) -> str:
    """The text without control characters (line ends and tabs stay)."""
    return _CONTROL.sub("\N{REPLACEMENT CHARACTER}", text.replace("\r\n", "\n").replace("\r", "\n"))


def inert(text: str) -> str:
    """For places that hold plain text only (a title, an option): no control characters, nothing that turns text."""
    return _BIDI.sub("", _CONTROL.sub(" ", text))


def typed(text: str) -> Markup:
    """What somebody typed: escaped, and kept to itself whatever its direction."""
    return Markup('<bdi class="typed" dir="auto">{}</bdi>').format(clean(text))


def typed_long(text: str) -> Markup:
    """The same; of a very long text the beginning, and the whole in a fold."""
    if len(text) <= LONG:
        return typed(text)
    return Markup('{} …<details class="long"><summary>All {} letters</summary>{}</details>').format(
        typed(text[:LONG // 2]), len(text), typed(text))


def hit(snippet: str) -> Markup:
    """A search's snippet with its hits marked."""
    parts = snippet.split("\ue000")
    found = [escape(clean(parts[0]))]
    for part in parts[1:]:
        inside, _, after = part.partition("\ue001")
        found.append(Markup("<mark>{}</mark>{}").format(clean(inside), clean(after)))
    return Markup('<bdi class="typed" dir="auto">{}</bdi>').format(Markup("").join(found))


def spans(paragraph: Paragraph) -> Markup:
    """A paragraph of neutral markup."""
    forms = {"plain": Markup("{}"), "bold": Markup("<strong>{}</strong>"), "typed": Markup("<kbd>{}</kbd>")}
    return Markup('<bdi dir="auto">{}</bdi>').format(
        Markup("").join(forms[span.style].format(clean(span.text)) for span in paragraph))


def _query(base: Mapping[str, str], **changes: str | int | None) -> str:
    """A query string: `base` with changes; None and empty values are left out."""
    values = {**base, **changes}
    kept = {key: value for key, value in values.items() if value not in (None, "")}
    return f"?{urlencode(kept)}" if kept else "?"
