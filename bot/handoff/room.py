"""An offer as it stands in the seniors' room, where many read along: the case, without whose machine it is.

No address, no words of anybody's, no plate, no photo: what is said comes from the packs and from the crew list.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bot.conversation.context import Context
from bot.conversation.effects import Choice, Post, Text
from bot.conversation.ids import derive
from bot.conversation.job import Job, Offered
from bot.language.dangers.hazards import ORDER

OPEN_TO_ALL: Final = frozenset((
    *(f"brief.danger.{hazard}" for hazard in (*ORDER, "fire_out")),
    "brief.complaint", "brief.good", "brief.odd", "brief.repaired", "belief.lean", "belief.open"))


def posted(job: Job, opening: Sequence[Text], lines: Sequence[Text], choices: tuple[Choice, ...], context: Context
           ) -> tuple[Post, Offered]:
    """The post, and its place among those that the job was offered to (it is nobody's own)."""
    assert job.handoff is not None
    message = derive(job.handoff.offer, "post")
    question = derive(message, "question")
    head = Text("offer.in_room", {"name": context.people[job.tech].name, "machine": _machine(job, context)})
    told = tuple(line for line in lines if line.key in OPEN_TO_ALL)
    return (Post(id=message, job=job.id, texts=(*opening, head, *told), question=question, choices=choices),
            Offered("", message, question))


def _machine(job: Job, context: Context) -> str | Text:
    pack = context.release.knowledge.packs.get(job.family or "")
    if pack is not None:
        return pack.family.name
    return next((f.value for f in job.standing("appliance")), Text("job.unnamed"))
