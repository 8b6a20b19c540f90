"""A danger that one denies and another, or a later moment, affirms: 'she doesnt smell gas, i do', 'no smoke before, now
there is'. The second half does not name it, so it is found by the first; what anybody smelt counts as there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Final, NamedTuple

from bot.language.meaning import Hazard
from bot.language.words.text import word_set

_NO: Final = (r"(?:no|not|never|none|nobody|noone|nothing|without|isnt|arent|aint|dont|doesnt|didnt|wasnt|werent|cant|"
              r"cannot|couldnt|havent|hasnt|wont|nor|sin|nunca)")
_KIN: Final = (r"(?:customers?|owners?|homeowners?|helpers?|neighbou?rs?|wife|husband|kids?|son|daughter|child|baby|"
               r"lady|man|guys?|woman|tenants?|landlord|super|mom|mother|dad|father|boss|partner|tech|apprentice|"
               r"friend|boyfriend|girlfriend|nephew|others?|cliente|senora|vecin[oa]|ayudante)")
_WHO: Final = (rf"(?:i|we|you|he|she|they|(?:the |my |her |his |our |el |la |mi )?{_KIN}|somebody|someone|everybody|"
               r"everyone)")
_WHOM: Final = rf"(?:me|us|you|him|her|them|(?:the |my |her |his |our )?{_KIN})"
_ADVERB: Final = r"(?:(?:sure|definitely|still|really|clearly|certainly|just|now|always|sometimes|kinda|most) )"
_END: Final = (r"(?= *$| [.,;:!)\n]| (?:tho|though)(?: *$| [.,;])| (?:now|today|again|too|clear as|for sure|alright|"
               r"every|all the|when|whenever|once|right now|this|strong|loud|and|but|plain)\b)")
"""After it nothing more is said of what somebody does: 'i do', not 'i do hear a click'."""
_PLACE: Final = rf"(?:{_END}|(?= (?:at|on|in|by|near|from|around|under|behind|with|out|coming)\b))"

_STEP: Final = (rf"(?:[.,;:!()\n-]|but|and|though|tho|although|however|yet|well|while|whereas|then|now|today|tonight|"
                rf"yesterday|just|earlier|lately|anymore|inside|outside|here|upstairs|downstairs|underneath|either|"
                rf"suddenly|too|ok|sorry|wait|actually|myself|himself|herself|anybody|anyone|antes|pero|hoy|says?|said|"
                rf"swears?|thinks?|claims?|told|tells|insists?|i was wrong|(?:i )?take (?:that|it) back|scratch that|"
                rf"this (?:morning|time)|dice|que|{_WHOM}|{_WHO})")
"""What may stand between the two halves: who says it, and when."""
_SIDE: Final = (rf"(?:(?:at|on|in|from|with|without|when|while|as|till|until|before|by|around|near|coming|out|to|for|"
                rf"under|behind|the|an?|me|him|her|us|last|this)(?: (?!{_NO}\b|but\b|[.,;:!?\n])\S+){{0,6}}? "
                rf"(?=(?:[.,;!\n-]|but|and|though|now|then)(?: |$)))?")
"""'No gas smell at the flex, ...', '... till i moved it, ...': the first half's own place or time."""

_DOES: Final = r"(?:do|does|did|can|could|have|has|had|am|are|was|were|is)"
_AFFIRMED: Final = (
    rf"{_WHO} {_ADVERB}?{_DOES}{_END}"
    rf"|(?:it|that) {_ADVERB}?(?:does|did|is|was|has)(?: (?:to|for) {_WHOM})?{_END}"
    rf"|(?:there {_ADVERB}?(?:is|was|are|were)|theres(?: one| some| a little)?){_PLACE}"
    rf"|{_DOES} (?:now|today|again|(?:to|for|with) {_WHOM}|the (?:second|next|third) time|barefoot|"
    r"when|whenever|without)\b"
    rf"|(?:do|does|did) (?:me|him|us|the (?:second|next|third)){_END}"
    rf"|just (?:did|does|now){_END}"
    r"|(?:a little|a bit|some|plenty|lots) (?:now|today|tonight|again)\b"
    rf"|(?:its|it is) {_ADVERB}?(?:back|there|strong|stronger|faint|everywhere|all over){_END}"
    rf"|(?:it )?came back{_END}"
    rf"|(?:says?|said|swears?) (?:yes|yeah|yep|otherwise|different|she does|he does|they do|"
    rf"(?:it|there) (?:is|was|does|did)){_END}"
    rf"|(?:ahora|yo|ella|el|hoy|(?:mi|la|el|su) \w+)(?: ya)? si{_END}")
_SEEN: Final = r"(?:it|them|one|some|something|that|a whiff|a little|a bit|plenty)"


