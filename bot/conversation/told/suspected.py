"""'It's the lid switch': the part that a tech suspects is looked at, where his words answer nothing that was asked."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.advance import ask_for
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.intake import file_heard
from bot.conversation.job import Question
from bot.conversation.questions.asking import put_again
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.diagnosis.advice import checks_that_show
from bot.diagnosis.belief import believe
from bot.language.answers.about import pack_word, stems
from bot.language.answers.bands import usual
from bot.language.answers.likeness import own_words
from bot.language.meaning import HeardResult
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, plain_words, word_set

_SUSPECTS: Final = re.compile(
    r"\b(i|id|im|ill|gonna|going to) (still )?(think\w*|bet\w*|reckon|guess\w*|say\w*|suspect|sure|pretty sure)\b|"
    r"\b(reckon|suspect\w*|betting|bet|think)\b|"
    r"\b(its|it is|thats|that is|bet its|must be|has to be|got to be|gotta be|prob|probly|probably|maybe|might be|"
    r"could be|looks like|sounds like|acts like|"
    r"my money(?: is|s)? on|my money|what about)\b|\b(creo que|seguro es|debe ser|ha de ser)\b",
    re.IGNORECASE)
_BETS: Final = re.compile(
    r"\b(bet|betting|reckon|id say|gonna say|gotta be|got to be|has to be|must be|suspect|my money|prob|probly|"
    r"probably|think its|im sure its|seguro es|debe ser|ha de ser)\b", re.IGNORECASE)
_MAYBE: Final = re.compile(
    r"^\W*(?:(?:idk|dunno|not sure|no idea|hm+|well|ok|but|i guess|guess)\W+)*(?:maybe|might be|could be|possibly|"
    r"what if its|thinking|im thinking|puede ser|quizas?)\b", re.IGNORECASE)
"""Said of what is asked it may be an answer; of a part it is a suspicion."""
_SAYS_BAD: Final = re.compile(
    r"\b(bad|shot|dead|failed|faulty|defective|gone|toast|fried|junk|busted|kaput|no good|ng|weak|worn(?: out)?|"
    r"broke|broken|burnt?(?: out| up)?|burned(?: out| up)?|seized|cracked|grounded|shorted(?: to (?:ground|case))?|"
    r"leaks|leaking|slipping|stripped|torn|bent|stuck(?: closed| shut)?|jammed|frozen|malo|mala|quemad[oa])\W*$",
    re.IGNORECASE)
"""'The drive motor is bad': said of a part, with no word on what shows it."""
_SAYS_WHICH: Final = re.compile(
    r"\b(?:its|it is|it was|thats) (?:the |that )?(?:\w+ ){1,2}?(?:that|which|what) "
    r"(?!is\b|was\b|has\b|needs\b|leaks\b)(?:is making|makes|\w{3,}s)\b", re.IGNORECASE)
"""'Its the lock that clunks, not the drum': which part did it, and no bet on that one."""
_IN_DOUBT: Final = re.compile(
    r"\b(idk|dunno|not sure|no idea|dont know|i guess|guess|or something|or so|maybe|perhaps|again|bad|stuck|shot|gone|"
    r"thats|it|the|a|an|its)\b", re.IGNORECASE)
_A_THING: Final = re.compile(r"\b(?:the|a|an|that|el|la) \w+", re.IGNORECASE)
_STATES: Final = word_set(
    "new kit set good bad failed fail broken worn open dead stuck weak loose left off out missing blocked block "
    "clogged clog dirty wrong tilted tilt frozen tripped trip one that without machine inside between something fault "
    "works designed there present fine ok")
"""What is said of a part, and no name of one."""
_EITHER: Final = re.compile(r"\bor\b", re.IGNORECASE)
"""'Shocks or springs': the first that we know is looked at."""
_LITTLE: Final = word_set("is are was looks look went my this all both really")
_THINGS: Final = re.compile(r",? or |, ")
SHORT: Final = 8
"""Words of a line that is a suspicion on something we have no check of, and no answer."""
LONGEST: Final = 16
"""Words of a line that names a suspicion and nothing else."""


def follow_bet(turn: Turn, text: str) -> bool:
    """The same for a line that is nothing but a bet on a part ('gotta be the pump'), before it counts as an answer."""
    question, bare = turn.job.question, drop_apostrophes(text)
    if question is None or question.kind != "check" or "?" in text:
        return False
    if not _BETS.search(bare) and not (_MAYBE.search(bare) and _unanswered(turn, question, bare)):
        return False
    if any(turn.pack.checks[key].tells_kind for key in question.checks):
        return False
    named = stems(_SUSPECTS.sub(" ", bare)) - _STATES
    if any(named in _parts(turn, key) for key in turn.pack.faults) and _look_at(turn, bare):
        return True
    faults = list(turn.pack.faults)
    if _BETS.search(bare) and any(_not_asked_about(turn, question, one) and _by_name(turn, one, faults)
                                  and _look_at(turn, one) for one in _EITHER.split(bare)):
        return True
    if not _MAYBE.search(bare):
        return False
    known = _by_name(turn, bare, list(turn.pack.faults)) or _by_what_shows(turn, bare)
    return (bool(known) and _look_at(turn, bare)) or (
        _A_THING.search(bare) is not None and _first_this(turn, question, bare))


def follow_suspicion(turn: Turn, text: str) -> bool:
    """Ask for the check that shows the fault of the part that is named. True if there is one that may be made."""
    question, bare = turn.job.question, drop_apostrophes(text)
    if question is None or question.kind not in {"check", "variant"} or len(bare.split()) > LONGEST:
        return False
    if "?" in text or _SAYS_WHICH.search(bare):
        return False
    if _SUSPECTS.search(bare) is None and _is_a_part(turn, bare):
        return _look_at(turn, bare) or _first_this(turn, question, bare)
    if _SUSPECTS.search(bare) is None:
        return says_bad(bare) and (_look_at(turn, bare) or (
            bool(_suspects(turn, bare)) and _first_this(turn, question, bare)))
    return _look_at(turn, bare) or _first_this(turn, question, bare)


def _is_a_part(turn: Turn, text: str) -> bool:
    """Whether a line is the name of a part that a fault of ours is of, and nothing else: 'infinite switch'."""
    return len(text.split()) <= NAME and not stems(text) & _STATES and any(
        _thing(text) in _parts(turn, fault) for fault in turn.pack.faults)


def names_its_part(turn: Turn, fault: str, text: str) -> bool:
    """Whether a line is the name of what a fault is of, and nothing else: 'infinite switch' where that is named."""
    said = _thing(text)
    return len(text.split()) <= NAME and bool(said) and any(said <= part for part in _parts(turn, fault))


def says_bad(text: str) -> bool:
    """Whether words end in a verdict on a part."""
    return _SAYS_BAD.search(drop_apostrophes(text)) is not None


def _first_this(turn: Turn, question: Question, text: str) -> bool:
    """A suspicion on something that no check of ours is on: it is heard, and what is asked comes first."""
    if question.kind != "check" or len(text.split()) > SHORT or not _plainly_suspects(text):
        return False
    turn.place(misses=0)
    turn.note("suspect.later")
    put_again(turn, question)
    return True


def _plainly_suspects(text: str) -> bool:
    """Whether a line names a thing and nothing but that it may be that."""
    found = _MAYBE.search(text) or _BETS.search(text) or _SAYS_BAD.search(text)
    return (found is not None or len(text.split()) <= NAME) and bool(_thing(text))


def _not_asked_about(turn: Turn, question: Question, text: str) -> bool:
    """Whether the open checks speak of nothing that a bet is on: 'prob shocks' tells of no tub that was pushed."""
    checks = [turn.pack.checks[key] for key in question.checks]
    asked = [way for check in checks for name, result in check.results.items()
             for way in (check.name, check.ask, result.label, result.says, *own_words(check, name))]
    return _thing(text).isdisjoint(frozenset().union(*map(stems, asked)))


def _unanswered(turn: Turn, question: Question, text: str) -> bool:
    """Whether words answer none of the open checks, but for that they are not sure."""
    return all(answer_to(turn, key, text).result is None for key in question.checks)


def _look_at(turn: Turn, text: str) -> bool:
    question, suspects = turn.job.question, _suspects(turn, text)
    if says_bad(text):
        _take_build(turn, suspects)
    for fault in suspects:
        shown = checks_that_show(turn.model, evidence_of(turn.job), situation_of(turn.job, turn.context), fault)
        if not shown or question is None:
            continue
        its = frozenset().union(*_parts(turn, fault)) & stems(text)
        of_it = [key for key in shown if its & stems(turn.pack.checks[key].name)] if says_bad(text) else []
        check = (of_it or shown)[0]
        if _seen_already(turn, check, text):
            return True
        if check in question.checks:
            turn.note("suspect.this", part=turn.pack.faults[fault].name)
            put_again(turn, question)
            return True
        turn.mark()
        turn.close_question(closed="passed")
        turn.note("suspect.look", part=turn.pack.faults[fault].name)
        ask_for(turn, check)
        return True
    return False


def _seen_already(turn: Turn, key: str, text: str) -> bool:
    """File what the look at it would show, where the words are its plain answer: 'soap door is stuck'. True if so."""
    check, heard = turn.pack.checks[key], answer_to(turn, key, text)
    if not says_bad(text) or "meter" in check.tools or heard.result in {None, usual(check)} or heard.p < PLAINLY:
        return False
    file_heard(turn, HeardResult(key, heard.result, heard.p))
    turn.place(misses=0)
    turn.go_on = True
    return True


PLAINLY: Final = 0.98
"""How sure words have to be to be the answer of a look that was not asked for."""


def _take_build(turn: Turn, suspects: Sequence[str]) -> None:
    """Whose coupler is bad has one: the build that all faults of the part are of."""
    builds = [{(axis, values) for axis, values in turn.pack.faults[fault].only.items()} for fault in suspects]
    known = {fact.subject for fact in turn.job.standing("variant")}
    for axis, values in sorted(set.intersection(*builds) if builds else set()):
        if len(values) == 1 and axis not in known:
            turn.fact("variant", axis, values[0])


def _parts(turn: Turn, fault: str) -> list[frozenset[str]]:
    """The words of each part that the repair of a fault fits, or of what it puts right without one, and of what the
    trade calls it; none for another trade's."""
    entry = turn.pack.faults[fault]
    if entry.trade is not None:
        return []
    things = [*(turn.pack.repair_of(fault)[1].parts or _THINGS.split(entry.name)),
              fault.partition(".")[0].replace("_", " ")]
    return [words for thing in things if (words := stems(thing) - _STATES)]


