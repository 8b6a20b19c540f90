"""Dangers that words tell of the machine at hand: a hiss at the flex of what burns gas, a hole in a fridge's coil.

What is dangerous by its words alone stands in `hazards.py`; here they need the machine or the sentence to mean it.
"""

from __future__ import annotations

import re
from typing import Final

from bot.language.dangers.wet_mains import water_is_danger
from bot.language.meaning import Hazard

_NOT: Final = (r"(?<!\bno )(?<!\bnot )(?<!\bnever )(?<!\bwithout )(?<!\bisnt )(?<!\barent )(?<!\bdont )(?<!\bdoesnt )"
               r"(?<!\bsign of )(?<!\bsigns of )")
_GAP: Final = r"(?:(?!\b(?:no|not|never|nothing|isnt|arent|dry|if)\b)[^.;:!?()]){0,30}?"
_PIPE: Final = (r"\b(?:flex(?: line| hose)?|gas ?(?:line|pipe|hose|valve)|shut ?off(?: valve)?|fittings?|connector|"
                r"union|regulator|flare ?nut|flare|pigtail|gas cock)\b")
_MAINS: Final = (r"\b(?:outlets?|receptacles?|(?<!spark )(?<!drain )plugs?|(?<!extension )cords?|breaker panel|"
                 r"terminals?)\b")
_LIMB: Final = r"(?:hands?|fingers?|thumbs?|arms?|legs?|feet|foot|toes?|eyes?|face|head|wrist|palms?|knuckles?)"
_WHO: Final = r"(?:me|him|us|them|(?:the |a )?(?:customer|kid|child|boy|girl|helper|guy))"


def _both(one: str, other: str) -> str:
    return rf"{_NOT}{one}{_GAP}{other}|{_NOT}{other}{_GAP}{one}"


def _words(*ways: str) -> re.Pattern[str]:
    return re.compile("|".join(ways), re.IGNORECASE)


_GAS: Final = _words(
    _both(_PIPE, r"\b(?:hiss\w*|bubbl\w+|leak(?![ -]?(?:test|check))\w*|cracked|split|snapped)\b"),
    rf"{_NOT}\bbubbl\w+\b{_GAP}\b(?:soap|leak test|spray)\b|{_NOT}\bsoap\b{_GAP}{_NOT}\bbubbl\w+",
    r"\bgas (?:just )?(?:keeps?|is still|still|wont stop) (?:coming|flowing|leaking|escaping|blowing|pouring)\b",
    r"^\W*gas\s*!+\W*$", r"\bmercaptan\b",
    r"\b(?:bunch|lot|lots|cloud|full) of (?:\w+ )?gas\b(?! (?:ranges?|dryers?|stoves?|calls?|jobs?|appliances?))",
    rf"{_PIPE} (?:just |has )?(?:came|come|popped|pulled|blew|broke|tore) (?:off|out|loose)\b")
_ILL: Final = (r"(?:(?<!is a )(?<!was a )(?<!being a )(?<!such a )(?<!is a real )(?<!is a proper )"
               r"headaches?|"
               r"dizzy|nauseous|nausea|light ?headed|feel\w* (?:sick|faint|ill|funny)|"
               r"(?:getting|got|get) (?:sick(?! of)|woozy|dizzy)|woozy)\b")
_CO: Final = _words(
    r"\b(?:i|im|we|he|she|they|us|me|wife|husband|kids?|customers?|cust|owner|lady|everyone|everybody|family|people|"
    r"tenants?|helper|mom|mother|dad|father|son|daughter|man|woman|baby)\b"
    rf"{_GAP}\b{_ILL}",
    r"\b(?:my|his|her|their|our|everyones?|everybodys|wifes|customers) heads? (?:is |are |was )?(?:really |just )?"
    r"(?:hurt\w*|ach(?:es?|ing)|pound\w*|throb\w*|split\w*|spin\w*|swim\w*|light)\b",
    rf"{_NOT}\bheadaches?(?: \w+){{0,2}} (?:in (?:the )?(?:kitchen|laundry|house|room|basement)|when\w*|since|after|"
    r"while|from (?:it|the (?:fumes|stove|range|oven|dryer|burner|flames?)))\b",
    r"\b(?:duele|dolor de) (?:mucho )?(?:la )?cabeza\b")
