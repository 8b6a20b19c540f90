"""Words that steer the talk and work in every state: how, why, back, skip, where, sheet, senior, new, stop, jobs."""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import StrEnum
from typing import Final

from bot.conversation.effects import Text


class Steer(StrEnum):
    """What a steering word asks for."""

    HOW = "how"
    WHY = "why"
    BACK = "back"
    SKIP = "skip"
    WHERE = "where"
    SHEET = "sheet"
    SENIOR = "senior"
    NEW = "new"
    STOP = "stop"
    JOBS = "jobs"
    START = "start"
    HELP = "help"


# ruff: noqa: E501  one line a word keeps the table readable
_FORMS: Final[dict[Steer, str]] = {
    Steer.HOW: r"how|how to|how do i( do| check| test| measure)?( that| it| this)?|how\s?so|show me( how)?|steps|como( lo hago)?"
               r"|how (do|would) (i|you|u) (do|check|test|measure|get (at|to)) (that|it|this|them)|where (is|do i find) (it|that)"
               r"|whats? that|what|huh|what do you mean|more detail|explain( it| that)?|donde esta",
    Steer.WHY: r"why|why( is)? that( one)?|why the .{1,30}|how come|what for|por ?que|y eso|why do (you|u|i) .{1,40}",
    Steer.BACK: r"back|go back|undo|one back|wrong answer|take (that|it) back|atras|volver|regresar",
    Steer.SKIP: r"skip|skip (it|this|that)( one)?|pass|next|not now|saltar|paso|siguiente|rather not|dont want to|"
                r"(i )?(wont|cant|can not|cannot) do (that|it|this)( one)?|later",
    Steer.WHERE: r"where|i ?a?m back( now)?|back now|where (was i|were we|are we|am i)|status|what do (we|you) (have|know)( so far)?|recap|donde (estoy|vamos|quedamos)",
    Steer.SHEET: r"sheet|the sheet|plan|whats the plan|course|overview|hoja|no signal( down there)?",
    Steer.SENIOR: r"((i |we )?((want|need|d like) to )?(get|gimme|ask|call|ring|need|want|have|bring|send|give|put|talk|speak)( me| us)?( in| for| on| through to| to| with)? )?"
                  r"(a |my |the |another )?(senior|lead hand|boss|supervisor)( in| over| here)?( to help)?|any(one|body) senior( around| there| on)?|(get |ask |call |need )?(a |my |the )?lead|hand ?(it )?(off|over)|"
                  r"(let |have |maybe |better )?(my |the |a |our )?(boss|senior|lead hand) (should|can|could|needs? to|has to|must|to|decides?|"
                  r"look|take|come)\b[\w ]{0,24}|"
                  r"(i )?need (some )?help from (a |my |the )?(senior|lead|boss)|jefe|encargado|over my head|i give up|im lost|im stuck",
    Steer.NEW: r"new|new (job|one|machine|call|case)|next (job|call|machine)|another (job|machine|one)|nuevo|otro trabajo|otra maquina",
    Steer.STOP: r"stop|end|quit|close( it| the job)?|done here|leaving|abort|cancel|alto|parar|terminar|((sorry|look|man|out of time)[ ,.]+)?(i |ive |we )?(have to|need to|got to|gotta) (go|leave|head out|get going)( now)?",
    Steer.JOBS: r"jobs|my jobs|list|open jobs|trabajos|which jobs",
    Steer.START: r"/start(@\w+)?( .{0,80})?",
    Steer.HELP: r"/help(@\w+)?|(i )?(need )?(some )?help( me)?|ayuda|what can (you|u) do|commands|\?",
}
_ALL: Final = tuple((word, re.compile(rf"/?(?:{form})", re.IGNORECASE)) for word, form in _FORMS.items())
_EDGES: Final = re.compile(r"^[\s.,:;!?¿¡'\"-]+|[\s.,:;!?'\"-]+$")


_SKIP_FIRST: Final = re.compile(
    r"^\W*(?:ok |so )?(?:skip|pass)(?: (?:it|this|that)(?: one)?)?(?:\s*[,.;:-]+\s*|\s+(?=cause|because|cos|since|cant|can't|"
    r"no |i |dont|don't))(?P<rest>.+)$", re.IGNORECASE | re.DOTALL)


