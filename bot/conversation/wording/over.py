"""Words that say of a repair that it is over, at a question that asks for something else: 'done it, spins now'.

Words only; what comes of them is settled in `bot/conversation/repair/reported.py`.
"""

from __future__ import annotations

import re
from typing import Final, Literal

from bot.conversation.wording.mended import Told, how_it_went, plain
from bot.conversation.wording.ways import MOST_WORDS, TROUBLES

Over = Literal["runs", "done"]

_PARTS: Final = re.compile(r"[,.;:!\n]|\s-+\s|\b(?:and|n|so|y)\b", re.IGNORECASE)
_MACHINE: Final = (r"(?:it|its|it is|she|shes|he|hes|this|that|thats|thing|the|my|washer|dryer|dishwasher|machine|unit|"
                   r"fridge|freezer|oven|stove|range|burner|pump|motor|drum|basket|tub|agitator|everything|all|yes|yeah|yep|yup|"
                   r"ok|now|"
                   r"already|just|and|la|el|ya|todo)")
_VERB: Final = (
    r"(?:works|working|runs|running|spins|spinning|drains|draining|pumps|heats|heating|cools|cooling|fills|filling|"
    r"lights|starts|starting|turns|turning|tumbles|tumbling|washes|washing|dries|drying|agitates|agitating|latches|"
    r"locks|fixed|solved|sorted|cured|funciona|jala|sirve|centrifuga|calienta|enfria|prende)")
_WELL: Final = (r"(?:fine|good|great|ok|okay|perfect|perfectly|nice|nicely|smooth|smoothly|well|right|properly|normal|"
                r"normally|quiet|quietly|again|now|today|too|like new|as new|like a charm|like a dream|both ways|"
                r"all the way|strong|(?:every|each) time|\d+ (?:times|tries|starts|runs)(?: in a row| straight)?|"
                r"bien|ahora|otra vez)")
_LOADED: Final = (r"(?: (?:w|with|on|even with) (?:\d+ |the |a |an )?(?:full |wet |big |heavy )*"
                  r"(?:towels?|loads?|clothes))?")
_RUNS: Final = re.compile(
    rf"(?:all good )?(?:{_MACHINE} )*{_VERB}(?: (?:{_WELL}|{_VERB}|up))*{_LOADED}|"
    rf"(?:{_MACHINE} )*(?:quiet|silent|dry|cold|hot|smooth|warm)(?: as new)? (?:now|again)|"
    r"(?:it )?did the trick|(?:(?:yes|ye|yep|yeah|yea|ok|well) )*(?:that|it|this|the \w+(?: \w+)?) "
    r"(?:did|fixed|cured|solved|sorted) it|(?:its |it is |shes )?(?:good as new|up and running|back in business)|"
    rf"no more {TROUBLES}")
"""Nothing but that the machine does what it should: 'works for them' is said of a price."""
_QUIET: Final = re.compile(
    rf"\b(?:{_MACHINE} )*(?:quiet|silent|smooth|dry|gone|steady|still|calm)(?: as new)?(?: right)? (?:now|again|"
    rf"today|at the moment)\b|"
    rf"\bno(?:t a)? (?:more )?{TROUBLES}(?: right)? now\b|\bnothing (?:\w+ )?now\b|"
    r"\bnot (?:doing|making|leaking|shaking|ticking|clicking)(?: (?:it|that|any|noise))*(?: right)? now\b")
_UNHEARD: Final = re.compile(
    rf"\b(?:{_MACHINE} )*(?:quiet|silent) (?:right )?(?:now|today|at the moment)\b|"
    r"\b(?:no noise|nothing (?:loud|noisy)|not (?:doing|making)(?: (?:it|that|"
    r"any noise))?)(?: right)? now\b(?: tho\w*)?")
_DONE: Final = re.compile(
    r"(?:(?:ok|yes|yeah|yep|all|job|jobs|repair|work|its|it is|thats|that is|thats it|been|got it|got that|i|ive|"
    r"i have|already|just) )*"
    r"(?:done|finished|completed|hecho|listo|terminado)(?: (?:it|that|this one|the job|the repair|the work|with it|"
    r"already|now|here|too|up))*|(?:i )?did (?:it|the job|the repair|that one)(?: already)?|(?:its |it is )?all "
    r"(?:in|in and done|back together)")
_OPEN: Final = re.compile(
    r"\?|\b(when|once|if|until|before|after|not|never|wont|cant|dont|havent|hasnt|isnt|will|ill|gonna|going to|"
    r"want|wants|needs|should|let me|still|sometimes|but|then|except|almost|nearly|he|they|customer|cust|owner|pero)\b")
"""Planned, doubtful, not so, or of others."""
_PUT_IN: Final = re.compile(
    r"\b(?:replaced|swapped|changed|installed|fitted|cambi[eé]|instal[eé])\b|\bnew \w+(?: \w+)? (?:is |are )?in\b",
    re.IGNORECASE)
_AMISS: Final = re.compile(
    r"(?:(?:it|its|the|air|but|stays|stayed|blows|runs|drum|water|still) )*(?:ice |stone |too )?"
    r"(?:cold|cool|warm|lukewarm|slow|slowly|weak|weakly|loud|noisy|dead|wet|damp|rough|nothing|no heat|frio|fria)")
"""What else it does: 'turns, cold' tells how it runs, and not that it is well."""
_CLEARLY: Final = re.compile(
    r"\b(?:works|working|fixed|solved|sorted|cured|now|again|trick|did it|new|"
    r"business|no more|funciona|jala|sirve|ahora)\b")
_OF_TOOLS: Final = re.compile(
    r"\b(covers?|panels?|screws?|lid|meter|probes?|leads?|batter\w+|drill|bit|blade|gloves?|light|flashlight|cord|shirt)\b")


def puts_a_part_in(text: str) -> bool:
    """Whether words tell, in the trade's own verbs, that a part was put in, whatever they call it: 'coupler replaced'
    for a coupling."""
    said = plain(text)
    return _PUT_IN.search(said) is not None and not _OF_TOOLS.search(said) and not _OPEN.search(said)


def over_in(text: str) -> Over | None:
    """That the machine runs as it should, or that the work is done, where a line says so of itself and nothing against
    it."""
    said = plain(text)
    if len(said.split()) > MOST_WORDS or _OPEN.search(said) or how_it_went(said) == "same":
        return None
    parts = [" ".join(part.split()) for part in _PARTS.split(said)]
    if any(_RUNS.fullmatch(part) for part in parts) and not any(_AMISS.fullmatch(part) for part in parts):
        return "runs"
    return "done" if any(_DONE.fullmatch(part) for part in parts) else None


def only_quiet(text: str) -> bool:
    """Whether all that words tell is that the trouble does not show just now: 'it's quiet now', 'nothing loud now'."""
    said = plain(text)
    return _QUIET.search(said) is not None and how_it_went(_QUIET.sub(" ", said)) != "cured"


def without_quiet(text: str) -> str:
    """The words of a line without those that say that no noise is heard just now."""
    return _UNHEARD.sub(" ", plain(text)).strip(" ,.;:-")


def clearly_over(text: str) -> bool:
    """The same where nobody spoke of a repair: 'works now' is; 'turns' may be how it runs with the trouble."""
    return over_in(text) == "runs" and _CLEARLY.search(plain(text)) is not None


def told_over(text: str) -> Told | None:
    """The same as a repair that is told."""
    over = over_in(text)
    if over is None:
        return None
    return Told(fitted=False, cleaned=False, did=True, how="cured" if over == "runs" else None, now=over == "runs",
                plainly=over == "runs")