_HISS: Final = _words(_both(r"\bhiss\w*\b", r"\b(?:coils?|evap\w*|lines?|tub(?:e|es|ing)|back wall|liner)\b"))
_HISS_NOW: Final = _words(
    r"\b(?:knife|screwdriver|blade|scraper|pick|drill|chisel|spatula|tool|hand)\b(?: \w+){0,2} "
    r"(?:slipped|slid|went (?:in|through|thru|into))\b[^.;!?]{0,40}\bhiss\w*",
    r"\b(?:but|now|today)\b(?: (?:its|it is|theres|there is|i hear|i can hear|a))* (?:just )?(?:started )?hiss\w*\b"
    r"(?! (?:when|after|once|as)\b)" + _GAP + r"\b(?:coils?|evap\w*|tub(?:e|es|ing)|back wall|liner)\b")
_SHORT: Final = 6
"""Words up to which a hiss is what has just happened; in a longer account it may be how the machine sounds."""
_REFRIGERANT: Final = _words(
    r"\b(?:poked|nicked|punctured|stabbed|pierced|drilled|hit|went through|put a hole)\b" + _GAP
    + r"\b(?:coils?|evap\w*|lines?|tub(?:e|es|ing)|liner|back wall)\b",
    r"\boily mist\b", r"\bsmells? sweet\b" + _GAP + r"\bhiss\w*|\bhiss\w*" + _GAP + r"\bsmells? sweet\b")
_OIL: Final = r"\b(?:oil(?:y|s)?|aceite)\b"
_ESCAPES: Final = (r"\b(?:hiss\w*|fizz\w*|psst|spray\w*|spit(?:s|ting)|mist(?:s|ing)?|blow(?:s|ing) out|"
                   r"gas (?:is |just |still )?(?:com\w+|escap\w+|leak\w+|blow\w*)|escap(?:es|ing)|sise\w+|silb\w+)\b")
_AND: Final = r"(?:(?!\b(?:no|not|never|nothing|isnt|isn't|arent|dont|don't|without|dry|if|sin|ni)\b)[^?]){0,80}?"
_NOT_AFTER: Final = (r"(?!(?:\W+\w+){0,5}?\W+(?:when|after|once|as|whenever) (?:it|the \w+) "
                     r"(?:stops|shuts|turns|cycles|clicks|quits|kicks))")
_SEALED_PLACE: Final = (r"\b(?:(?:compressor )?(?:pins?|terminals?)|braze\w*|weld|process (?:tube|stub)|drier|"
                        r"pinch.?off|solder\w*)\b")
_OIL_AND_HISS: Final = _words(
    rf"{_NOT}{_OIL}{_AND}{_NOT}{_ESCAPES}{_NOT_AFTER}", rf"{_NOT}{_ESCAPES}{_NOT_AFTER}{_AND}{_NOT}{_OIL}",
    rf"{_NOT}{_OIL} (?:is |are )?bubbl\w+", _both(r"\bhiss\w*\b" + _NOT_AFTER, _SEALED_PLACE))
"""Oil goes where the gas goes: oil at the pins or a joint, and a hiss, is refrigerant on its way out."""
_HAIR: Final = r"(?:eye ?brows?|eye ?lashes|lashes|(?:arm )?hairs?|beard|mou?stache)\b"
_FLASH: Final = (
    r"(?:\b(?:flames?|fire ?ball|flash(?:ed)?|fire|boom(?:ed)?|wh?oo+(?:sh|mph?)(?:e[ds])?|whump|blow ?back)\b|"
    r"\b(?:burner|gas|oven|dryer|it) (?:just )?"
    r"(?:lit|blew(?! (?:the |some |its |all (?:the )?)?(?:lint|dust|fluff|air|crumbs)\b)|went off|popped|flashed|"
    r"flared)\b)")