_REFUSES: Final = re.compile(
    r"^\W*(?:(?:no|nope|nah|sorry|ok|well|im|i'm|i am|i)\W+)*(?:not|aint|wont|won't|never) (?:(?:gonna|going to|about to) )?"
    r"(?:open|touch|pull|tak|unscrew|remov|lift|tip|tilt|disassembl|unbolt)(?:e|ing)? (?:that|this|it|them|anything|the (?!door|lid)\w+)"
    r"(?: (?:up|off|out|apart|panel|one|thing|here|today|for this|man|sorry))*\W*$", re.IGNORECASE)
"""Of what he will not do, and no finding: 'not opening that'."""


def skips_because(text: str) -> str | None:
    """What is said after a `skip`, if the message begins with one: 'skip, no heat gun' is the word and why. A refusal
    is one without a why."""
    if _REFUSES.match(text):
        return ""
    found = _SKIP_FIRST.match(text)
    return found["rest"] if found else None


_SENIOR: Final = r"(?:(?:a|my|the) )?(?:senior|supervisor|lead hand)"
_SENIOR_ASKED: Final = re.compile(
    rf"^\W*(?:(?:ok|so|no|please|i|id|we|can|could|just|then|now) )*(?:(?:get|ask|call|need|want|like|send|bring)(?: me| in| for)* )?"
    rf"{_SENIOR}(?: please| now| then| on this(?: one)?| for this(?: one)?)*\s*(?:[,.;:]|\s-+\s|(?=\b(?:because|cause|cos|since)\b))"
    rf"\s*(?P<why>\S.*)$|^(?P<first>.+?)[,.;]\s*(?:so |please |can you )?(?:(?:get|ask|call|need|want)(?: me)? )?{_SENIOR}"
    r"(?: please| now| then)*\W*$", re.IGNORECASE | re.DOTALL)


def senior_because(text: str) -> str | None:
    """What is said beside a `senior`: 'senior, i think it's the building's fan' is the word and why."""
    found = _SENIOR_ASKED.match(text)
    return (found["why"] or found["first"]) if found else None


def steering(text: str) -> Steer | None:
    """The steering word that the whole message is, if it is one. Only short messages can be."""
    if len(text) > 60:
        return None
    stripped = text.strip()
    if stripped in {"?", "??"}:
        return Steer.HELP
    bare = _EDGES.sub("", stripped.replace("’", "'")).replace("'", "")
    bare = re.sub(r"^(ok|so|and|but|wait|hey|um+|uh+)[ ,]+", "", bare, flags=re.IGNORECASE)
    return next((word for said in dict.fromkeys((bare, _POLITE_END.sub("", bare), _polite(bare)))
                 for word, form in _ALL if form.fullmatch(said)), None)


_POLITE_END: Final = re.compile(
    r"(?:[ ,]+(?:please|pls|plz|thanks|thank you|thx|ty|asap|quick|man|mate|bud|"
    r"(?<!^what )(?<!^why )(?<!^how )(?:now|then)))+$", re.IGNORECASE)
"""'What now' asks, 'senior now' is in a hurry."""
_POLITE_START: Final = re.compile(r"^(?:(?:please|pls|plz|just|so|(?:can|could|may) (?:i|you|u|we)|i think i?)[ ,]+)+", re.IGNORECASE)


def _polite(bare: str) -> str:
    """The words without their please: 'can you get me a senior pls' is 'get me a senior'."""
    return _POLITE_START.sub("", _POLITE_END.sub("", bare))


_CALLS: Final = re.compile(
    r"(?:(?:i|we|id|lets)\W+)?(?:get|call|ask|ring|need|want|bring(?: in)?|put|talk to|speak to|have|hand (?:it )?(?:over )?to)"
    r"(?: me)?(?: on| through to)? (?P<who>[^\W\d_][\w'-]*)(?: in| on this(?: one)?| to help)?", re.IGNORECASE)


def calls_for(text: str, names: Iterable[str]) -> bool:
    """Whether the whole message asks for one of these people by name: 'call marta pls'."""
    found = _CALLS.fullmatch(_polite(_EDGES.sub("", text.replace("’", "'")).replace("'", "")))
    return found is not None and found["who"].lower() in {part.lower() for name in names for part in (name, *name.split())}


def help_for(role: str) -> tuple[Text, ...]:
    """What `help` says to somebody of this role, a paragraph each."""
    more = {"senior": (Text("help.senior"),),
            "owner": (Text("help.senior"), Text("help.owner", {"how": Text("crew.people_how")}))}
    return (Text("help"), *more.get(role, ()), Text("help.duty"))
