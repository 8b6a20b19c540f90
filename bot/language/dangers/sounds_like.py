"""What only sounds like a shock, a hurt, a flood or gas: a knock that stops a machine, its shock absorbers, a duct's
length, clothes that come out cold, water in its pan, gas as what heats."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from bot.language.dangers.only_told import only_told
from bot.language.words.text import word_set

_JOLT: Final = r"jolt(?:s|ed|ing)?"
_KNOCK: Final = r"(?:bump|knock|bang|slam|shake|nudge|kick|hit|tap|door|load|lid|drum)(?:s|ed|ing|ped|med)?"
_PART: Final = (r"(?:it|its?|the|that|this|doors?|lid|drum|tub|basket|machine|dryer|washer|dishwasher|range|panel|load|"
                r"rack|cord|plug|console)")
_STOPS: Final = (r"(?:stop(?:s|ped)?|quits?|cuts?(?: out| off)?|dies|died|starts?|restarts?|comes? back|"
                 r"goes (?:off|dead)|shuts?(?: off| down)?|drops? out|resets?|trips?)")
_OF_A_KNOCK: Final = re.compile(
    rf"\b{_JOLT} {_PART}\b|\ba jolt to {_PART}\b|"
    rf"\b{_KNOCK} (?:or|and|n|,) (?:(?:a|any|it) )?{_JOLT}\b|\b{_JOLT} (?:or|and|n|,) (?:(?:a|any|it) )?{_KNOCK}\b|"
    rf"\b{_STOPS} (?:\w+ )?(?:with|on|at|after|from|by|when|if|every time)"
    rf" (?:(?:it|the \w+) (?:gets|takes|has|is) )?(?:(?:a|any|every|each|the|little|small|good|big|hard) )*{_JOLT}\b")
_OF_SOMEBODY: Final = re.compile(
    r"\bjolt(?:s|ed|ing)? (?:the )?(?:me|you|him|her|us|them|customers?|cust|kids?|helper|wife|husband|lady|hands?)\b|"
    r"\b(?:gives?|gave|giving) (?:me|you|him|her|us|them|(?:the |my )?\w+) an? (?:\w+ )?jolt|"
    r"\b(?:i|she|he|we|they|you|customer|cust|who|hand|hands|finger|fingers|arm)\b (?:\w+ )?"
    r"(?:gets?|got|feels?|felt|took|takes?)\b|"
    r"(?<!\bit )(?<!machine )(?<!door )(?<!drum )(?<!load )\bgot (?:a|another) (?:\w+ )?jolt\b|"
    r"\bjolt (?:off|through|thru|up|when|from (?:the|its|touching))\b|"
    r"\b(?:shock\w*|zap\w*|tingl\w*|electr\w*|current|bit|bites?|touch\w*|wet|barefoot|live|volts?)\b")
"""A jolt that somebody got, or with anything beside it that tells of current."""


def of_a_knock(words: Sequence[str]) -> bool:
    """Whether a jolt is a knock that the machine gets and nobody felt it: 'stops with a jolt', 'jolts the door'."""
    return only_told(words, _OF_A_KNOCK, _OF_SOMEBODY, "jolt")


_KEPT: Final = (r"(?:van|truck|car|shop|bag|box|boot|trunk|stock|store|shelf|trailer|warehouse|office|counter|parts|"
                r"me|us|here|hand|kit|trolley|toolbox)")
_A_BELT: Final = re.compile(
    rf"\bbelts? (?:(?:right|back|down|out|already|ready) )?(?:on|in|at|with|w|from)(?: (?:the|my|our|his|a|me|parts))* "
    rf"{_KEPT}\b|\bbelts? (?:here|already|ordered|left|on order|part|number|size|that fits|to (?:fit|put|go)|"
    r"(?:and|n|,) (?:\w+ ){0,3}(?:idlers?|rollers?|pulleys?|motor|kit|glides?|felts?|tensioners?|springs?))\b|"
    r"\b(?:new|spare|drum|drive|poly|v|right|correct|replacement|old|stretchy?|oem|universal|second|the|this|that) "
    r"belts?\b|\b(?:its|it|it s|machine|washer|dryer|one|mine|model) (?:has )?(?:got|has|have)"
    r" (?:a|an|one) (?:\w+ )?belts?\b")
_BELTED: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|electr\w*|current|touch\w*|off|hurt\w*|felt|feels?|volts?|"
    r"grab\w*|wow|ouch|arm|hands?|fingers?|gave|gives|belted|(?<!with )(?<!w )me|him|her|them)\b")


def of_a_belt(words: Sequence[str]) -> bool:
    """Whether a belt is the part, in the van or on the machine, and nobody felt anything: 'got a belt on the van'."""
    return only_told(words, _A_BELT, _BELTED, "belt")


_WHICH: Final = r"(?:rear|front|left|right|back|bottom|lower|both|new|old|tub|suspension|worn|leaky|other)"
_HANDLED: Final = (
    r"(?:did|do|done|chang\w+|replac\w+|swap\w*|check\w*|test\w*|look\w*|inspect\w*|eyeball\w*|pull\w*|push\w*|"
    r"took|remov\w+|unbolt\w*|fit\w*|install\w*|put|needs?|order\w*|bought|squeez\w*|press\w*|bad|busted|broken|"
    r"weak|blown|soft|dead|shot)")
_FOUND: Final = (
    r"(?:bad|busted|broken|worn|shot|leak\w*|off|dead|soft|weak|gone|blown|dry|stiff|loose|sloppy|slid\w*|"
    r"unhooked|popped|bent)")
_SUSPECTED: Final = (
    r"(?:its|it is|be|reckon|think|thinking|suspect\w*|guess\w*|bet|betting|maybe|prob\w*|prolly|"
    r"(?:id|ill|gonna|i) say|blam\w*|(?:looks|sounds) like|points (?:at|to)|down to|"
    r"(?:money|bets?|guess)(?: is| s|s)? on|bet\w* on)")
_NO_FAULT: Final = (
    r"(?:not|no|never|dont|doesnt|wont|aint|arent|isnt|werent) (?:\w+ )?"
    r"(?:leak\w*|hold\w*|damp\w*|resist\w*|oil\w*|play|loose|worn)")
_OF_ABSORBERS: Final = re.compile(
    rf"\bshock absorbers?\b|\b{_WHICH} shocks?\b|"
    rf"\b{_HANDLED}(?: (?:in|out|off|at|over|all|of|the|these|its|two|four|three|five|[2-5]))* shocks\b|"
    r"\bshocks (?:feels?|felt|look(?:s|ed)?|seem(?:s|ed)?|is|are|were|moved?|push|slide|compress|leak\w*|squeak\w*|"
    r"clunk\w*|hold|go in|have no|need|both|shot|gone|bad|weak|worn|soft|dead|dry|stiff|fine|good|ok|okay|new|done|"
    r"replaced|changed|swapped|installed|put|for|on the tub|"
    r"and (?:the )?(?:springs?|dampers?|suspension|legs?)|, no (?:leaks?|oil|play|damping|resistance)|"
    rf"{_NO_FAULT})\b|"
    r"\bno (?:resistance|oil|leaks?|play|damping|push) (?:in|on|from|at|left in)"
    rf"(?: (?:the|both|either|my|its|them|two))* shocks\b|\bshock (?:pins?|bolts?|mounts?|bush\w*|legs?)\b|"
    rf"\b{_SUSPECTED} (?:its |it is |the |them )*shocks\b(?! m)|"
    r"\b(?:worn|busted|broken|blown) shock$|"
    rf"\bshock (?:is|was|feels|looks|came|come|has) (?:a bit |real |too )?{_FOUND}\b")
"""As they are handled, suspected or found."""
_CURRENT: Final = re.compile(
    r"\b(?:shocked|shocking|zap\w*|tingl\w*|electr\w*|current|jolt\w*|barefoot|static|stray|touch\w*|grab\w*|threw|"
    r"hurt\w*|trip\w*|breaker|gfci|gfi|outlets?|cords?|grounded|worse|wet floor|from it|hands?|fingers?|arms?|me|him|"
    r"her|us|them(?<!did them)(?<!done them)(?<!checked them)(?<!swapped them)(?<!changed them)(?<!replaced them)|"
    r"people|anyone|anybody|somebody|someone|bites|biting|stings?|ouch|numb)\b(?<!by hand)(?<!by hands)|"
    r"\b(?:felt|feels?) (?:it|that|one|some|something)\b(?! (?:shak|vibrat|mov|bang|walk|bounc))|"
    r"\b(?:get|gets|got|had|took|gave|feel|felt) (?:one|another)(?: \w+){0,2} (?:off|from)\b|"
    r"\b(?:off|from) (?:(?:the|its|my) )?(?:cabinet|door|lid|metal|handle|knob|casing|console)\b|"
    r"\bit (?:just |still |really |also |sometimes )?shocks\b|\bshocks (?:you|ya|u|ppl|folks|kids?|every\w+|whoever)\b|"
    r"\b(?:get|gets|getting|got|give|gives|giving|gave|feels?|felt|feeling|received|had|has)"
    r"(?: (?:a|an|some|couple|few|little|small|bad|big|mild|slight|another|more|any|two|three|\w+ing))* shocks?\b"
    r"(?! absorber)|(?<!front )(?<!rear )(?<!both )(?<!left )(?<!right )(?<!new )(?<!old )\bshocks? "
    r"(?:off|from|through|thru|up|when\w*|every ?time|today)\b(?! (?:\w+ )?tub\b)")
"""What tells that somebody felt one."""


def of_absorbers(words: Sequence[str]) -> bool:
    """Whether shocks are those that carry a tub, as they are handled or found: 'shocks feel soft'."""
    return only_told(words, _OF_ABSORBERS, _CURRENT, "shock")


_LEADS_TOGETHER: Final = re.compile(
    r"\b(?:touch\w*|hold|held|short(?:ed|ing)?|put|clip\w*|cross\w*) (?:(?:the|your|my|both|two|test|meter) )*"
    r"(?:leads?|probes?|prods|tips|test wires)(?: tips)? (?:together|on each other|to each other)\b")
_SOMEBODY: Final = re.compile(r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit me|sparks?|arc\w*)\b")


def of_the_leads(words: Sequence[str]) -> bool:
    """Whether what touches is a meter's two leads: that is how a meter is tried, and nobody felt anything."""
    return only_told(words, _LEADS_TOGETHER, _SOMEBODY)


