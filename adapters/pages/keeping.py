"""Export, retention, and erasing a customer."""

from __future__ import annotations

import tempfile
import zipfile
from collections.abc import Iterator
from typing import IO, Any

from adapters.pages.filters import chosen, kept
from adapters.pages.web import Answer, Asked, Download, Gone, Page, Redirect
from bot.conversation.effects import Audit
from bot.review import erasure, export
from bot.store.errors import RefusedError

FOUND = 30
COUNTED = 10_000
CHUNK = 1 << 16


def show(asked: Asked) -> Answer:
    """What can be exported, how long visits are kept, and the customers that were looked for."""
    return Page("keeping.html", _values(asked))


def _values(asked: Asked) -> dict[str, Any]:
    store = asked.house.store
    words = asked.query.get("customer", "").strip()
    return {"filters": kept(asked.query), "count": store.count(chosen(asked), COUNTED), "most": COUNTED,
            "months": erasure.keep_months(store), "words": words, "problem": "",
            "customers": store.customers(words[:200], FOUND) if words else ()}


def download(asked: Asked) -> Answer:
    """The visits that the filter means, as a file."""
    house, form = asked.house, asked.form
    redacted = form.get("names") != "1"
    what = form.get("format", "")
    filters = chosen(Asked(house, asked.visitor, form, {}, {}))
    house.store.note_act(Audit(what="exported", data={"format": what, "redacted": redacted}), asked.visitor.person,
                         house.clock())
    name = f"visits-{house.clock():%Y-%m-%d}"
    match what:
        case "csv":
            return Download(f"{name}.csv", "text/csv; charset=utf-8",
                            export.as_csv(house.store, filters, house.today(), redacted=redacted))
        case "jsonl":
            return Download(f"{name}.jsonl", "application/x-ndjson",
                            export.as_json_lines(house.store, filters, redacted=redacted))
        case "transcripts":
            files = export.as_transcripts(house.store, filters, house.of_release, redacted=redacted)
            return Download(f"{name}.zip", "application/zip", _zipped(files))
        case _:
            raise Gone


def _zipped(files: Iterator[tuple[str, str]]) -> Iterator[bytes]:
    """The files as one archive, made beside memory."""
    with tempfile.TemporaryFile() as whole:
        _pack(whole, files)
        whole.seek(0)
        while chunk := whole.read(CHUNK):
            yield chunk


def _pack(whole: IO[bytes], files: Iterator[tuple[str, str]]) -> None:
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files:
            archive.writestr(name, text)


def months(asked: Asked) -> Answer:
    """How long visits are kept."""
    value = asked.form.get("months", "").strip()
    if not (value.isascii() and value.isdecimal() and len(value) <= 3):
        problem = "Write a number of months from 0 to 999, such as 24. 0 keeps visits for good. Nothing was changed."
        return Page("keeping.html", {**_values(asked), "months": value[:20], "problem": problem})
    erasure.set_keep_months(asked.house.store, int(value), asked.visitor.person, asked.house.clock())
    return Redirect("/keeping", "kept_months")


def customer(asked: Asked) -> Answer:
    """What would be removed of a customer, and the button."""
    found = asked.house.store.customer(asked.path["site"])
    if found is None:
        raise Gone
    return Page("customer.html", {"customer": found})


def erase(asked: Asked) -> Answer:
    """Remove the customer."""
    if asked.form.get("sure") != "yes":
        raise RefusedError("tick the box first")
    house = asked.house
    removal = erasure.erase_customer(house.store, asked.path["site"], asked.visitor.person, house.clock())
    house.vocabulary.forget()
    return Redirect("/keeping", "erased" if removal.clean else "erased_mostly")