def _perceived(verbs: str) -> str:
    return rf"|{_WHO} {_ADVERB}?(?:(?:do|did|can|could|have) )?{_ADVERB}?(?:{verbs}) {_ADVERB}?{_SEEN}{_PLACE}"


_GETS: Final = rf"|{_WHO} {_ADVERB}?(?:get|gets|got|getting) (?:a whiff|some|one){_PLACE}"


class _Told(NamedTuple):
    """How a hazard is named, and what affirms it besides the ways that all have in common."""

    topic: str
    also: str


_SMELL: Final = r"smell(?:s|ed|ing|in)?|smelt|odou?r|whiff|hint|trace|scent"
_BY_HAZARD: Final[Mapping[Hazard, _Told]] = {
    "gas": _Told(
        rf"(?:(?:{_SMELL}|leak\w*)(?: (?:any|of|like|some|the|a)){{0,3}} (?:gas|propane|rotten eggs)|"
        rf"(?:gas|propane)(?: (?:{_SMELL}|leaks?|leaking))|(?:huele|olia|olor|oler) a gas|"
        r"(?:(?<=not )|(?<=isnt )|(?<=aint ))gas)",
        _perceived(r"smell\w*|smelt|notice\w*|caught|taste\w*") + _GETS),
    "co": _Told(r"(?:(?:co|carbon monoxide|monoxide)(?: (?:alarm|detector|monitor|meter|reading))?|headaches?|dizzy)",
                rf"|(?:it|its|(?:the )?(?:alarm|detector)) {_ADVERB}?(?:(?:is|was|went|goes|keeps|started) )?"
                rf"(?:(?:going )?off|beep\w*|chirp\w*|scream\w*|ringing)\b"
                rf"|{_WHO} (?:has|have|had|got) (?:one|some|it)\b"
                r"|(?:hers?|his|mine|theirs|ours|meter) (?:says |reads |shows )?[1-9]\d* ?ppm"),
    "fire": _Told(
        rf"(?:smok(?:e|es|ed|ing|in)|sparks|spark(?:ed|ing)|arc(?:s|ed|ing)|(?:burning|burnt) smell|flames|"
        rf"(?:{_SMELL})(?: \w+){{0,2}} burn(?:ing|t)|humo|chispas)",
        _perceived(r"smell\w*|smelt|see|saw|notice\w*|caught") + _GETS),
    "injury": _Told(r"(?:hurt|injured|bleeding|burn(?:ed|t)?|scalded|cut)",
                    rf"|(?:it )?{_ADVERB}?(?:burned|burnt|scalded|hurt|cut|hit) {_WHOM}{_END}"),
    "shock": _Told(r"(?:shock(?:s|ed|ing)?|zap(?:s|ped|ping)?|tingl(?:e|es|ing)|jolt(?:s|ed)?|bite|buzz)",
                   rf"|(?:it )?{_ADVERB}?(?:got|bit|shocks?|shocked|zaps?|zapped|nailed|lit) {_WHOM}\b"
                   + _perceived(r"feel|felt|notice\w*") + _GETS),
    "flood": _Told(r"flood(?:ed|ing|s)?", rf"|(?:its|it is) {_ADVERB}?flood\w+"),
}
_TOPICS: Final = {hazard: re.compile(rf"(?<!\S)(?:{told.topic})(?!\S)") for hazard, told in _BY_HAZARD.items()}


@cache  # a tenth of a second for all of them, and most visits need none
def _halves(hazard: Hazard) -> re.Pattern[str]:
    """A hazard that is denied and, in the next breath, affirmed."""
    told = _BY_HAZARD[hazard]
    return re.compile(
        rf"(?<!\S)(?:{_NO} (?:(?!{_NO}\b|but\b|[.,;:!?\n])\S+ ){{0,4}}?(?P<topic>{told.topic})|"
        rf"(?P<asked>{told.topic}) \? (?:no|nope|nah))(?: |$)"
        rf"{_SIDE}(?:{_STEP} ){{0,9}}?(?P<again>{told.also.removeprefix('|') + '|' if told.also else ''}{_AFFIRMED})")


_ASKS: Final = re.compile(r"\b(?:if|should|would|unless) *$")


def after_all(line: str) -> Iterator[tuple[Hazard, tuple[int, int]]]:
    """The hazards that a line (lower case, its words and marks one space apart) denies in one breath and affirms in the
    next, each with its span."""
    if _DENYING.isdisjoint(line.split(" ")):
        return
    for hazard, topic in _TOPICS.items():
        if not topic.search(line):
            continue
        for found in _halves(hazard).finditer(line):
            if _ASKS.search(line[:found.start("again")]) or line[found.end():].lstrip().startswith("?"):
                continue
            yield hazard, (found.start("topic" if found.group("topic") else "asked"), found.end())
            break


_DENYING: Final = word_set(_NO.strip("(?:)").replace("|", " ") + " nope nah")