"""Gas that lights all at once: what comes out of the burner is in somebody's face."""
_HURT: Final = _words(
    rf"\b{_LIMB} (?:is|are|was|got|gets) (?:cut|sliced|bleeding|scalded|crushed|smashed|stuck|caught|pinned)\b",
    r"(?:^(?:got )?|\b(?:i|ive|he|she|they|we|customer|cust|owner|lady|guy|kid|helper|tech|somebody|someone) (?:got )?)"
    r"(?:cut|sliced|burn(?:ed|t)|scalded) by (?:the |a |some )?\w+",
    rf"\b(?:steam|water|oven|element|burner|drum|it) (?:burn(?:ed|t)|scalded) {_WHO}\b",
    rf"\b(?:slammed|fell|landed|came|dropped) (?:down )?on (?:{_WHO}|(?:my|his|her|their) {_LIMB})\b",
    rf"\bdropped\b[^.;!?]{{0,25}}\bon (?:my|his|her) {_LIMB}",
    r"\bcut (?:my|him|her)self\b(?! some)|\bcut (?:me|him)\b(?! (?:some|off|short|a|the))",
    r"\bgot (?:(?:his|her|their) (?:hands?|fingers?|arms?|hair|sleeve)|(?:my|a) \w+ (?:caught|stuck)) "
    r"(?:caught |stuck )?in (?:the|it)\b",
    rf"\b(?:tipped|fell|rolled|came down|dropped) (?:over |down )?on(?:to)? {_WHO}\b",
    rf"\b(?:hot|boiling|scalding) (?:water|steam|grease|oil)\b{_GAP}\b(?:on|over|in) (?:my|his|her|their) {_LIMB}",
    r"\b(?<!nearly had a )(?<!almost had a )(?<!gave me a )(?:heart attack|seizure|chest pains?)\b",
    rf"\b(?:singed|burned|burnt|lit|flashed|fried|took|scorched) (?:off |up )?(?:all )?(?:my|his|her|their) {_HAIR}",
    rf"{_NOT}\b{_HAIR} (?:(?:is|are|was|were|got|all|a bit|a little|just|half) )*"
    r"(?:singed|burn(?:ed|t)|fried|frizzled|scorched|gone)\b",
    rf"{_FLASH}{_GAP}\b(?:(?:in|into|at|on|to|up|hit|got|caught|lit|took) )+"
    rf"(?:(?:my|his|her|their) (?:{_LIMB}|{_HAIR})|{_WHO})\b",
    r"\b(?:is|isnt|isn't|not|stopped|stop|hardly|cant|can't) (?:breathing|breathe)\b",
    r"\b(?:he|she|hes|shes|they|i|im|helper|customer|kid|man|woman|lady|guy) (?:is |has |was |got |just )*"
    r"(?:hurt|collapsed|fainted|knocked down|on the (?:floor|ground) and)\b",
    r"\b(?:kid|child|toddler|baby|boy|girl)\b[^.;!?]{0,12}\b(?:inside|in|into) "
    r"the (?:dryer|washer|drum|fridge|oven|tub)\b")
_BURN: Final = _words(r"\b(?:burn\w*|burnt|scald\w*|singe\w*|sear(?:ed|s)|blister\w*|scorch\w*)\b", _HAIR)
_LIT_LATE: Final = _words(_FLASH, r"\blit (?:off|late|up)\b")
_FIRE: Final = _words(
    _both(_MAINS, r"\b(?:crackl\w+|sizzl\w+|arcing)\b"),
    _both(_MAINS, r"\b(?:(?:too|very|real|really|burning|red) hot|hot to (?:the )?touch|(?:got|getting|gets) hot)\b"),
    rf"{_NOT}\b(?:pop|bang)\b{_GAP}\bflash\b|{_NOT}\bflash\b{_GAP}\b(?:pop|bang)\b",
    rf"\blint\b{_GAP}\b(?:glow\w*|smou?lder\w*|on fire|burning)\b",
    rf"{_NOT}\b(?:wires?|wiring|harness|splice|connector|terminals?|board|cord)\b{_GAP}"
    r"\b(?:melting|glow(?:s|ing)|catching|burning)\b(?! smell)",
    r"\b(?:(?:is|its|on|it|was) on|caught|catching) (?:fore|fir)\b",
    rf"\b(?:crackl|sizzl)ing{_GAP}\b(?:wall|ceiling)\b",
    r"\b(?:flames?|fire) (?:just )?(?:wont|won't|doesnt|doesn't|isnt|is not) (?:go|going|dying) out\b",
    rf"{_NOT}\bsomething\b{_GAP}\bglow(?:s|ing) (?:red|orange)\b",
    rf"(?<!pilot ){_NOT}\bflames? (?:\w+ ){{0,2}}?(?:at|on|from|near|by|around|out of) (?:the |its )?{_PIPE}",
    rf"{_NOT}\bflames? (?:(?:shooting|coming|comes?|rolling|licks?|licking|right) )?out (?:of )?(?:the |its )"
    r"(?:oven )?(?:door|front|back|side|vent)\b(?! burner)",
    rf"\b(?:smells?|smelling|stinks?) (?:of |like )?(?:an? )?electrical\b|{_NOT}\belectrical burning smell\b")
