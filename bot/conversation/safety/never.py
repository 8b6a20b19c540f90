"""'Can I jump the fuse?', 'can I top it up', 'I'll chip the ice off': asked or announced, and answered no before all
else, with the safe way."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.safety.oven_by_hand import lights_oven_by_hand
from bot.language.words.text import drop_apostrophes

_MEANT: Final = re.compile(
    r"\?|\b(can|could|should|may|shall|do|if|ok if|when) (i|we)\b|\b(i'?ll|ill|gonna|going to|let me|lemme|"
    r"want to|wanna|i could|i can|about to|ok to|okay to|safe to|thinking of|im using|using|puedo|voy a)\b",
    re.IGNORECASE)
_TOLD: Final = re.compile(
    r"\b(was|were|been|chipped|scraped|used|did|tried|thawed|melted|defrosted|took|went|had|says?|said|before|already|"
    r"last)\b", re.IGNORECASE)
_PLANNED: Final = re.compile(
    r"\b((can|could|should|may|shall|if|do) (i|we)|i'?ll|ill|gonna|going to|let me|lemme|want to|wanna|about to|"
    r"ok to|okay to|safe to|puedo|voy a)\b", re.IGNORECASE)
"""With a '?' alone, what was used once is a story: 'they used a hair dryer, so what now?'."""
_REFUSED: Final = (r"(?<!\bno )(?<!\bnot )(?<!\bnever )(?<!\bwithout )(?<!\bnot a )(?<!\bnot the )(?<!\bnot use a )"
                   r"(?<!\bwont use a )")


def _way(*ways: str) -> re.Pattern[str]:
    return re.compile("|".join(ways), re.IGNORECASE)


_TRIPS: Final = (r"(?:rcds?|gfcis?|gfis?|elcb|rcbo|afci|ground fault|earth leakage|trip switch|"
                 r"protected (?:outlet|socket)|diferencial)")
_SAFETY: Final = (
    r"(?:fuse|limit|thermostat|cut.?off|cutout|tco|switch|interlock|lid|door|lock|latch|strike|float|overload|"
    r"protector|safety|safeties|sensor|fusible|termostato|seguro|it|them)")
_SHARP: Final = (r"(?:screw ?driver|knife|blade|chisel|hammer|ice pick|pick|scraper|putty knife|spatula|pry ?bar|"
                 r"crow ?bar|something sharp|desarmador|cuchillo)")
_NOT_DONE: Final[dict[str, re.Pattern[str]]] = {
    "never.bridge": _way(
        r"(?<!hand )(?<!arm )(?<!fingers )(?<!wool )(?<!school )\b(?:bridge|bridging|jump|jumper|jumping|bypass|"
        rf"bypassing|short (?:out|across)|defeat|puentear)\b.{{0,30}}\b{_SAFETY}\b",
        r"\b(?:tape|tie|zip.?tie|wedge)(?: \w+)? (?:the |that |this |its )?(?:\w+ )?(?:switch|interlock|lock|latch|"
        r"strike|float)\b", r"\b(?:tape|tie|zip.?tie) (?:it|(?:the |that )?(?:lid|door))\b",
        r"\b(?:run|running|try|trying|test|start|use) (?:it|her|this|the \w+) without (?:the |a |its )?(?:\w+ )?"
        r"(?:fuse|limit|thermostat|switch|lock|latch|float|overload)\b"),
    "never.gas_valve": _way(
        r"\b(?:open|turn|switch|crack|put)\w*(?: back)?(?: on)? (?:the |that |its |my )*"
        r"(?:gas(?: valve| cock| shut ?off)?|valve|shut ?off|cock)(?: back)?(?: on| open| up)?\b(?! off)"),
    "never.sealed_system": _way(
        r"\b(?:top(?:ping)? (?:(?:it|this|that|her) )?up|top(?:ping)? (?:it|this|that|her) off|topping off|recharge|"
        r"charge (?:it|the (?:system|fridge|unit|compressor|line))|"
        r"add (?:some )?(?:gas|freon|refrigerant)|"
        r"pierc\w+|tap (?:into|(?:the |a )?(?:suction|process|line|tube))|put gauges|gauges on|"
        r"vent (?:it|the refrigerant)|let the (?:gas|refrigerant) out)\b"),
    "never.bigger_fuse": _way(
        r"\b(?:bigger|larger|higher|heavier|more) (?:amps? )?(?:fuse|breaker)\b|\bhold the breaker\b"),
    "never.hot_air": _way(
        _REFUSED + r"\b(?:heat ?guns?|hot.?air guns?|blow ?torch|blow ?lamp|(?:propane|butane|gas|plumb\w+|weed) "
        r"torch|(?:a|my|the) lighter|hair ?dr[yi]ers?|blow ?dr[yi]ers?|(?<!like a )(?:space|fan) heater|soplete|"
        r"pistola de calor|secadora de pelo)\b",
        r"\b(?:melt|thaw|heat|warm|defrost)\w*\b.{0,40}" + _REFUSED + r"\b(?:torch|flame|open fire|candle)\b",
        r"\btorch (?:it|the ice|the frost|the coil)\b"),
    "never.chip": _way(
        r"(?<!\ba )\b(?:chip|chisel|stab|hack)\w*\b(?:(?!\bno\b|\bnot\b).){0,30}\b(?:ice|frost|it)\b(?! maker)",
        r"\b(?:scrap|pick|pry|jab)\w*\b(?:(?!\bno\b|\bnot\b).){0,20}\b(?:ice|frost)\b(?! maker)",
        r"\b(?:knock|break|dig|smash|bang|lever|cut|get|hit|clean|free)\w*\b.{0,30}\b(?:ice|frost)\b(?! maker).{0,30}"
        rf"{_REFUSED}\b{_SHARP}\b",
        r"\bpicar el hielo\b"),
    "never.past_the_trip": _way(
        r"\b(?:bypass\w*|jump\w*|get (?:a)?round|go (?:a)?round|skip\w*|take out|taking out|remov\w+|defeat\w*|"
        rf"disconnect\w*)\b.{{0,25}}\b{_TRIPS}\b",
        r"\b(?:plug|run|try|put|use|test|power|hook)\w*\b.{0,40}\b(?:without|no|not|isnt|off|non|past|around)\b "
        rf"(?:on |a |an |any |the |through |your )*{_TRIPS}\b",
        rf"\b{_TRIPS}\b(?:(?!\b(?:hasnt|didnt|doesnt|not)\b).){{0,40}}\b(?:extension|(?:normal|plain|regular|standard|ordinary|unprotected|other|different|"
        r"another) (?:outlet|socket|receptacle))\b"),
    "never.no_ground": _way(
        r"\b(?:cut|snap|break|bend|pull|lift|remov\w*|take|clip)\w*(?: off| out)? (?:the |its )?(?:ground|earth|round)"
        r"(?:ing)? (?:pin|prong)\b",
        r"\bcheater (?:plug|adapter)\b|\b(?:3|three).(?:to|2).?(?:2|two)?.?(?:prong )?adapter\b",
        r"\b(?:run|try|plug|use)\w* (?:it|her|this) (?:in )?without (?:a |the )?(?:ground|earth)\b"),
    "never.tipped_live": _way(
        r"\b(?:tip|tilt|lay|lean|roll|turn)\b.{0,40}\b(?:with (?:the |its )?(?:plug in|power on)|plugged in|still on|"
        r"while its on|live)\b",
        r"\b(?:tip|tilt|lay|lean) (?:it|her|the (?:machine|dishwasher|washer|unit))\b.{0,20}\b(?:drain|empty|pour|"
        r"(?:get|let) (?:the |that )?water|run out)\b"),
    "never.flame_at_gas": _way(
        r"\b(?:lighter|match(?:es)?|flame|candle)\b.{0,25}\b(?:check|find|test|look|see|sniff)\b.{0,25}\bleak\w*\b",
        r"\bleak\w*\b.{0,30}\bwith (?:a |my |the )?(?:lighter|match(?:es)?|flame|candle)\b"),
    "never.bare_blade": _way(
        r"\b(?:short|discharge|cross|touch|zap|arc|drain)\b.{0,30}\bcap(?:acitor)?\b.{0,30}"
        r"\b(?:screw ?driver|pliers|wrench|blade|bare wire)\b",
        r"\b(?:screw ?driver|pliers|wrench|blade)\b.{0,20}\bacross\b.{0,20}\bcap(?:acitor)?\b"),
}
_ONLY: Final[dict[str, frozenset[str]]] = {
    "never.sealed_system": frozenset({"refrigerator"}), "never.hot_air": frozenset({"refrigerator"}),
    "never.chip": frozenset({"refrigerator"}), "never.flame_at_gas": frozenset({"range", "dryer"}),
    "never.gas_valve": frozenset({"range", "dryer"})}
"""What is said of any machine means something else on most of them: a hair dryer dries a wet plug well enough."""
_DONE: Final = re.compile(
    rf"(?:^|\b(?:i|we|just|so)\b)\W*(?:just )?(?:bypassed|jumped|skipped|got round|got around)\b.{{0,25}}\b{_TRIPS}\b|"
    r"\b(?:i|we)\b.{0,20}\b(?:ran|plugged|tried|put|have)\b.{0,40}\b(?:without|no|not on|past)\b "
    rf"(?:a |an |any |the )*{_TRIPS}\b",
    re.IGNORECASE)
"""Gone past by the tech himself: it is not done again."""


def never(text: str, family: str | None) -> str | None:
    """The key of the answer to what is never done, if the words ask for it or announce it."""
    said = drop_apostrophes(text)
    if _DONE.search(said):
        return "never.past_the_trip"
    if family == "range" and lights_oven_by_hand(said):
        return "never.oven_by_hand"
    for sentence in _sentences(said):
        if not _MEANT.search(sentence) or (_TOLD.search(sentence) and not _PLANNED.search(sentence)):
            continue
        key = next((key for key, way in _NOT_DONE.items()
                    if (key not in _ONLY or family in _ONLY[key]) and way.search(sentence)), None)
        if key is not None:
            return key
    return None


def _sentences(text: str) -> list[str]:
    """Sentence by sentence, so that a question at the end of a story asks nothing of its beginning; 'heat gun. ok?' is
    one."""
    found: list[str] = []
    for sentence in re.findall(r"[^.!?;\n]+[.!?;\n]*", text):
        if found and min(len(sentence.split()), len(found[-1].split())) <= BARE:
            found[-1] += sentence
        else:
            found.append(sentence)
    return found


BARE: Final = 3
"""Words of a sentence up to which it belongs to the one beside it."""
