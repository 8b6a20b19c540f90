"""One visit: the talk, its trace, marks and notes; and the photos in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from adapters.pages.web import Answer, Asked, Download, Gone, Page, Redirect
from bot.review.talk import talk
from bot.store.review_rows import Mark

LONGEST_NOTE = 2000
CHUNK = 1 << 16


def visit(asked: Asked) -> Answer:
    """The page of a visit."""
    job = _own(asked)
    listed = asked.house.store.listed(job)
    if listed is None:
        raise Gone
    names = asked.house.of_release(listed.release)
    found = talk(asked.house.store, job, names, asked.house.firm)
    if found is None:
        raise Gone
    marked = {(mark.message, mark.mark) for mark in found.marks}
    return Page("visit.html", {"talk": found, "visit": found.visit, "names": names, "marked": marked,
                               "people": asked.house.store.names()})


def mark(asked: Asked) -> Answer:
    """Set a mark on a visit or one of its messages, or take it off."""
    job, message, kind = _own(asked), asked.form.get("message", ""), asked.form.get("mark", "")
    if kind not in {"good", "wrong", "training"}:
        raise Gone
    off = asked.form.get("off") == "1"
    new = Mark(job, _message(asked, job, message), kind, asked.visitor.person)  # type: ignore[arg-type]
    asked.house.store.set_mark(new, asked.house.clock(), off=off)
    return Redirect(f"/visits/{job}{f'#m-{message}' if message else ''}", "unmarked" if off else "marked")


def note(asked: Asked) -> Answer:
    """Keep a note, or forget one."""
    job = _own(asked)
    if forget := asked.form.get("forget"):
        asked.house.store.drop_note(forget, job)
        return Redirect(f"/visits/{job}#notes", "note_gone")
    text = asked.form.get("note", "").strip()[:LONGEST_NOTE]
    if text:
        message = _message(asked, job, asked.form.get("message", "")) or None
        asked.house.store.add_note(job, message, text, asked.visitor.person, asked.house.clock())
    return Redirect(f"/visits/{job}#notes", "noted" if text else None)


def photo(asked: Asked) -> Answer:
    """A photo that some message of this visitor's visits uses."""
    sha256 = asked.path["sha256"]
    seen = asked.house.store.photo(sha256, asked.visitor.seen_by)
    file = asked.house.store.photo_file(sha256)
    if seen is None or not file.is_file():
        raise Gone
    return Download(f"{sha256[:12]}.{seen.mime.partition('/')[2]}", seen.mime, _chunks(file), inline=True)


def _own(asked: Asked) -> str:
    """The visit's id, if this visitor may see it."""
    job = asked.path["job"]
    if asked.visitor.seen_by is not None and not asked.house.store.may_see(asked.visitor.seen_by, job):
        raise Gone
    return job


def _message(asked: Asked, job: str, message: str) -> str:
    if message and all(line.id != message for line in asked.house.store.lines(job)):
        raise Gone
    return message


def _chunks(file: Path) -> Iterator[bytes]:
    with file.open("rb") as handle:
        while chunk := handle.read(CHUNK):
            yield chunk
