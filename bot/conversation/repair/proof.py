"""How the proof went, in the tech's own words: cured, the same, or cured with another trouble beside it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final, Literal

from bot.conversation.events import Typed
from bot.conversation.intake import absorb
from bot.conversation.job import Outcome, Question
from bot.conversation.questions.worded import answer_to
from bot.conversation.repair.next_trouble import PLAIN_TROUBLE, go_to_next
from bot.conversation.repair.repairing import answer_proof, failed_otherwise, proved
from bot.conversation.repair.second_trouble import asks_of_second, second_is_there
from bot.conversation.told.before_asked import file_what_comes
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import WORKS_NOW, besides_work, how_it_went, no_better, partly, plain, works_but
from bot.language.answers.about import covered, parts_of
from bot.language.answers.unasked import NAMED, SURE
from bot.language.meaning import Meaning
from bot.language.status.status import LIKELY, Status, said_at
from bot.language.understand import understand
from knowledge.likelihood import distribution

BEYOND_DOUBT: Final = 0.95
"""A trouble told beside 'it works' counts from here on: 'works now, hot and cold' tells none."""

_OF_A_RUN: Final = frozenset({"run", "listen", "ask"})
"""Kinds of checks that are answered by what it does when it is tried."""
_DENIES: Final = re.compile(r"\b(?:no|not|never|nothing|hardly|barely|only|wont|dont|doesnt|isnt|cant|less|too)\b")


def proof_chosen(turn: Turn, value: str) -> None:
    """A choice at the proof, by press or in words."""
    question = turn.job.question
    if value == "same":
        if not second_is_there(turn, question):
            _the_same(turn)
    elif value != "holds" or not asks_of_second(turn, question):
        answer_proof(turn, value)


def trouble_at_closing(turn: Turn, question: Question | None, text: str, meaning: Meaning) -> bool:
    """'Wait its full again' while the list is gone through: no cure after all. True if it was that."""
    if question is None or question.kind != "closing" or question.data.get("outcome") != Outcome.FIXED or (
            _CLOSING_UP.search(plain(text))) or _at_the_list(text):
        return False
    complained = {fact.subject for fact in turn.job.standing("complaint")}
    told = {guess.id for guess in meaning.complaints if guess.p >= PLAIN_TROUBLE}
    there_again = _THERE_AGAIN.search(plain(text)) is not None
    if how_it_went(text) == "same" or (there_again and (complained & told or _IS_BACK.search(plain(text)))):
        _the_same(turn)
        return True
    if not (there_again and told):
        return False
    failed_otherwise(turn)
    absorb(turn, meaning)
    turn.go_on = True
    return True


def _at_the_list(text: str) -> bool:
    """Whether a line more likely says how far the closing list is, or nothing of it, than that the trouble is back."""
    said = said_at("closing", text)
    return said.status is not Status.SAME and said.p >= LIKELY


_CLOSING_UP: Final = re.compile(
    r"\bstill (?:\w+ )?(?:putting|closing|packing|clean\w*|working|on it|at it|need\w*|have|has|got|tighten\w*|"
    r"screw\w*|mopp\w*|wip\w*|to|doing|level\w*)\b|\bone (?:more |last )?(?:screw|panel|sec|min\w*|thing)\b",
    re.IGNORECASE)
_IS_BACK: Final = re.compile(
    r"\b(?:its|it is|it|theyre|she) (?:\w+ )?(?:full|standing|wet|warm|cold|dead|stuck|humming|leaking|dripping|"
    r"banging|noisy|tripped|trips|doing it) (?:again|still)\b", re.IGNORECASE)
_THERE_AGAIN: Final = re.compile(r"\b(?:again|still|back|now|otra vez|sigue)\b", re.IGNORECASE)


def _the_same(turn: Turn) -> None:
    """Not cured, and what the words say besides of the run that would be asked for next."""
    answer_proof(turn, "same")
    if isinstance(turn.event, Typed):
        file_what_comes(turn, turn.event.text)


def failed_as_told(turn: Turn, meaning: Meaning) -> None:
    """'Still same, the back is roasting hot': not cured, and what is told besides joins the case."""
    complained = {fact.subject for fact in turn.job.standing("complaint")}
    if second_is_there(turn, turn.job.question):
        return
    _the_same(turn)
    joins(turn, meaning, complained)


def joins(turn: Turn, meaning: Meaning, complained: set[str]) -> None:
    """File the troubles that are told beside 'still the same', and what it does in the run that was tried; what was
    complained of stands. 'Still hums' is what the pump does, and no second trouble."""
    shown = tuple(r for r in meaning.results if r.check in turn.pack.checks
                  and turn.pack.checks[r.check].kind in _OF_A_RUN)
    heard = {*(r.check for r in shown), *(f.subject for f in turn.job.standing("result") if f.turn == turn.key)}
    meant = {complaint for key in heard if key in turn.pack.checks for complaint in turn.pack.checks[key].presumes}
    bare = any(_ONLY_STILL.fullmatch(said.strip(" .,!")) for said in (
        plain(_typed(turn)), f"still {besides_work(_typed(turn))}"))
    new = () if bare else tuple(
        g for g in meaning.complaints if g.p >= PLAIN_TROUBLE and g.id not in complained | meant)
    denied = tuple(c for c in meaning.denied if c not in complained)
    absorb(turn, replace(meaning, complaints=new, denied=denied, results=shown))


_ONLY_STILL: Final = re.compile(
    r"(?:(?:ok|done|did it|did that|its in|all in|in|no|nope|nah|and|but|it|its|is|same|thing|there)[ ,.]+)*"
    r"(?:still|same) (?:(?:is|just|as|all|it is|its) )*(?:dead|nothing|out|off|cold|dark|same|no go|not working|"
    r"wont work|doesnt work|stuck|bad)(?: (?:as before|tho|though|man|there|now))?")
"""'Done, still dead' is the trouble as it was told, and none that is new."""


def joins_beside_work(turn: Turn, text: str, complained: set[str]) -> None:
    """The same of a line that tells of the repair too, without the words of the work."""
    joins(turn, understand(turn.context.release.index, besides_work(text), family=turn.job.family), complained)


def shows_well(turn: Turn, text: str) -> bool:
    """Whether what convicted the part is told again as a good one shows it: 'works, air comes out warm now' where it
    was hot and hardly any."""
    if " but " in f" {plain(text)} " or how_it_went(text) == "same":
        return False
    shown = {f.subject: f.value for f in turn.job.standing("result") if f.subject in turn.pack.checks}
    seen = {key for key in shown if _takes_apart(turn, key)}  # 'opened up n cup was empty' is the trouble gone
    cured = how_it_went(text) == "cured"
    bare = not cured and not _ILL.search(plain(text))
    least = BEYOND_DOUBT if bare else SURE
    for part in parts_of(text):
        of_now = cured or bare or WORKS_NOW.search(plain(part)) or " now" in plain(part)
        for key, before in shown.items():
            if not of_now and key not in seen:
                continue
            well = _as_a_good_one(turn, key)
            heard = answer_to(turn, key, part, aside=not bare)
            if well != before and ((heard.result == well and heard.p >= least) or _has_words_of(turn, key, well, part)):
                return True
    return _tried(turn, text) == "well"


_ILL: Final = re.compile(
    r"\b(?:no|not|never|nothing|hardly|barely|only|wont|dont|doesnt|didnt|isnt|cant|less|too|still|again|same|but|"
    r"except|if|when|until|unless|sometimes|should|a bit|a little)\b|\?")
"""Words with which it may be as it was; without them 'lid lets go after each cycle' is how it runs now."""


def _takes_apart(turn: Turn, key: str) -> bool:
    """Whether a check only takes apart what is complained of: as it should, it denies that."""
    complained = {fact.subject for fact in turn.job.standing("complaint")}
    return bool(complained & turn.pack.checks[key].told.keys()) and not turn.pack.checks[key].begins


def runs_as_before(turn: Turn, text: str) -> bool:
    """'Heater still cold on forced defrost', 'air comes out cold': a run that goes as the repaired fault lets it go."""
    return _tried(turn, text) == "ill"


def _tried(turn: Turn, text: str) -> Literal["well", "ill"] | None:
    """How a run went at the proof that the repaired fault would hardly let go as it should: 'heater glows on forced
    defrost' of a new heater. None where words name no run, nor the trouble in one, or tell neither."""
    fault, told = turn.job.position.fault or "", set()
    complained = {fact.subject for fact in turn.job.standing("complaint")}
    for key, check in turn.pack.checks.items():
        given, well = check.likelihoods.get(fault, {}), _as_a_good_one(turn, key)
        if check.kind not in _OF_A_RUN | {"feel"} or check.begins or not given:
            continue
        shown, heard = distribution(dict(given), tuple(check.results)), answer_to(turn, key, text)
        if shown[well] > HARDLY or heard.result is None or heard.p < SURE:
            continue
        seen_again = complained & set(check.results[heard.result].complaints)
        if not seen_again and covered(turn.context.release.index, turn.job.family or "", text, key) < NAMED:
            continue
        told |= {"well"} if heard.result == well else {"ill"} if shown[heard.result] >= MOSTLY else set()
    return ("ill" if "ill" in told else "well") if told else None


