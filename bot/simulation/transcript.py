"""Written conversations: read, replayed through the whole core, checked word for word, recorded anew.

The format is documented in transcripts_synthetic/README.md. `python -m bot.simulation.transcript record FOLDER`
writes the bot's words anew and refuses where a statement of the front matter no longer holds.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import yaml
from pydantic import BaseModel, ConfigDict

from bot.conversation.effects import Say
from bot.conversation.events import PhotoSeen
from bot.conversation.firm import Firm, Person
from bot.conversation.release import Release
from bot.simulation.chat import Chat, Said

FIRM: Final = Firm(name="Hazel Lane Appliance Repair", emergency_number="112", gas_number="555-0142")
"""The invented firm of all examples; the numbers stand for nobody's."""
_TYPED: Final = re.compile(r"\*\*(?P<who>\w+):\*\* (?P<text>.*)")
_DOES: Final = re.compile(r"\*\*(?P<who>\w+)\*\* \*(?P<what>[^*]+)\*(?: (?P<text>.*))?")
_LATER: Final = re.compile(r"\*(?P<count>\d+) (?P<unit>minutes?|hours?|days?) later\*")
_MINUTES: Final = {"minute": 1, "hour": 60, "day": 1440}
CREW: Final = {
    "marta": Person("marta", "Marta", "senior", signoffs=frozenset({"live", "gas", "refrigerant", "lifting"})),
    "ines": Person("ines", "Ines", "owner")}
"""Who may be on duty beside Rui, the junior."""
_PHOTOS: Final = {
    "good": PhotoSeen("0" * 64, "image/jpeg", 200_000, 1600, 1200, 120.0, 300.0),
    "dark": PhotoSeen("1" * 64, "image/jpeg", 90_000, 1600, 1200, 12.0, 200.0),
    "blurred": PhotoSeen("2" * 64, "image/jpeg", 90_000, 1600, 1200, 120.0, 4.0),
    "small": PhotoSeen("3" * 64, "image/jpeg", 4_000, 160, 120, 120.0, 200.0),
    "broken": PhotoSeen(None, refused="broken"),
}


class Must(BaseModel):
    """What has to hold of a conversation, whatever the words."""

    model_config = ConfigDict(extra="forbid")

    finding: str | None = None
    """The last fault that was named."""
    outcome: str | None = None
    handed_off: str | None = None
    """Why a senior was asked for; absent: none was."""
    hazard: str | None = None
    complaints: list[str] = []
    """Complaints that stand at the end."""
    checks_at_most: int | None = None
    says: list[str] = []
    """Pieces of text that the bot must say somewhere."""
    never_says: list[str] = []
    jobs: int = 1


class Front(BaseModel):
    """The front matter."""

    model_config = ConfigDict(extra="forbid")

    title: str
    family: str | None
    variant: dict[str, str] = {}
    fault: str | None
    scenario: str
    signoffs: list[str] = []
    crew: list[str] = []
    """Who else is on duty: Marta, Ines."""
    covers: list[str] = []
    """What the conversation shows: intake, correction, hazard, ..."""
    must: Must


@dataclass(frozen=True, slots=True)
class Step:
    """One thing the tech does, as the line that stands in the file, and the bot's lines after it."""

    line: str
    reply: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Transcript:
    """A whole file."""

    front: Front
    head: str
    steps: tuple[Step, ...]


class BadTranscriptError(ValueError):
    """A file that does not follow the format, or a statement that does not hold."""


def read_transcript(text: str) -> Transcript:
    """Parse a file. Raises BadTranscriptError naming the line."""
    found = re.match(r"---\n(.*?\n)---\n", text, re.DOTALL)
    if not found:
        raise BadTranscriptError("begin with front matter between two lines of ---")
    front = Front.model_validate(yaml.safe_load(found[1]))
    steps: list[tuple[str, list[str]]] = []
    for number, line in enumerate(text[found.end():].splitlines(), found[0].count("\n") + 1):
        if line.startswith(">"):
            if not steps:
                raise BadTranscriptError(f"line {number}: the bot never speaks first")
            steps[-1][1].append(line)
        elif line.startswith("*"):
            steps.append((line, []))
        elif line.strip() and not line.startswith("#"):
            raise BadTranscriptError(
                f"line {number}: write '**Name:** text', '**Name** *does*', '> bot' or '*3 minutes later*'")
    return Transcript(front, found[0], tuple(Step(line, tuple(reply)) for line, reply in steps))


def replay(transcript: Transcript, release: Release) -> tuple[Chat, list[Step]]:
    """Run the tech's side through the core; the steps with what the bot says now."""
    front = transcript.front
    tech = Person("rui", "Rui", signoffs=frozenset(front.signoffs), phone="555-0101")  # type: ignore[arg-type]
    chat = Chat(release, tech, FIRM, crew=tuple(CREW[name.lower()] for name in front.crew))
    now: list[Step] = []
    for step in transcript.steps:
        if later := _LATER.fullmatch(step.line):
            said = chat.wait(int(later["count"]) * _MINUTES[later["unit"].rstrip("s")])
        else:
            _do(chat, step.line)
            said = chat.latest
        now.append(Step(step.line, lines_of(said, chat)))
    return chat, now


