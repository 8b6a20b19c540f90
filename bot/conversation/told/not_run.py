"""'I'm not running that', 'it's unplugged and open': no run is asked for, and what needs none comes first.

Who will not run it is not asked to before the repair. Who has it open is asked last.
"""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import STAYS_OPEN, WILL_NOT, kept_from_running, stays_dead
from bot.conversation.intake import file_heard
from bot.conversation.job import Phase
from bot.conversation.questions.asking import put, put_again
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.conversation.wording.not_run import says_not_run, says_open, says_together
from bot.language.answers.about import parts_of
from bot.language.answers.unasked import SURE
from bot.language.meaning import HeardResult
from bot.language.words.text import drop_apostrophes

_PLUG: Final = re.compile(r"\bplug\w*|\bunplug\w*", re.IGNORECASE)
FEW: Final = 8
"""Words of a line up to which 'it's unplugged' may be all that it says."""
LONGEST: Final = 600
"""Characters of a line up to which it is looked for: a refusal is short."""
SAID: Final = ("not_run.", "check.made_dead")


def without_run(turn: Turn, text: str) -> str:
    """The words of a line that are left to be heard once it was taken that the machine is not to be run; all of them
    where they say nothing of the kind. What was open is passed over if it takes a run."""
    if len(text) > LONGEST or (turn.job.phase not in {Phase.INTAKE, Phase.CHECKS} and not _asks_run(turn)):
        return text
    plain = drop_apostrophes(text.lower())
    if kept_from_running(turn.job) is not None and says_together(plain):
        _may_run(turn)
        turn.note("not_run.again")
        return text if len(plain.split()) > FEW else ""
    said = says_not_run(plain)
    if said is not None and (said[0] == WILL_NOT or _asks_run(turn) or turn.job.question is None):
        how, left = said
    else:
        rest = says_open(parts_of(plain)) if _asks_run(turn) or _asks_nothing_dead(turn, plain) else None
        if rest is None:
            return text
        how, left = STAYS_OPEN, ", ".join(rest)
    _keep(turn, how)
    if any(c.isalnum() for c in left):
        _file_what_it_showed(turn, left)
    if _asks_run(turn):
        turn.close_question(closed="passed")
    return left


def go_on_without_run(turn: Turn) -> bool:
    """After that, where the rest of the line told nothing: the next step, or what was asked, in its first words. False
    where nothing of the kind was said."""
    if not any(text.key.startswith(SAID) for text in turn.texts):
        return False
    question = turn.job.question
    turn.place(misses=0)
    if question is None or any(text.key == "not_run.again" for text in turn.texts):
        turn.go_on = True
    elif question.kind == "check":
        put(turn, "check", checks=question.checks)
    else:
        put_again(turn, question)
    return True


def runs_after_all(turn: Turn) -> bool:
    """Nothing is left that can be told of an open machine: it is put together now. False if it was not kept open."""
    if kept_from_running(turn.job) != STAYS_OPEN or stays_dead(turn.job, turn.pack):
        return False
    _may_run(turn)
    turn.note("not_run.now")
    return True


def _keep(turn: Turn, how: str) -> None:
    stands = kept_from_running(turn.job)
    if stands == WILL_NOT or (turn.job.family is not None and stays_dead(turn.job, turn.pack)):
        turn.note("check.made_dead")
    else:
        turn.note("not_run.will_not" if how == WILL_NOT else "not_run.open")
    if stands not in {WILL_NOT, how}:
        turn.fact("declined", "run", how)


def _may_run(turn: Turn) -> None:
    turn.withdraw([f for f in turn.job.standing("declined") if f.subject == "run"])


def _asks_run(turn: Turn) -> bool:
    """Whether the open question is a check that runs the machine. One of the plug itself is not passed over for it."""
    question = turn.job.question
    if question is None or question.kind != "check":
        return False
    checks = [turn.pack.checks[key] for key in question.checks]
    return any(check.power in {"run", "live"} and not _PLUG.search(check.ask) for check in checks)


def _asks_nothing_dead(turn: Turn, plain: str) -> bool:
    """Whether a question is open that has nothing to do with the plug, and that so short a line answers in no way."""
    question = turn.job.question
    if question is None or question.kind not in {"check", "variant"} or len(plain.split()) > FEW:
        return False
    return all(turn.pack.checks[key].power == "any" and not _PLUG.search(turn.pack.checks[key].ask)
               and answer_to(turn, key, plain).result is None for key in question.checks)


def _file_what_it_showed(turn: Turn, left: str) -> None:
    """'Not running it again, it just hummed': the run was made once, and that is what it showed."""
    question = turn.job.question
    if question is None or not _asks_run(turn):
        return
    for key in question.checks:
        heard = answer_to(turn, key, left)
        if heard.result is not None and heard.p >= SURE:
            file_heard(turn, HeardResult(key, heard.result, heard.p))
