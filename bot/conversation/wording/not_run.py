"""Ways in which techs say that the machine is not to be run, or that it stands unplugged or open.

Words only; what comes of it is settled in `bot/conversation/told/not_run.py`.
"""

# ruff: noqa: E501  a way of saying it is read best in one piece
from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

_IT: Final = (
    r"(?:it|this(?: thing| one)?|that(?: thing| one)?|her|him|anything|"
    r"(?:the|this|that) (?:machine|washer|dryer|dishwasher|fridge|freezer|oven|range|stove|thing|drum|motor|unit|basket))")
_RUN: Final = (
    rf"(?:(?:run|spin|start|cycle|energi[sz]e|fire|power|turn|switch|plug|crank|try|energi[sz]ing|firing)(?:[ng]?ing)? "
    rf"(?:up |on )?{_IT}"
    rf"(?: (?:up|on|back on|back in|in))?|put(?:ting)? (?:the )?power (?:back )?(?:to|on)(?: {_IT})?|"
    r"(?:run(?:ning)?|do(?:ing)?|start(?:ing)?) (?:another|a|one more|any more) (?:full )?(?:spins?|cycles?|wash|tests?|run)"
    r"(?: on (?:it|that|this))?)")
"""To run something: 'run it', 'plugging that back in'. Never 'run' alone, which is what a machine does."""
_ENDS: Final = (
    r"(?=\s*(?:$|[,.;:!)-]|(?:again|any ?more|like|with|in (?:this|that)|till|til|until|unless|before|because|cause|cuz|"
    r"cos|as|if|while|when|now|yet|at all|either|for|and|but|so|after|one more|another|the way|no more)\b))"
    r"(?: (?:again|any ?more|now|yet|at all|either|like (?:this|that)|as (?:it )?is|no more))*")
_DO_NOT: Final = (
    r"(?:not|wont|will not|never|aint|dont|do not|wouldnt|would not|shouldnt|should not|refuse to|rather not|better not|"
    r"cant see myself|in no way)")
_MIND: Final = (
    r"(?: (?:going to|gonna|about to|want(?:ing)? to|wanna|really|like to|like|care to|dare(?: to)?|feel like|trust myself to|"
    r"be|comfortable|happy|keen|ok|okay|up for|for|with|to|even|ever|just))*")
_REFUSED: Final = re.compile("|".join((
    rf"\b(?:i|im|i am|ill|id|ive|we|were|well|me)(?: \w+)? {_DO_NOT}{_MIND} {_RUN}{_ENDS}",
    rf"(?:(?<=[,.;:!] )|^)(?:(?:sorry|nah|no|nope|um|look|man|and|but|so|yeah|please|honestly) )*"
    rf"(?:not|dont|never|rather not|better not|wont be)(?: (?:going to|gonna|about to|want to|wanna|like to|even))* {_RUN}{_ENDS}",
    rf"\bno more (?:running|spinning|starting) {_IT}\b",
    rf"\b(?:no way|no chance|not a chance|aint no way|hell no) (?:am i |im |i am |ill |id |i )?{_MIND} ?{_RUN}",
    rf"\b(?:(?:not|isnt|aint) safe|unsafe|too dangerous|too risky) to (?:{_RUN}|run|spin|start|be run|plug in)",
    rf"\b(?:not safe|unsafe|dangerous|afraid|scared|nervous|leery|wary)(?: (?:to|of|about))+ "
    rf"(?:{_RUN}|run|running|spin|spinning|start|starting)\b",
    r"\b(?:should ?nt|should not|must not|mustnt|better not|best not|cant|cannot|not to|not going to|ought not to) "
    r"(?:be )?(?:run|spun|started|spin|start|plugged in|turned on|powered(?: up)?)"
    r"(?= (?:again|like|any ?more|till|til|until|before|at all|with it|that way|as is))"
    r"(?: (?:again|any ?more|like (?:this|that)|at all|that way|as is))?",
    rf"\b(?:should ?nt|should not|must not|mustnt|better not|best not) (?:be (?:run|spun|started|powered)\b|{_RUN}{_ENDS})",
    rf"\b(?:doesnt|dont|does not|wont|told me not|said not|says not) (?:want|let|to)(?: me| us| anybody| anyone)?(?: to)? "
    rf"(?:{_RUN}{_ENDS}|it (?:run|started|plugged in)\b)",
    r"\b(?:leaving|keeping|rather leave|rather keep|gonna leave|gonna keep) (?:it|this|that|her) (?:off|unplugged|dead)\b(?! (?:all|for|over) )",
    r"\bno (?:la|lo) (?:quiero |voy a |pienso |puedo )?(?:volver a )?(?:prend|arranc|enciend|encend|conect|enchuf)\w+",
    r"\bno (?:quiero|voy a|pienso) (?:volver a )?(?:prend|arranc|encend|conect|enchuf)er?\w*(?:la|lo)\b")))