def _suspects(turn: Turn, text: str) -> list[str]:
    """Faults whose repair fits the part that the words name with most of its words, the likeliest first; of a part that
    is bad those that take a new one."""
    said, chance = stems(text), dict(believe(turn.model, evidence_of(turn.job)).faults)
    here = [key for key in turn.pack.faults if chance.get(key, 0.0) > 0]
    if says_bad(text):
        here = [key for key in here if turn.pack.repair_of(key)[1].parts] or here
    named = {key: max((len(part) for part in _parts(turn, key) if part <= said), default=0) for key in here}
    most = max(named.values(), default=0)
    faults = ([key for key, fit in named.items() if fit == most > 0] or _by_name(turn, text, here)
              or _by_what_shows(turn, text))
    return sorted(faults, key=lambda key: -chance.get(key, 0.0))


def _thing(text: str) -> frozenset[str]:
    """The words of the thing that is suspected, and of nothing else."""
    left = _SAYS_BAD.sub(" ", _IN_DOUBT.sub(" ", _SUSPECTS.sub(" ", text)))
    return frozenset(stem(pack_word(word)) for word in plain_words(left) if word not in _LITTLE) - _STATES


def _by_name(turn: Turn, text: str, here: Sequence[str]) -> list[str]:
    """The faults, of those that it may have, of a part that goes by a shorter name: 'the shocks' are shock absorbers.
    None where many do, unless a part is said to be bad."""
    thing = _thing(text)
    found = [key for key in here if thing and any(thing <= part for part in _parts(turn, key))]
    return found if says_bad(text) or len(found) <= ALIKE else []


ALIKE: Final = 2
"""Faults of one part that a short name may mean."""


def _by_what_shows(turn: Turn, text: str) -> list[str]:
    """Faults that are known by what a look shows, in the words of that: 'the check valve' is stuck in the tub's
    outlet. None where two looks have such words."""
    said = _thing(text)
    if len(said) < NAMED:
        return []
    found: dict[str, str] = {}
    for key, check in turn.pack.checks.items():
        for name, result in check.results.items():
            ways = (way for those in result.phrases.values() for way in those)
            if name != usual(check) and any(said <= {stem(word) for word in plain_words(way)} for way in ways):
                found[key] = name
    if len(found) != 1:
        return []
    key, name = next(iter(found.items()))
    model = turn.model
    row = model.rows[model.check_index[key], model.result_index(key, name)]
    own = {model.name(int(f)): float(row[h]) for h, f in enumerate(model.fault_of)}
    best = max(own.values())
    return [fault for fault, p in own.items() if p >= SHOWS * best and fault in turn.pack.faults]


NAME: Final = 3
"""Words of a line that is a part's name."""
NAMED: Final = 2
"""Words of a thing that is known by them alone."""
SHOWS: Final = 0.9
"""A fault with so much of the best chance of what a look shows is shown by it as well."""