_POKED: Final = re.compile(
    r"\b(?:pok|prick|prod|jab|pick|ream|punch)\w* (?:(?:em|them|it|those|each|every|one|all|the|its|out|clean|clear|"
    r"open|through|thru|holes?|ports?|jets?|orifices?|slots?|nozzles?|arms?|crud|seeds?|gunk|of|burner|spray) ){0,6}"
    r"(?:w|with|using) (?:a |an |the |my |some )?(?:\w+ )?(?:pin|pins|needle|toothpick|tooth pick|paper ?clip|wire|"
    r"nail|safety pin|skewer|pick|brush|awl)\b|"
    r"\b(?:pok|prick|prod)\w* (?:(?:em|them|it|the|all|every|each|those) )*(?:holes?|ports?|jets?|slots?|nozzles?)\b|"
    r"\b(?:pok|prick|prod)\w* (?:em|them|it|the \w+|those) (?:out|clean|clear|open|through)\b")


def of_a_pin(words: Sequence[str]) -> bool:
    """Whether what pokes is a pin that clears holes, and nobody felt anything: 'poked em out with a pin'."""
    return only_told(words, _POKED, _POKED_AT)


_POKED_AT: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|biting|electr\w*|current|live|volts?|sting\w*|stung|ouch|buzz\w*|"
    r"numb|me|him|her|us|hands?|fingers?|thumb|arms?(?<!spray arms)(?<!the arms)(?! holes?)|skin|eye|blood|bleed\w*|"
    r"breaker|outlet|wet)\b")


