"""Questions back: 'where is that fuse', 'but why did it burn out', 'can i check the door switch first', 'how much'.

Answered shortly, of what the pack knows; then the open question is put again. What cannot be answered stays in the line
and is heard with it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from bot.conversation.advance import ask_for, leading
from bot.conversation.echo import echo
from bot.conversation.effects import Text
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.job import Phase
from bot.conversation.questions.asking import put_again
from bot.conversation.repair.finding import ask_consent
from bot.conversation.safety.alarming import take_alarming, wires_first
from bot.conversation.steering import explaining
from bot.conversation.turn import Turn, capital
from bot.conversation.wording.asks import STEPS, Asks, apart
from bot.diagnosis.advice import check_that_shows
from bot.diagnosis.belief import believe, posterior
from bot.diagnosis.setting import setting_of
from bot.diagnosis.stated import stated
from bot.language.answers.about import stems
from bot.language.words.text import word_set
from knowledge.likelihood import distribution

_MEANING: Final = re.compile(
    r"\bwhat do (you|u|ya) mean\b|\bwhat does .{1,30} mean\b|\bque quieres decir\b", re.IGNORECASE)
_BACK: Final = re.compile(
    rf"^\W*(where|what|which|how|hows|whats|wheres|donde|que|como|cual|cuanto)\b|{_MEANING.pattern}|\?\W*$",
    re.IGNORECASE)
_OF_PRICE: Final = re.compile(r"\b(how much|price|cost|costs|cuanto)\b", re.IGNORECASE)
_FEED: Final = re.compile(r"\b(power|feed|supply|240|220|208|120|115|volts?|voltage|juice)\b", re.IGNORECASE)
_FEEDS: Final = ("supply.", "power_cord.")
ANSWERED: Final = frozenset({"check", "variant", "finding", "consent", "repair", "proof", "waiting", "thinking"})
"""Kinds of the open question at which others are answered."""
_ASKING: Final = word_set(
    "do does get got find go reach come comes can could should would will need we i you u it this that one ones thing "
    "machine washer dryer dishwasher range oven stove fridge here exactly located sit sits use work just maybe first "
    "not nt shouldnt cant check test measure meter look see run really even actually abouts the hell main be been tho "
    "though then instead maybe possibly prob probably perhaps also still sure certain positive bad gone dead shot "
    "might must fried toast cooked too problem cause trouble culprit causing doing acting up "
    "what how about isnt aint couldnt isn rather after all anyhow whole time")


@dataclass(frozen=True, slots=True)
class Put:
    """What a line asks that can be answered here, and what it tells besides."""

    asks: tuple[Asks, ...]
    told: str


def questions_in(turn: Turn, text: str) -> Put | None:
    """The questions of a line that can be answered while something is asked of the tech; None where it has none."""
    question = turn.job.question
    if question is None or question.kind not in ANSWERED:
        return None
    if turn.job.family not in turn.context.release.knowledge.packs:
        return None
    asks, told = apart(text)
    if len(asks) > 1:  # 'how sure, could it be the element': what stands out says it too
        asks = [one for one in asks if one.wants != "chance" or _faults(turn, one.about)]
    answers = {"look": _proposed, "chance": _faults}
    if any(one.wants in answers and not answers[one.wants](turn, one.about) for one in asks):
        return None
    return Put(tuple(asks), told) if asks else None


def answer_asked(turn: Turn, put: Put) -> None:
    """Say what was asked, as paragraphs before what comes next. What a 'why' takes for granted may be alarming."""
    for one in put.asks:
        if one.wants in STEPS:
            explaining.say_steps(turn, _topic(one.about), where=one.wants == "where")
        elif one.wants == "chance":
            _say_chance(turn, one.about)
        elif one.wants != "look":
            take_alarming(turn, one.about)
            explaining.say_why(turn, one.about)


def look_after_all(turn: Turn, put: Put) -> bool:
    """'Can I check the door switch first': that comes next, unless what was told besides leads elsewhere. True if it
    does."""
    about = next((one.about for one in put.asks if one.wants == "look"), None)
    question = turn.job.question
    if about is None or turn.job.phase is not Phase.CHECKS or wires_first(turn) is not None or not (
            turn.go_on or (question is not None and question.kind == "check")):
        return False
    check = _proposed(turn, about)
    if check is None:
        return False
    said = echo(turn) if turn.go_on else None
    turn.go_on = False
    if said is not None:
        turn.texts.insert(0, said)
    if question is not None and check in question.checks:
        turn.note("asked.this")
        put_again(turn, question)
        return True
    turn.mark()
    turn.close_question(closed="passed")
    turn.note("asked.look")
    ask_for(turn, check)
    return True


def asks_meaning(text: str) -> bool:
    """Whether words ask what was meant: they answer nothing, whatever of the question they repeat."""
    return _MEANING.search(text) is not None


def asked_back(turn: Turn, text: str) -> bool:
    """A question that none of the forms is: the price once more, or how it is done. True if that was said."""
    return _BACK.search(text) is not None and says_what_it_can(turn, text)


def says_what_it_can(turn: Turn, text: str) -> bool:
    """The nearest that can be said to a question: the price once more, or how it is done. True if that was said."""
    question = turn.job.question
    if question is None:
        return False
    if question.kind == "consent" and _OF_PRICE.search(text):
        ask_consent(turn, to_order=bool(question.data.get("to_order")))
    elif any(one.wants == "chance" for one in apart(text)[0]):
        turn.place(misses=0)
        turn.note("asked.nothing_there")
        turn.note("why.now", leading=leading(turn, believe(turn.model, evidence_of(turn.job))))
        put_again(turn, question)
    elif question.kind == "check" or turn.job.position.fault is not None:
        explaining.say_steps(turn, frozenset(), where=False)
        put_again(turn, question)
    else:
        return False
    return True


def _topic(about: str) -> frozenset[str]:
    """The telling words of a question."""
    return stems(about) - stems(" ".join(_ASKING)) - _ASKING


def _proposed(turn: Turn, about: str) -> str | None:
    """The check that a tech would make, of those that may be made now: by its own name, else by the part it shows."""
    topic = _topic(about)
    evidence, situation = evidence_of(turn.job), situation_of(turn.job, turn.context)
    allowed = setting_of(turn.model, posterior(turn.model, evidence), evidence, situation).checks
    named = [key for key in allowed
             if topic and topic <= stems(f"{key.replace('_', ' ')} {turn.pack.checks[key].name}")]
    if named:
        return min(named, key=lambda key: turn.pack.checks[key].minutes)
    shown = (check_that_shows(turn.model, evidence, situation, fault) for fault in _faults(turn, about))
    return next((key for key in shown if key is not None), None)


def _faults(turn: Turn, about: str) -> list[str]:
    """The faults that words name by their part, the likeliest first; 'the power' names what feeds the machine."""
    topic, feed = _topic(about), _FEED.search(about) is not None
    if not topic and not feed:
        return []
    chance = dict(believe(turn.model, evidence_of(turn.job)).faults)
    named = [key for key, fault in turn.pack.faults.items() if (feed and key.startswith(_FEEDS)) or (
        topic and topic <= stems(" ".join((key.replace("_", " "), fault.name, *turn.pack.repair_of(key)[1].parts))))]
    return sorted(named, key=lambda key: -chance.get(key, 0.0))


def _say_chance(turn: Turn, about: str) -> None:
    """'So not the bearings?': how likely that is as things stand."""
    fault = _faults(turn, about)[0]
    belief = believe(turn.model, evidence_of(turn.job))
    p = sum(p for key, p in belief.faults if fault in key.split("+"))
    turn.note("asked.chance", fault=capital(turn.pack.faults[fault].name), chance=Text("chance", {"p": stated(p)}))
    rival = next((key for name, _ in belief.faults for key in name.split("+") if key in turn.pack.faults), fault)
    told = speaks_against(turn, fault, rival) if rival != fault else None
    if told is not None:
        turn.note("asked.rather", said=capital(told), fault=turn.pack.faults[rival].name)


def speaks_against(turn: Turn, fault: str, rival: str) -> str | None:
    """What was found that the `rival` shows far more often than the fault, the strongest of it; else None."""
    ratio: dict[str, float] = {}
    for fact in turn.job.standing("result"):
        check = turn.pack.checks.get(fact.subject)
        if check is None or fact.value not in check.results:
            continue
        normal, outcomes = check.likelihoods.get("normal", {}), tuple(check.results)
        own, other = (distribution(dict(check.likelihoods.get(key, normal)), outcomes)[fact.value]
                      for key in (fault, rival))
        ratio[check.results[fact.value].says] = other / own
    most = max(ratio, key=ratio.__getitem__, default=None)
    return most if most is not None and ratio[most] >= FAR_MORE else None


FAR_MORE: Final = 3.0
"""How many times likelier with the other fault, for a tradesman to say that it speaks against the first."""