def _do(chat: Chat, line: str) -> None:
    if typed := _TYPED.fullmatch(line):
        chat.send(typed["text"], who=typed["who"].lower())
        return
    does = _DOES.fullmatch(line)
    if does is None:
        raise BadTranscriptError(f"cannot read this line: {line}")
    who, what, text = does["who"].lower(), does["what"].strip(), does["text"] or ""
    if pressed := re.fullmatch(r"presses (\d+)", what):
        chat.press(int(pressed[1]), who=who)
    elif what == "edits the last message:":
        chat.edit(text, who=who)
    elif what == "takes back the last message":
        chat.redact(who=who)
    elif photo := re.fullmatch(r"sends a (\w+) photo:?", what):
        chat.photo(_PHOTOS[photo[1]], caption=text, who=who)
    elif other := re.fullmatch(r"sends a (voice|video|file|place|contact|sticker)", what):
        chat.other(other[1], who=who)
    else:
        raise BadTranscriptError(f"cannot do this: {line}")


def lines_of(said: list[Said], chat: Chat) -> tuple[str, ...]:
    """The bot's messages as quoted lines; messages are parted by an empty quote, those to others say to whom."""
    lines: list[str] = []
    for number, message in enumerate(said):
        if number:
            lines.append(">")
        if message.to != chat.tech.id:
            lines.append(f"> *to {chat.people[message.to].name}*")
        lines.extend(f"> {line}" for p in message.paragraphs for line in p.splitlines())
        lines.extend(f">   {n}) {choice}" for n, choice in enumerate(message.choices, 1))
    return tuple(lines)


def written(transcript: Transcript, steps: list[Step]) -> str:
    """The file with these steps."""
    blocks = ["\n".join((step.line, "", *step.reply) if step.reply else (step.line,)) for step in steps]
    return transcript.head + "\n" + "\n\n".join(blocks) + "\n"


def broken_statements(transcript: Transcript, chat: Chat, steps: list[Step]) -> list[str]:
    """The statements of the front matter that do not hold, each with what is so instead."""
    must = transcript.front.must
    job = list(chat.jobs.values())[-1] if chat.jobs else None
    findings = [str(r.data["fault"]) for r in chat.records("finding")]
    hazards = [str(r.data["hazard"]) for r in chat.records("hazard")]
    offers = [o.reason for o in chat.offers()]
    text = "\n".join(line for step in steps for line in step.reply)
    checks = len(job.standing("result")) if job else 0
    wrong: list[tuple[bool, str]] = [
        (must.finding is not None and (not findings or findings[-1] != must.finding), f"finding: {findings}"),
        (must.finding is None and bool(findings), f"no finding was expected: {findings}"),
        (must.outcome != (str(job.outcome) if job and job.outcome else None), f"outcome: {job and job.outcome}"),
        (must.handed_off != (offers[-1] if offers else None), f"handed_off: {offers}"),
        (must.hazard != (hazards[0] if hazards else None), f"hazard: {hazards}"),
        (must.checks_at_most is not None and checks > must.checks_at_most, f"checks: {checks}"),
        (len(chat.jobs) != must.jobs, f"jobs: {len(chat.jobs)}"),
    ]
    standing = {f.subject for f in job.standing("complaint")} if job else set()
    wrong += [(c not in standing, f"complaint {c} does not stand: {sorted(standing)}") for c in must.complaints]
    wrong += [(piece not in text, f"never says: {piece}") for piece in must.says]
    wrong += [(piece in text, f"says: {piece}") for piece in must.never_says]
    wrong += [(True, problem) for problem in unsafe_order(chat)]
    return [what for broken, what in wrong if broken]


def unsafe_order(chat: Chat) -> list[str]:
    """Hands-on steps that were asked for before the machine was made dead, and live ones asked of the wrong person."""
    problems: list[str] = []
    dead = False
    for effect in chat.effects:
        if not isinstance(effect, Say):
            continue
        keys = [t.key for t in effect.texts]
        texts = [str(t.params.get("text", "")) for t in effect.texts]
        packs = chat.release.knowledge.packs
        dead |= "machine.dead_again" in keys or any(
            text.startswith(p.family.prove_dead.partition(". ")[0]) for p in packs.values() for text in texts)
        if any(t.key == "machine.open" and t.params.get("dead") for t in effect.texts) and not dead:
            problems.append(f"a cover is opened before the machine is dead: {texts}")
        if {"machine.close_up", "machine.power_on", "machine.live"} & set(keys):
            dead = False
        if "machine.live" in keys and "live" not in chat.tech.signoffs:
            problems.append("a live measurement is asked of a tech who is not signed off")
    return problems


def record(folder: Path, release: Release) -> list[str]:
    """Write the bot's words anew in every file of the folder. Returns the refusals; those files stay as they were."""
    refused: list[str] = []
    for file in sorted(folder.glob("*.md")):
        if file.name == "README.md":
            continue
        transcript = read_transcript(file.read_text(encoding="utf-8"))
        chat, steps = replay(transcript, release)
        broken = broken_statements(transcript, chat, steps)
        if broken:
            refused.extend(f"{file.name}: {what}" for what in broken)
            continue
        file.write_text(written(transcript, steps), encoding="utf-8")
    return refused


def main(arguments: list[str]) -> int:
    """`record FOLDER`: record anew; exit 1 if a statement no longer holds."""
    from bot.conversation.release import compile_release  # noqa: PLC0415
    from knowledge.loader import load  # noqa: PLC0415

    match arguments:
        case ["record", folder]:
            refused = record(Path(folder), compile_release("transcripts", load().knowledge))
            print("\n".join(refused) or "all recorded")
            return 1 if refused else 0
        case _:
            print("write: python -m bot.simulation.transcript record FOLDER", file=sys.stderr)
            return 2


def front_keys() -> dict[str, Any]:
    """The schema of the front matter, for the README's test."""
    return Front.model_json_schema()


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