_LENGTH: Final = re.compile(r"\b(?:\d+|ten|twenty|thirty|forty|fifty) ?(?:foot|feet|ft)\b|\b(?:\d+|two|three|four|five|"
                            r"six|few|couple|several|lots? of|many) elbows?\b|\b(?:foot|feet|ft) with elbows?\b")
_FELT: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|biting|electr\w*|current|touch\w*|live|volts?|nailed|sting\w*|"
    r"poke\w*|ouch|buzz\w*|numb|i|me|my|we|us|he|him|his|she|her|they|them|customer|cust|hands?|fingers?|arms?|wet|"
    r"barefoot|static|spark\w*)\b")


def of_a_length(words: Sequence[str]) -> bool:
    """Whether foot and elbow are of a duct and nobody felt anything: 'metal, 35 foot with 5 elbows'."""
    return only_told(words, _LENGTH, _FELT)


_HELD: Final = re.compile(
    r"\b(?:runs?|running|ran|drains?|draining|drained|goes|going|went|flows?|flowing|drips?|gets|getting)"
    r"(?: (?:right|straight|all|fine|ok|freely|down|out|through|thru|back|now))* (?:in)?to (?:(?:the|its|a|that) )?"
    r"(?:(?:drip|drain|condensate|evap|evaporator) )?(?:pan|tray|drain|sump|bucket|standpipe|sink)\b")
_OUT_OF_HAND: Final = re.compile(
    r"\b(?:floors?|carpet|ceiling|wall|outlet|plug|cord|everywhere|over|overflow\w*|flood\w*|burst|gush\w*|spray\w*|"
    r"pour(?:s|ing)|all of it|cant|cannot|wont|no|not|never|still|but|house|kitchen|basement|room|inch\w*|deep|"
    r"leak\w*)\b")


