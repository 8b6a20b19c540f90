"""'It's hard-wired, there is no outlet': nothing is looked at that such a machine has not got, nor heard of it."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Phase
from bot.conversation.turn import Turn
from bot.language.words.text import drop_apostrophes

AT_OUTLET: Final = ("lamp_in_outlet", "outlet_tester", "outlet_look")
"""Checks of an outlet and of the plug in it."""
HARD_WIRED: Final = "hard_wired"
"""Why they are passed over."""
_SAID: Final = re.compile(
    r"(?<!not )(?<!isnt )(?<!no )\b(?:hard|direct|straight)[ -]?wire?d?\b|"
    r"\bwired (?:straight|right|direct|directly) (?:in\w*|to)\b|"
    r"\b(?:goes|runs|comes) (?:straight|right|directly) (?:in|into|from|to) (?:a |the )?(?:j ?box|junction box|conduit|"
    r"panel|wall|breaker)\b|\bdirecto a la caja\b", re.IGNORECASE)
_NO_OUTLET: Final = re.compile(
    r"\b(?:(?:theres|there is|theyre is|its got|it has|has|got|with|see) )?(?:no|not an?|isnt an?|without an?|sin) "
    r"(?:outlet|plug|cord|receptacle|enchufe)\b(?! (?:tester|power|volts?|voltage|light|damage|problem|trouble|smell|"
    r"issue))(?: (?:under there|there|under it|under the sink|down here|on it|on this one|at all))?", re.IGNORECASE)
_LEAD_IN: Final = re.compile(r"\b(?:its|it is|this one is|this is|thats|they have it|so|and|but|because|cuz)\b",
                             re.IGNORECASE)


def without_outlet(turn: Turn, text: str, family: str | None) -> str:
    """The words of a line that are left once it was taken that the machine is wired in; all of them where they do not
    say so. What was open is passed over if it needs an outlet."""
    pack = turn.context.release.knowledge.packs.get(family or "")
    if pack is None or turn.job.phase not in {Phase.INTAKE, Phase.CHECKS} or "?" in text:
        return text
    said = drop_apostrophes(text)
    gone = [key for key in AT_OUTLET if key in pack.checks]
    asked = turn.job.question.checks if turn.job.question is not None else ()
    mine = bool(set(asked) & set(gone))
    if not gone or not (_SAID.search(said) or (mine and _NO_OUTLET.search(said))):
        return text
    before = {fact.subject for fact in turn.job.standing("declined")}
    for key in gone:
        if key not in before:
            turn.fact("declined", key, HARD_WIRED)
    turn.note("not_fitted.outlet")
    if mine:
        turn.close_question(closed="passed")
    left = _SAID.sub(" ", _NO_OUTLET.sub(" ", said))
    bare = re.sub(r"\W+", " ", _LEAD_IN.sub(" ", left)).strip()
    return left.strip(" ,.;") if bare else ""


def has_no_outlet(turn: Turn, check: str) -> bool:
    """Whether a check is one of an outlet that the machine has not got."""
    return any(f.subject == check and f.value == HARD_WIRED for f in turn.job.standing("declined"))