"""The tech will not run it, or says that it must not be run. 'It won't run' is what the machine does."""
_BY_HAND: Final = re.compile(r"\bby hand\b|\bwith (?:my|a) (?:hand|finger)s?\b")
_UNPLUGGED: Final = re.compile(
    r"\b(?:(?:its|it is|it|shes|machine(?:s| is)?|washer(?:s| is)?|dryer(?:s| is)?|ive got it|i have it|have it|got it|all|"
    r"already|is|i|we|and|but|still) )*"
    r"(?:(?<!was )(?<!were )(?<!found it )(?<!came )(?<!got )unplugged(?: it)?(?: (?:already|now|here))?(?:,? (?:and|n|&) open(?:ed)?(?: up)?(?: already)?)?|"
    r"(?:the )?(?:plug|cord)s? (?:is |are )?(?:out|pulled)(?: of the wall)?|pulled the plug|desenchufad[ao])\b"
    r"(?! (?:for|to|and (?:plugged|then)|then|before|when|while|last|over|a (?:few|couple)))")
_COVER: Final = (
    r"(?:panel|cover|back|front|top|cabinet|shell|housing|console|bottom|hood|kick ?plate|toe ?kick|skin|tapa)s?"
    r"(?: (?:panel|cover|plate))?")
_OPEN: Final = re.compile(
    r"\b(?:(?:its|it is|it|shes|machine(?:s| is)?|washer(?:s| is)?|dryer(?:s| is)?|ive got it|ive got|i have it|have it|got it|"
    r"i got|got|have|all|already|is|i|and|but|with|the) )*"
    r"(?:(?:taken |took it |tore it |pulled )?apart\b|in (?:pieces|bits)|torn down|stripped down|disassembled|opened up|"
    r"open on the (?:bench|floor)|open (?:already|now)|already open(?:ed)?|open in front of me|"
    r"(?:laid |lying |laying |tipped |is )?on its (?:side|back|face|front)|"
    rf"(?:the )?{_COVER}(?: is| are|s)? (?:already |all )?(?:off|out|removed)|"
    r"desarmad[ao])\b(?: (?:already|now|here|in front of me|on the (?:floor|bench)))?")
_TOGETHER: Final = re.compile(
    r"\b(?:plugged (?:it )?(?:back )?in (?:again|now)|plugged (?:it )?back in|(?:its|all|got it|put it|is) back together|"
    r"ok to run(?: it)?(?: now)?|(?:ill|i can|can|ready to|going to|gonna) run it(?: now| after all| again)?)\b")
_ASKS: Final = re.compile(r"\?|^\W*(?:do|should|shall|can|could|what|which|how|why|where|if) ")


def says_not_run(text: str) -> tuple[str, str] | None:
    """'will_not' or 'open', and the words that are left; None where words say neither. `text`: plain, without apostrophes.

    'open': both unplugged and open; whether one of them is enough depends on what is asked (`says_open`).
    """
    if _ASKS.search(text):
        return None
    found = _REFUSED.search(text)
    if found is not None and not _BY_HAND.search(text[found.start():found.end() + 12]):
        return "will_not", _without(text, _REFUSED)
    found = _UNPLUGGED.search(text)
    if found is not None and (" open" in found.group() or _OPEN.search(text)):
        return "open", _without(text, _UNPLUGGED, _OPEN)
    return None


def says_open(parts: Sequence[str]) -> list[str] | None:
    """The other parts of a line of which one says that the machine is unplugged, or open, and nothing else; None where
    none does: 'still pouring in unplugged' tells of water."""
    if any(_ASKS.search(part) for part in parts):
        return None
    left = [part for part in parts if not (_UNPLUGGED.search(part) or _OPEN.search(part))
            or _without(part, _UNPLUGGED, _OPEN)]
    return left if len(left) < len(parts) else None


def says_together(text: str) -> bool:
    """Whether words say that it can run again: 'plugged it back in', 'back together'."""
    return _TOGETHER.search(text) is not None


def _without(text: str, *ways: re.Pattern[str]) -> str:
    for way in ways:
        text = way.sub(" ", text)
    left = " ".join(text.split())
    return re.sub(r"^(?:[\s,.;:!-]|(?:and|but|so|because|cause|cuz|cos|as|since)\b)+|"
                  r"(?:[\s,.;:-]|\b(?:and|but|so|because|the|already|sorry|no|nope|nah))+$", "", left)