def of_held_water(words: Sequence[str]) -> bool:
    """Whether water goes where it should and nothing of it elsewhere: 'poured a pint down, it runs to the pan now'."""
    return only_told(words, _HELD, _OUT_OF_HAND)


_COMES: Final = word_set(
    "come comes came coming comin run runs running ran blow blows blowing blew pour pours pouring pump pumps pumping "
    "flow flows flowing spray sprays")


def of_what_comes_out(words: Sequence[str], place: int) -> bool:
    """Whether the 'out cold' at a place, and every other, is how water or clothes come: 'comes out cold on hot'."""
    spots = [at for at, pair in enumerate(pairwise(words)) if pair == ("out", "cold")]
    return place in spots and all(at > 0 and words[at - 1] in _COMES for at in spots)


_WHERE: Final = re.compile(
    r"(?:(?:ok|so|hey|and|but|pls|please|,) )*(?:where|wheres|whereabouts|how do i find)\b(?: \w+){0,4}? "
    r"(?:shut ?off|valves?|stopcock|main)(?: (?:valve|tap|on|for|of|at|this|that|the|one|water|machine|house|it|"
    r"here|is|\?))*")


def of_a_valve(words: Sequence[str]) -> bool:
    """Whether it is asked where a valve is, and nothing else said."""
    return _WHERE.fullmatch(" ".join(words)) is not None


_FUEL: Final = re.compile(
    r"(?=.*\b(?:gas|propane|lp)\b)(?:(?:its|it|is|are|thats|they|theyre|both|everything|every|all|the|this|one|"
    r"yes|yeah|well|just|only|natural|lp|propane|gas|heats?|heated|runs?|works?|on|of|by|with|and|for|whole|thing|"
    r"too|them|"
    r"range|stove|ovens?|cooktop|top|bottom|burners?|dryer|fuel|i|think|not|electric|same|over|,|\.) ?)+")
_ALL_OVER: Final = re.compile(r"\ball over\b")
_WHO_SAYS: Final = re.compile(r"\b(?:the )?(?:customer|cust|owner|lady|she|he|they) says?\b")


def of_a_fuel(words: Sequence[str], *, asked: bool = False) -> bool:
    """Whether gas is only what a machine burns, and where: 'all gas', 'gas on all of it'. Shouted it may be anything,
    and 'gas all over' or 'customer says gas' is no smell only to who was `asked` what heats it."""
    line = " ".join(words)
    if asked:
        return _FUEL.fullmatch(_WHO_SAYS.sub("", line).strip()) is not None
    return _FUEL.fullmatch(line) is not None and _ALL_OVER.search(line) is None


_TURNED: Final = re.compile(
    r"\b(?:turn\w*|switch\w*|put\w*|get\w*|have|has|had)(?: (?:the|its|their|her|his))? (?:gas|propane|lp)"
    r"(?: (?:valves?|cock|supply|line|shut ?off|at the \w+))*(?: (?:is|was|turned|switched))*(?: (?:right|all))? "
    r"(?:back )?(?:on|open)\b|"
    r"\b(?:turn\w*|switch\w*|open\w*)(?: (?:up|back|on|again))*(?: (?:the|its))? (?:gas|propane|lp)\b(?! (?:off|out))|"
    r"\b(?:gas|propane|lp)(?: (?:valves?|cock|supply|line|shut ?off))*(?: (?:is|was|its|s))*(?: (?:turned|switched))? "
    r"(?:(?:back|all the way) (?:on|open)|turned on|opened)\b|"
    r"\b(?:gas|propane|lp)(?: (?:valves?|cock|supply|line|tap|shut ?off))*"
    r"(?: (?:is|was|its|s|turned|switched|shut|found))* (?:off|shut|closed)\b|"
    r"\b(?:shut|turned|switched|closed)(?: (?:off|the|its))* (?:gas|propane|lp)\b")
_ESCAPING: Final = re.compile(
    r"\b(?:smel\w*|odou?rs?|whiffs?|stink\w*|stench|reek\w*|fumes?|rotten|eggs?|hiss\w*|leak\w*|escap\w*|bubbl\w*|"
    r"pour\w*|dizzy|sick|headaches?|boom\w*|bang\w*|woosh\w*|flames?|fire|strong|everywhere|room|house|full|"
    r"sniff\w*|nose|help|out)\b")


def of_gas_turned(words: Sequence[str]) -> bool:
    """Whether gas is only let back in or shut and nobody smells any: 'gonna turn the gas on', 'gas valve is off'."""
    return only_told(words, _TURNED, _ESCAPING)
