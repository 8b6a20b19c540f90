"""What is said at the desk, while no job is open: to steering words, small talk, and orders without a case."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.context import Context
from bot.conversation.crew.case_orders import order_in
from bot.conversation.crew.words import nearly
from bot.conversation.effects import Text
from bot.conversation.events import Typed
from bot.conversation.steering.words import Steer, help_for
from bot.language.answers.measured import ELECTRICAL, quantity_of
from bot.language.meaning import Meaning
from bot.language.understand import understand

_MADE_SAFE: Final = re.compile(
    r"\W*(?:ok|done|yes|its|it is|the|i|we|ive|have|all|is|now)?\W*(?:the )?"
    r"(?:(?:gas|water|power|supply|main|mains|valves?|taps?|breaker|plug|cord|shut ?off)\s+)+"
    r"(?:(?:is|are|s|all|been|was|has|now)\s+)*(?:shut|closed|off|out|pulled|turned off|shut off|locked|tagged|"
    r"unplugged)"
    r"(?: (?:off|now|out|already|and (?:locked|tagged|safe|dead)))*\W*|\W*(?:unplugged|made safe|dead and tagged)\W*",
    re.IGNORECASE)
"""'Gas valve shut', and nothing else: what was done about some case, and no trouble that opens one."""


def steered(event: Typed, word: Steer, context: Context) -> tuple[Text, ...]:
    """What a steering word gets where there is nothing to steer."""
    if word is Steer.HELP:
        return help_for(_role(event, context))
    return (Text("desk.welcome" if word is Steer.START else "desk.no_jobs"),)


def short_word(event: Typed, context: Context) -> tuple[Text, ...]:
    """What is said to words that open no visit; nothing for those that may."""
    if not any(c.isalnum() for c in event.text):
        return (Text("desk.nothing_to_read"),)
    if _MADE_SAFE.fullmatch(event.text):
        return (Text("desk.made_safe"),)
    if _NUMBER.fullmatch(event.text):
        return (Text("desk.no_jobs"),)
    meaning = understand(context.release.index, event.text)
    if _orders_a_case(event, meaning, context):
        return (Text("desk.no_case"),)
    if not _says_nothing(meaning) or quantity_of(event.text) in ELECTRICAL:
        return ()
    if meaning.small_talk in _POLITE:
        return (Text(_POLITE[meaning.small_talk]),)
    small = "desk.small_owner" if _role(event, context) == "owner" else "desk.small"
    return (_for_the_crew(event, context) or Text(small),)


_POLITE: Final = {"greeting": "desk.greeting", "thanks": "desk.thanks"}
_NUMBER: Final = re.compile(r"\W*\d{1,2}\W*")
"""An answer, and nothing was asked here."""


def _orders_a_case(event: Typed, meaning: Meaning, context: Context) -> bool:
    """Whether a senior orders what only counts while they have a case. What names a machine or a trouble may be a visit
    of their own: 'found the belt off, toploader wont spin'."""
    order = order_in(event.text)
    if _role(event, context) == "junior" or order is None or meaning.hazard is not None:
        return False
    return order.kind not in {"ask", "found"} or (meaning.family is None and not meaning.complaints)


def _for_the_crew(event: Typed, context: Context) -> Text | None:
    """How to write what seems to be about the crew or about duty, and is not in a form that counts."""
    meant, me = nearly(event.text), context.people.get(event.person)
    if meant == "crew" and me is not None and me.role == "owner":
        return Text("crew.people_try", {"how": Text("crew.people_how")})
    return Text("duty.try") if meant == "duty" else None


def _says_nothing(meaning: Meaning) -> bool:
    return (meaning.small_talk is not None and meaning.hazard is None and meaning.handoff_only is None
            and not meaning.complaints)


def _role(event: Typed, context: Context) -> str:
    person = context.people.get(event.person)
    return person.role if person is not None else "junior"