MOSTLY: Final = 0.5
"""How likely at least what the fault shows is."""
HARDLY: Final = 0.3
"""How likely at most a fault lets a run go as it should, for that run to prove it gone. Judgement."""


def _as_a_good_one(turn: Turn, key: str) -> str:
    """The result of a check that a machine in order shows most."""
    check = turn.pack.checks[key]
    shown = distribution(dict(check.likelihoods.get("normal", {})), tuple(check.results))
    return max(shown, key=shown.__getitem__)


def _has_words_of(turn: Turn, key: str, result: str, text: str) -> bool:
    """Whether words hold all the words of one way to tell this result, in whatever order, and of no other result."""
    said = set(plain(text).split())
    fit = {each for each, entry in turn.pack.checks[key].results.items() for ways in entry.phrases.values()
           for way in ways if len(way.split()) > 1 and set(plain(way).split()) <= said}
    return fit == {result} and not _DENIES.search(plain(text))


def _works_otherwise(turn: Turn, complained: set[str], meaning: Meaning) -> bool:
    """'Works, but now it leaks': what was complained of is cured, the trouble is another."""
    return bool(complained & set(meaning.denied)) or works_but(_typed(turn))


def _but_not_all(text: str) -> bool:
    """'Works but goes on and off': what follows the 'but' is no cure, though it names no trouble that is known."""
    before, but, after = plain(text).partition(" but ")
    return bool(but) and how_it_went(before) == "cured" and how_it_went(after) != "cured" and bool(after.split())


