"""Questions that techs put: which words of a line ask, and what they want to know.

Words only; what is said to them is settled in `bot/conversation/steering/asked_back.py`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from bot.language.words.text import drop_apostrophes

Wants = Literal["how", "where", "why", "look", "needed", "chance"]

_WHO: Final = r"(?:i|we|you|u|ya|one|they|he|she|it|that|this|the|these|those)"
_LOOK: Final = (r"(?:check|test|measure|meter|look|try|see|ohm|inspect|swap|open|start with|go (?:for|to|with|"
                r"straight)|"
                r"do|rule out)")
_FORMS: Final[dict[Wants, str]] = {
    "why": r"(?:why|how come|what for)\b(?!.*\b(?:i|we) (?:called|came|asked|told)\b)|"
           r"how (?:sure|certain|confident)\b|(?:(?:are|r) )?(?:you|u|ya) (?:(?:that|really|so|absolutely) )?"
           r"(?:sure|certain|positive)\b|"
           r"what(?:s| is| would| could| might| does| did| will)?(?: (?:make|makes|made|making))\b|"
           r"what(?:s| is| would| could| might| does| did)? (?:cause|causes|caused|causing|bring|brings|kill|kills|"
           r"killed)\b|"
           r"(?:y )?por ?que\b",
    "how": rf"how (?:(?:do|does|would|can|could|should|am|are|is) {_WHO}\b|to\b|the hell|exactly)|hows {_WHO}\b|"
           rf"which way (?:do|does|is) {_WHO}|show me\b|(?:does|do) (?:{_WHO} )?(?:\w+ )?(?:need|have|got) to\b|"
           r"whats (?:in )?(?:the |that )?(?:how|steps)\b|c[oó]mo (?:se |la |lo |le )?(?:saco|quito|hago|mido|"
           r"pruebo|abro|"
           r"reinicio|hace|quita|saca|abre)\b",
    "where": rf"where (?:the hell |exactly |abouts )?(?:(?:is|are|do|does|would|can|could|should|will) {_WHO}\b|s\b)|"
             rf"wheres\b|whereabouts\b|where (?:to find|on (?:it|this|that))\b|(?:on )?which side\b|d[oó]nde (?:est|"
             rf"va|queda)",
    "needed": r"(?:is|are|was) (?:this|that|it|these|all this|all that)(?: one)?(?: (?:really|even|actually|truly|"
              r"still))*"
              r" (?:needed|necessary|required|worth it)\b|"
              r"(?:do|must) (?:i|we)(?: (?:really|even|actually|still))* (?:have to|need to|need (?:this|that))\b.*|"
              r"(?:why |what )?does (?:this|that|it)(?: (?:really|even|actually))* matter\b|whats? (?:is )?the point\b",
    "look": rf"(?:should ?nt|should|can|could|cant|may|shall|must ?nt|ought ?nt|wouldnt) (?:i|we|you|u)(?: (?:just|"
            rf"maybe|"
            rf"not|also|better|first|rather|try to|at least|simply|then))* {_LOOK}\b|"
            rf"(?:want me to|do you want me to|ok(?:ay)? (?:if i|to)|why not|why dont (?:i|we|you)|how about(?: i)?)"
            rf"(?: just| first)? {_LOOK}\w*\b",
    "chance": r"(?:so )?(?:its |it is |then )?(?:not|no) (?!more\b)(?:the |a |an |its )?[a-z]|"
              r"(?:so )?(?:could|might|would|cant|couldnt) "
              r"(?:(?:it|that|this) )?(?:not )?be\b|(?:so )?(?:isnt|is) (?:it|that) (?:not )?(?:the|a|an)\b|"
              r"(?:(?:are|r) )?(?:you|u|ya|we) (?:(?:that|really|so|absolutely) )?(?:sure|certain|positive)(?: that)?"
              r" (?:(?:its|it is|that|this|it)(?: is)? )?(?:not|isnt|aint|couldnt be|cant be) (?:the|a|an|its)\b|"
              r"(?:what|how) about (?:the|a|an|its) (?!customer|price|cost)[a-z]|"
              r"(?:could|might|would|can) (?:the|its|that) \w+(?: \w+)? (?:also |maybe )?be (?:bad|toast|gone|dead|"
              r"shot|fried|cooked|the (?:problem|cause|trouble|culprit)|it|causing|doing)\b|"
              r"(?:maybe|perhaps|possibly|prob|probably) (?:its|it is|thats|just) (?:the|a|an)\b",
}
"""What a question wants -> how it begins, without apostrophes."""
_ORDER: Final[tuple[Wants, ...]] = ("needed", "look", "chance", "why", "how", "where")
_COMPILED: Final = {wants: re.compile(form, re.IGNORECASE) for wants, form in _FORMS.items()}
_MARKED: Final = frozenset({"chance"})
"""Those that are questions only with their mark: 'not the bearings' alone is an answer. 'Could it be the element' is
one without it."""
_TURNED: Final = re.compile(
    r"(?:so )?(?:could|might|would) (?:it|that|this)\b|"
    r"(?:(?:are|r) )?(?:you|u|ya|we) (?:\w+ )?(?:sure|certain|positive)\b", re.IGNORECASE)
_BEFORE: Final = re.compile(
    r"^\W*(?:(?:but|and|so|ok|okay|yes|yeah|no|nope|wait|hey|um+|uh+|well|then|first|also|ah|oh|man|again|still|just|"
    r"sorry|please|pero|entonces|(?:i|im)(?: just| only)? (?:mean|meant|asked|ask|asking|said|wonder|"
    r"wondering)(?: you)?|"
    r"(?:can|could) you tell me|tell me|(?:do )?you know|whats|the question (?:is|was))\b\W*)*", re.IGNORECASE)
_ENDS: Final = re.compile(r"(?<=[.?!;\n])\s+|(?<!\d),\s*|,\s+(?!\d)|\s+-+\s+", re.IGNORECASE)
_TURNS: Final = re.compile(r"\s+(?=(?:but|and|so|pero) (?:then )?(?:why|how|where|wheres|should|shouldnt|can|could|"
                           r"what|"
                           r"por ?que)\b)", re.IGNORECASE)
_TAG: Final = re.compile(
    r"[\s,.]*\b(?:is (?:that|it) )?(?:good|ok|okay|right|correct|fine|yes|yeah|yep|huh|no|true|si|verdad|all good|"
    r"enough)"
    r"\s*\?+\s*$", re.IGNORECASE)
STEPS: Final = frozenset({"how", "where"})


@dataclass(frozen=True, slots=True)
class Asks:
    """One question of a tech. `about`: its words, without apostrophes."""

    wants: Wants
    about: str


def apart(text: str) -> tuple[list[Asks], str]:
    """The questions of a line, and what it tells besides: 'got one, but why did it burn out' tells 'got one'."""
    asked: list[Asks] = []
    told: list[str] = []
    for piece in _pieces(text):
        one = _asks(piece)
        if one is not None:
            asked.append(one)
            told.extend([rest] if (rest := _beyond(piece, one)) else [])
        else:
            told.append(piece)
    left = " ".join(told).strip(" ,;-")
    return (asked, left) if asked else ([], text)


def without_tag(text: str) -> str:
    """'Still running after 25 min, good?' tells, and only asks for a nod."""
    return _TAG.sub("", text) or text


def _asks(piece: str) -> Asks | None:
    said = drop_apostrophes(piece)
    bare = _BEFORE.sub("", said)
    for wants in _ORDER:
        begins = _COMPILED[wants].match(bare)
        if begins is not None and (
                wants not in _MARKED or piece.rstrip().endswith("?") or _TURNED.match(bare)):
            return Asks(wants, bare.strip(" ?.!,"))
    return None


def _beyond(piece: str, one: Asks) -> str:
    """What is told on after a short question: 'why does that matter it never gets warm'."""
    if one.wants != "needed":
        return ""
    bare = _BEFORE.sub("", drop_apostrophes(piece))
    found = _COMPILED["needed"].match(bare)
    return bare[found.end():].strip(" ?.!,") if found else ""


def _pieces(text: str) -> list[str]:
    """A line where one thing said ends and a question may begin; commas stay with what they end."""
    pieces, last = [], 0
    for found in sorted([*_ENDS.finditer(text), *_TURNS.finditer(text)], key=lambda m: m.start()):
        if found.end() > last:
            pieces.append(text[last:found.start()] + ("," if "," in found.group() else ""))
            last = found.end()
    pieces.append(text[last:])
    return [piece for piece in pieces if any(c.isalnum() for c in piece)]
