"""A visit as a written conversation, in the format of transcripts_synthetic/README.md.

The people stand in by the names of the examples: the tech is Rui, whoever took it over is Marta, others Ines, so that
the conversation can be replayed. The machine's true fault is the one that was proved or that a senior named.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

import yaml

from bot.conversation.firm import Person
from bot.conversation.markup import plain
from bot.review.naming import Names
from bot.store.review import ReviewStore
from bot.store.review_rows import Line, Listed

PAUSE: Final = 5
"""Minutes from which a pause is written down."""
_NAMES: Final = ("Rui", "Marta", "Ines")


class Cast:
    """Who stands in for whom in one visit."""

    def __init__(self, visit: Listed, people: Mapping[str, Person]) -> None:
        self._tech = visit.tech
        self._senior = visit.taken_by or next((p.id for p in people.values() if p.role == "senior"), None)

    def name(self, person: str) -> str:
        """'Rui' for the tech, 'Marta' for the senior who had it, 'Ines' for others."""
        return _NAMES[0] if person == self._tech else _NAMES[1] if person == self._senior else _NAMES[2]


def written(store: ReviewStore, visit: Listed, names: Names, people: Mapping[str, Person],
            redact: Callable[[str], str]) -> str:
    """The whole file."""
    cast = Cast(visit, people)
    lines = store.lines(visit.job)
    blocks: list[str] = []
    replies: list[str] = []
    last = None
    questions: dict[str | None, Line] = {line.question: line for line in lines if line.question}
    for line in lines:
        if line.kind == "out":
            if replies:
                replies.append(">")
            replies.extend(_said(line, visit, cast, redact))
            continue
        _close(blocks, replies)
        if last is not None and (pause := round((line.at - last.at).total_seconds() / 60)) >= PAUSE:
            blocks.append(f"*{pause} minutes later*")
        blocks.extend(_done(line, cast, redact, questions))
        last = line
    _close(blocks, replies)
    head = yaml.safe_dump(_front(store, visit, names, cast, lines, people), sort_keys=False, allow_unicode=True)
    return f"---\n{head}---\n\n" + "\n\n".join(blocks) + "\n"


def _close(blocks: list[str], replies: list[str]) -> None:
    if replies:
        blocks.append("\n".join(replies))
        replies.clear()


def _said(line: Line, visit: Listed, cast: Cast, redact: Callable[[str], str]) -> list[str]:
    found = [f"> *to {cast.name(line.person)}*"] if line.person != visit.tech else []
    found += [f"> {redact(part)}" for text in line.paragraphs for part in plain(text).splitlines()]
    return found + [f">   {n}) {redact(plain(choice))}" for n, choice in enumerate(line.choices, 1)]


def _done(line: Line, cast: Cast, redact: Callable[[str], str], questions: Mapping[str | None, Line]) -> list[str]:
    who = cast.name(line.person)
    if line.kind == "press":
        return [f"**{who}** *presses {line.text}*"]
    text = redact(" ".join((line.first if line.first is not None else line.text).split()))
    if line.photos:
        found = [f"**{who}** *sends a good photo:* {text}".rstrip() if text else f"**{who}** *sends a good photo*"]
    elif line.what and line.what != "unreadable":
        found = [f"**{who}** *sends a {line.what}*"]
    else:
        found = [f"**{who}:** {text or '…'}"]
    if line.taken_back:
        found.append(f"**{who}** *takes back the last message*")
    elif line.first is not None:
        found.append(f"**{who}** *edits the last message:* {redact(' '.join(line.text.split()))}")
    return found


def _front(store: ReviewStore, visit: Listed, names: Names, cast: Cast, lines: tuple[Line, ...],
           people: Mapping[str, Person]) -> dict[str, Any]:
    stored = store.job(visit.job)
    job = stored.job if stored is not None else None
    remarks = store.remarks(visit.job)
    findings = [r.data.get("fault") for r in remarks if r.what == "finding"]
    hazards = [r.data.get("hazard") for r in remarks if r.what == "hazard"]
    complaints = [f.subject for f in job.standing("complaint")] if job is not None else []
    signoffs = sorted(people[visit.tech].signoffs) if visit.tech in people else []
    others = sorted({cast.name(line.person) for line in lines} - {_NAMES[0]})
    must: dict[str, Any] = {"finding": findings[-1] if findings else None, "outcome": visit.outcome,
                            "handed_off": visit.offered, "hazard": hazards[0] if hazards else None,
                            "complaints": complaints}
    first = names.complaint(visit.family, complaints[0]) if complaints else "a visit"
    title = re.sub(r"\s+", " ", f"{names.family(visit.family)}, {first}")
    return {"title": title[:1].upper() + title[1:], "family": visit.family,
            "variant": {f.subject: f.value for f in job.standing("variant")} if job is not None else {},
            "fault": visit.proved or visit.verdict,
            "scenario": "From a firm's log; the names are stand-ins.", "signoffs": list(signoffs), "crew": others,
            "covers": [], "must": {key: value for key, value in must.items() if value}}