def _typed(turn: Turn) -> str:
    return turn.event.text if isinstance(turn.event, Typed) else ""


def proof_in_words(turn: Turn, meaning: Meaning) -> bool:
    """What a line tells of the complaint, or of another trouble. True if it was about one of them."""
    complained = {f.subject for f in turn.job.standing("complaint")}
    told = {g.id for g in meaning.complaints if g.p >= PLAIN_TROUBLE}
    turns = _but_not_all(_typed(turn))  # after a 'but' no cure is told, so that a plain trouble is one
    new = told if turns else {g.id for g in meaning.complaints if g.p >= BEYOND_DOUBT}
    if no_better(_typed(turn)) or partly(_typed(turn)):
        failed_as_told(turn, meaning)
    elif shows_well(turn, _typed(turn)):
        proof_chosen(turn, "holds")
    elif complained & told:
        cured = complained & set(meaning.denied) - told
        _the_same(turn)  # 'drains now, still no spin': the one is done with
        absorb(turn, replace(meaning, complaints=(), denied=tuple(sorted(cured)), results=()))
    elif not complained & set(meaning.denied) and runs_as_before(turn, _typed(turn)):
        failed_as_told(turn, meaning)
    elif new and _works_otherwise(turn, complained, meaning):
        proved(turn)
        go_to_next(turn, (*turn.job.position.later, *sorted(new)))
    elif not told and turns:
        proof_chosen(turn, "other")
    elif complained & set(meaning.denied) and how_it_went(_typed(turn)) == "same":
        failed_as_told(turn, meaning)  # 'still bangs with a full load, empty its smooth'
    elif complained & set(meaning.denied) or (not new and how_it_went(_typed(turn)) == "cured"):
        proof_chosen(turn, "holds")
    elif told:
        failed_otherwise(turn)
        absorb(turn, meaning)
        turn.go_on = True
    else:
        return False
    return True