_SHELL: Final = r"(?:cabinet|frame|chassis|casing|case|metal|shell|skin|drum|tub|basket|housing|body|door)"
_METAL: Final = r"(?:cabinet|frame|chassis|casing|case|metal|shell|skin|housing)"
_MACHINE: Final = rf"(?:washer|dryer|fridge|range|stove|dishwasher|machine|whole thing|{_SHELL})"
_VOLTS: Final = r"(?:[3-9]\d|[12]\d\d) ?(?:v|vac|volts?|volts ac)"
_ON_THE_SHELL: Final = _words(
    rf"\b{_VOLTS}\b{_GAP}\b(?:from|between|on|across) (?:the |its )?{_SHELL}(?: \w+){{0,2}} (?:to|and|itself)\b",
    rf"\b(?:from|between) (?:the |its )?{_SHELL} (?:to|and)\b{_GAP}\b{_VOLTS}\b",
    rf"\b{_MACHINE} (?:is |reads |shows )(?:hot|live) to ground\b",
    rf"\b{_METAL} (?:itself )?(?:has|had|got|gets|carries|shows) (?:some |the )?(?:volts?|voltage|current|juice)\b",
    rf"{_NOT}\b(?:volts?|voltage|current|juice) (?:is |are )?(?:on|at) (?:the |its )?(?:bare )?{_METAL}\b",
    rf"\b(?:tester|pen|stick|detector|tick tracer)\b{_GAP}\b(?:lights?|beeps?|goes off|glows|chirps?)\b{_GAP}"
    rf"\bon (?:the |its )?{_SHELL}\b",
    rf"\b(?:120|240|208|volts?|current|juice)\b{_GAP}\bwent through (?:me|him|her|(?:my|his|her) {_LIMB})\b")
"""Volts that a meter finds between the machine's metal and something else."""
_PAST: Final = re.compile(
    r"\b(?:last (?:year|month|summer|winter|spring|fall)|(?:years?|months?) (?:ago|back)|once before)\b|"
    r"\bsmok\w*[^.;!?]{0,40}\blong (?:ago|gone)\b(?!.*(?<!nothing )\bnow\b)", re.IGNORECASE)
_AGAIN: Final = re.compile(r"\b(?:again|still|keeps|(?<!not )(?<!none )(?<!nothing )today|tonight|"
                           r"this (?:morning|week)|right now|just now)\b", re.IGNORECASE)


def danger_here(text: str, family: str | None, fuel: str | None) -> Hazard | None:
    """The gravest danger that words tell of this machine; None for questions and for what was long ago."""
    if text.rstrip().endswith("?") or long_ago(text):
        return None
    burns = family in {"dryer", "range"} and fuel != "electric"
    if burns and fuel == "gas" and _GAS.search(text):
        return "gas"
    if burns and _CO.search(text.replace("'", "")):
        return "co"
    if _FIRE.search(text):
        return "fire"
    if _HURT.search(text):
        return "injury"
    if _ON_THE_SHELL.search(text):
        return "shock"
    hiss = (_HISS.search(text) is not None and len(text.split()) <= _SHORT) or _HISS_NOW.search(text) is not None
    if family == "refrigerator" and (hiss or _REFRIGERANT.search(text) or _OIL_AND_HISS.search(text)):
        return "refrigerant"
    return "flood" if water_is_danger(text) else None


def tells_burn(text: str) -> bool:
    """Whether a hurt is a burn: by its name, or by the flash that did it."""
    return _BURN.search(text) is not None or tells_flash(text)


def tells_flash(text: str) -> bool:
    """Whether a burner is told to have lit with a boom or a ball of fire."""
    return _LIT_LATE.search(text) is not None


def long_ago(text: str) -> bool:
    """Whether what is told was months or years ago, and is not said to be so again."""
    return _PAST.search(text) is not None and _AGAIN.search(text) is None


def cleared_since(text: str) -> bool:
    """Whether a shock is said to be of years ago, or its cause to be mended: one of last month is there yet."""
    return _YEARS.search(text) is not None


_YEARS: Final = re.compile(
    r"\b(?:last year|years? (?:ago|back)|once before|fixed|mended|repaired|sorted|rewired|replaced|new cord)\b",
    re.IGNORECASE)
