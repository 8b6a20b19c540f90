"""What a machine was never built with: 'no ice maker on this one' passes over every check of the ice maker."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from typing import Final

from bot.conversation.job import Phase
from bot.conversation.questions.photos import again
from bot.conversation.turn import Turn
from bot.language.words.text import drop_apostrophes, fold, word_set
from knowledge.schema import Pack

_LACKS: Final = (
    r"\b(?:(?:there(?: i)?s|it has|has|its got|got|i see|have|but|and|with)? ?(?:no|without|not an?|sin)|"
    r"(?:doesnt|dont|does not|do not|didnt|never|hasnt|isnt) (?:even |ever )?(?:have|had|got|come with|an?|any)"
    r"(?: an?| any)?|no (?:tiene|hay))(?: such)? (?:an? |any )?")
_ONLY_ITS_STATE: Final = (
    r"(?! (?:is|was|works?|working|runs?|running|off|on(?! (?:this|that|it|here|her))|making|sounds?|noise|noises|"
    r"light|arm|does|still|fills?|filling|problems?|trouble|issues?|leaks?|ice|water|output|action|power|movement)\b)")
"""'No ice maker noise' tells how it is, not that there is none."""
_NONE: Final = re.compile(
    r"^\W*(?:no\W+)?(?:there(?:s| is| are) (?:none|not one|no such thing)|there (?:isnt|arent) (?:one|any)|"
    r"none (?:there|fitted|on (?:this|it|here)(?: one)?|in (?:it|this one))|"
    r"(?:it )?(?:doesnt|does not|dont) have (?:one|any|that|those)|"
    r"(?:it )?(?:hasnt|has not) got (?:one|any)|(?:this )?(?:one )?has none|not (?:fitted|on this one|on this model)|"
    r"no tiene|no hay)\b[^,;.]*", re.IGNORECASE)
"""Of what is asked, without its name."""


_SAYING: Final = word_set("there theres it its this that the one so and but here fridge machine model just "
                          "plain well oh")
"""What is left of such a line, and tells nothing more."""


def without_what_lacks(turn: Turn, text: str, family: str | None) -> str:
    """The words of a line that are left once it was taken what the machine is built without; all of them where they
    say nothing of the kind. What was open is passed over if it asks of that."""
    pack = turn.context.release.knowledge.packs.get(family or "")
    if pack is None or not pack.family.may_lack or turn.job.phase not in {Phase.INTAKE, Phase.CHECKS}:
        return text
    said = drop_apostrophes(fold(text)[0])
    question = turn.job.question
    asked = question.checks if question is not None and question.kind == "check" else ()
    things, left = set[str](), said
    for found in _named(pack).finditer(said):
        things |= {thing for thing, name in _names(pack) if re.search(rf"\b{name}\b", found.group(), re.IGNORECASE)}
        left = left.replace(found.group(), " ")
    nothing = _NONE.match(said)
    if not things and nothing is not None and len(asked) == 1:
        things, left = set(pack.checks[asked[0]].of), said[nothing.end():]
    things -= _complained_of(turn, pack)
    if not things:
        return text
    _pass_over(turn, pack, things, asked)
    return left if any(word not in _SAYING for word in re.findall(r"\w+", _NONE.sub(" ", left))) else ""


def go_on_without(turn: Turn) -> None:
    """After that, where nothing else was told: the next step, or what was asked."""
    turn.place(misses=0)
    if turn.job.question is None:
        turn.go_on = True
    else:
        again(turn)


def _pass_over(turn: Turn, pack: Pack, things: set[str], asked: Iterable[str]) -> None:
    """None of their checks is made; what is open is closed if it is one."""
    gone = [key for key, check in pack.checks.items() if things & set(check.of)]
    before = {fact.subject for fact in turn.job.standing("declined")}
    for key in gone:
        if key not in before:
            turn.fact("declined", key)
    names = [pack.family.may_lack[thing]["en"][0] for thing in pack.family.may_lack if thing in things]
    turn.note("not_fitted.none", names=" or ".join(names))
    if set(asked) & set(gone):
        turn.close_question(closed="passed")


def _complained_of(turn: Turn, pack: Pack) -> set[str]:
    """What cannot be lacking: a complaint that stands is of it alone."""
    complaints = {fact.subject for fact in turn.job.standing("complaint")}
    return {thing for key, check in pack.checks.items() if len(check.of) == 1 and len(set(check.presumes)) <= FEW
            and complaints & set(check.presumes) for thing in check.of}


FEW: Final = 2
"""Complaints that a check presumes, up to which they are of what it looks at."""


@cache
def _named_of(names: tuple[str, ...]) -> re.Pattern[str]:
    one = "(?:" + "|".join(names) + ")s?"
    return re.compile(rf"{_LACKS}{one}(?:(?: or| and| nor| no| ni| y|,)+(?: no| a| an)* {one})*{_ONLY_ITS_STATE}"
                      r"(?: (?:on|in|at|here|there)(?: this| that| it| her| all)*(?: one| fridge| model| machine)?\b)?",
                      re.IGNORECASE)


def _named(pack: Pack) -> re.Pattern[str]:
    return _named_of(tuple(name for _, name in _names(pack)))


def _names(pack: Pack) -> list[tuple[str, str]]:
    """Thing, and one of its names as it is typed: the longest first."""
    names = [(thing, re.escape(fold(phrase)[0])) for thing, said in pack.family.may_lack.items()
             for phrases in said.values() for phrase in phrases]
    return sorted(names, key=lambda name: -len(name[1]))
