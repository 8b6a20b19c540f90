"""Ways in which techs say that they have repaired something, and how it went: 'put a new belt on, still no spin'.

Words only; which repair they mean, and what comes of it, is settled in `bot/conversation/repair/reported.py`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from bot.conversation.wording.asks import without_tag
from bot.conversation.wording.ways import MOST_WORDS, TROUBLES, way_of
from bot.language.words.text import drop_apostrophes, word_set

How = Literal["cured", "same"]

_WORKS: Final = (
    r"(works?|working|worked|blows?|blowing|runs?|running|ran|spins?|spinning|spun|drains?|draining|drained|pumps?|pumping|heats?|"
    r"heating|cools?|cooling|fills?|filling|filled|lights?|lighting|lit|starts?|starting|started|turns?|turning|"
    r"tumbl\w+|wash(es|ing)?|dr(?:ies|ys)|drying|latch(es)?|locks?|opens?|closes?|boils?|bakes?|fine|good|great|ok|quiet|"
    r"normal)")
_NOT: Final = r"(no|not|never|wont|dont|doesnt|didnt|isnt|aint|cant|nothing|nothin|hardly|barely)"
_AGAIN: Final = r"(still|same|no change|no difference|again|sigue|igual)"

FITTED: Final = re.compile(
    r"\b(replaced|swapped|swaped|changed|renewed|installed|fitted|put (in|on)|put up (the|my|it) (?!\w*\d)|"
    r"put (a|an|the|my|another|one|it|that|"
    r"new)\b(?! (\w+ )?(meter|probes?|leads?|hand|finger|ear|load|towels?|cycle|clothes|cup|pot|pan|bucket|magnet|"
    r"clamp|"
    r"covers?|panels?|lid|machine))|"
    r"(put|stuck|popped|threw|slapped|dropped) "
    r"(?!(\w+ ){0,2}(it|them|that|me|you|water|power|plug|cord|soap|detergent|weight|meter|probes?|leads?|hands?|"
    r"fingers?|ear|load|towels?|cycle|clothes|cup|bucket|magnet|clamp|covers?|panels?|lid(?! (?:switch|lock))|machine|"
    r"washer|screws?|bolts?) )"
    r"((?!(?:in|on|back|the|a|an|my)\b)[a-z]+ ){1,3}(in|on)\b(?! (the|a|my|its|it|this|that|order|there|here|spin|wash|"
    r"drain|rinse|hot|cold|warm|high|low|off|test)\b)|"
    r"(stuck|slapped|threw|popped|slipped)( in| on)? (a|an|another|one|new)\b|"
    r"(?<!its )(?<!ones )(?<!has )got (a|the|another|one|it|that)( new( \w+){0,2} (in|on)\b|( \w+){0,2} (in|on)\b"
    r"(?! (a|the|its|my|this|that|top|back|front|bottom|rear|side|left|right|each|every|both|there|here|"
    r"one|it|this)\b))|"
    r"tried (a|an|another|a different) (new|spare|other|different|known)|"
    r"with (a|the) new|new (\w+ ){1,3}(is |are |went )?(in|on|fitted)|"
    r"cambie|puse|instale|reemplace|le puse)\b", re.IGNORECASE)
"""A part was put in; 'got a coil on the back' tells how the machine is built."""
_AT_HAND: Final = re.compile(
    r"\b(?:got|have|has|ive|had|carry|theres|there is|brought) (?:\w+ ){1,5}(?:in|on|at|with|out in) (?:the |my |our )?"
    r"(?:van|truck|car|trunk|shop|store|shelf|stock|me|hand)\b", re.IGNORECASE)
"""'Got a belt in the van': at hand, and not in."""
_NONE_IN: Final = re.compile(
    r"\b(no|none|not|nothing|never|isnt|arent|aint|hasnt|havent|wasnt|werent|without|doesnt have|dont have|nobody|sin)"
    r"( \w+){0,3} (fitted|installed|replaced|swapped|changed|renewed|put in|put on|cleaned|in there|in it)\b|"
    r"\b(has|have|theres|there is|comes|came) (a |an |one |the )?((?!new\b)\w+ ){0,3}(fitted|installed)\b|"
    r"\b(fitted|installed) (with|from (the )?factory|at the factory|as standard)\b", re.IGNORECASE)
"""'No capacitor fitted', 'there's one fitted': how the machine is built, or what was not done, and no repair."""
IS_IN: Final = re.compile(
    r"\b(its|it is|is|are|went|back) (already |now )?(on|in|back on|back in|fitted)\b(?! (the|a|my|order|there|it|"
    r"wash|spin))|"
    r"\b(its|it is|is|are|theyre) in the (machine|dryer|washer|dishwasher|unit|fridge|oven|range)\b|"
    r"\balready (on|in)\b(?! (the|a|order))|\b\w+s (already (on|in)|(on|in) (already|now))\b|"
    r"^\W*(?:(?:ok|yep|yeah|yes|the|new|right|so)\W+)*(?!power|water|plug|lid|cord|covers?|panels?|order|lights?|"
    r"meter|gas|breaker)[a-z]{3,}(?: [a-z]{3,})? (?:on|in)(?: now| already)?\W*$", re.IGNORECASE)
"""'Belt's on': a part put in, where one was to be; elsewhere it may tell how the machine stands."""
NEW_ONE: Final = re.compile(r"\bnew (\w+ ){1,3}(did|didnt|made|no|same|still|not|wont|fixed|cured|solved|works)\b",
                            re.IGNORECASE)
"""'New belt didn't help.'"""
CLEANED: Final = re.compile(
    r"\b(cleaned|cleared|unclogged|unblocked|flushed|scrubbed|vacuumed|rinsed|descaled|freed|unjammed|unkinked|"
    r"straightened|leveled|levelled|tightened|reseated|re-?seated|seated|reset|reconnected|readjusted|adjusted|aligned|"
    r"realigned|(nests?|lint|clog|sock|coins?|glass|rag|debris|label|bone|screw|toy|plug) (is |are |all |came )?out|"
    r"cut (?:(?:it|them|both|that|the \w+(?: \w+)?|(?:both )?(?:ends|wires)) )?back\b(?! (?:on|off|in))|"
    r"remade|respliced|"
    r"dried( out| off| up)?|wiped|aired out|thawed|defrosted|shimmed|rebalanced|dug|fished|"
    r"(?:knocked|punched|sucked) out (?:the|a|that|it|some)\b|(picked|pulled|"
    r"took|got|knocked|blew|sucked) ((?!\d|in\b|no\b|noth\w+\b)\w+ ){0,4}out|limpie|saque|destape|aprete|"
    r"(crimped|soldered|spliced) (it|them|both|that|in|on|the (wires?|ends|splice)|and (sealed|shrunk|heat ?shr\w+))|"
    r"(strapped|tied|zip ?tied|hung|looped|pulled|raised|lifted) (it|the \w+( \w+)?|that) (up|high|higher)|"
    r"plugged (it|the \w+|them) (back )?(in|on)|(pushed|hooked|snapped|clipped|pressed|shoved|slid|stuck|popped|"
    r"clicked|slipped) (it|the (\w+ ){1,3}|them|that|both)( ?back)?( ?all the way)? ?(in|on|home|together)\b|"
    r"put (it|the \w+|them) back|turned (it|the \w+|them) (back )?on)\b",
    re.IGNORECASE)
"""Something was set right without a part."""
SET_RIGHT: Final = re.compile(
    r"\b(pushed|hooked|snapped|clipped|pressed|shoved|slid|stuck|popped|clicked|slipped|put|plugged|reconnected|"
    r"connected|tightened|re-?seated|(?:pulled|raised|lifted) (?:it|that|the hose) (?:up|higher))\b"
    r"( (it|them|that|both|the (\w+ ){1,3}))?", re.IGNORECASE)
"""Of these: something that was off or loose went back to where it belongs."""
DID_IT: Final = re.compile(
    r"\b(did (that|it|this|those|so)( one)?( already| too)?|did (the|that|my) (\w+ ){1,2}(already|first|too)|"
    r"already did( (that|it|this))?|did already|done that|"
    r"(thats|that is|its|it is|been) done( already)?|already (done|put|swapped|replaced|changed|cleaned|"
    r"cleared)( \w+)?|"
    r"ya lo hice|ya (lo|la) (puse|cambie|limpie))\b", re.IGNORECASE)
"""What was just asked for is done."""
_BACK: Final = (
    r"(?:heats?|power|flames?|fire|glow|hot air|warm air) (?:is |are |s |came |comes |has come )?(?:right )?back"
    r"(?! (?:off|out|to|up|cold))|"
    r"(?:got|have|theres|has|makes|making) (?:good |full |strong )?(?:heat|fire|flame|power|hot air) (?:again|now)")
WORKS_NOW: Final = re.compile(
    rf"\b(fixed (it|that|her)|(its|it is|is|all|got it|got her) fixed|got (it|her|this thing) (going|working|running)|"
    rf"back to normal|(it|she|that) works\b(?! (like|the|as))|"
    rf"{_WORKS} (fine |good |great |ok |again |right |strong |hard |hot |full )?now|"
    rf"now (it |its |she )?{_WORKS}|(it|she) ({_WORKS}) (again|now)|problem solved|works (again|fine|great|good|"
    rf"like new)|"
    rf"(it|she) (lit|spun|drained|started|filled|heated) now|"
    rf"(clock|display|screen|panel|power|lights?) (came|comes|is|are) (right )?(back )?(on|up)|"
    rf"(it|she|everything) came (right )?back on|"
    rf"ya (funciona|jala|prende|centrifuga|enfria|calienta|sirve|quedo)|(lo|la) arregle|"
    rf"{_BACK}|(towels?|clothes|load|everything) (are |is |come out |came out )?(dry|dried|dries) in (an hour|\d+)|"
    rf"{_WORKS} in (?:\d+ ?(?:min\w*|sec\w*|hours?|hrs?)|an hour|half an hour) now)\b"
    rf"(?!.{{0,12}}\b(not|but|except|then)\b)", re.IGNORECASE)
"""The machine does what it should, plainly and now."""
PLAINLY: Final = re.compile(
    rf"\b(fixed (it|that|her)|(its|it is|all|got it|got her) fixed|got (it|her) (going|working|running)|back to normal|"
    rf"problem solved|{_BACK}|"
    rf"(it|she) {_WORKS} (fine |good |again )?now|now (it|she) {_WORKS}|(it|she) works (again|fine|"
    rf"great))\b|"
    r"(^|[,.;:] *|\b(it|she|and|all|everything|machine|washer|dryer|dishwasher|fridge|oven|burner|range|stove) )"
    r"works? (fine |good |great )?now\b|\bya (funciona|jala|sirve|quedo)\b", re.IGNORECASE)
"""The same of the machine as a whole, whatever is asked."""
_THE_LAST: Final = "(?:last|another|other|previous|first)"
_MAN: Final = "guy|man|tech|technician|repairman|fella|company"
_LAYMAN: Final = (
    r"(?:he|she|customers?|cust|owners?|landlord|landlady|tenants?|renters?|husband|hubby|wife|kids?|"
    r"(?:(?:step ?)?(?:son|dad|father|mom|mother|bro|brother|sis|sister|daughter)s?|grand(?:son|dad|pa|father)|"
    r"uncle|aunt|cousin|nephew)(?: ?in ?laws?)?|bil|fil|in ?laws?|boy ?friend|girl ?friend|friends?|buddy|pal|"
    r"room ?mate|neighbou?rs?|super|maintenance|somebody|someone|cliente|alguien)")
"""Who is not of the trade, and may have put a part in."""
_OTHER: Final = (rf"(?:{_LAYMAN}|they|handyman|guy|man|tech|company|plumber|electrician|previous owner|el otro)")
_DID: Final = r"(?: (?:has|had|have|says?|said|told me|already|just|also|even|he|she|they|it|was|who|that|went and))*"
_OF_OTHERS: Final = re.compile(
    rf"\b{_OTHER}{_DID} (put|replaced|swapped|swaped|changed|installed|fitted|cleaned|cleared|fixed|did|threw|stuck|"
    r"slapped|popped|had|got|tried|reset|puso|cambio|limpio)\b|"
    rf"\b{_THE_LAST} ({_MAN}|time|visit|week|wk|month|year|summer|winter|spring|fall)\b|"
    r"\b(ago|yesterday|recently|when (they|he|she) (bought|moved)|(was|were|been|got|gets?) (already |just )?"
    r"(replaced|swapped|changed|installed|fitted|cleaned|repaired)|in (19|20)\d\d|hace (un|dos|tres|\d))\b",
    re.IGNORECASE)
"""Work of others, or of another day."""
_BY_ANOTHER: Final = re.compile(
    rf"\b(?:{_THE_LAST} (?:{_MAN})|(?:a|some|their|that) (?:tech|technician|repairman|(?:repair|service) (?:guy|man))|"
    r"handyman|they)\b|"
    r"\b(?:was|were|been|got) (?:already |just )?(?:replaced|swapped|changed|installed|fitted)\b", re.IGNORECASE)
_BY_LAYMAN: Final = re.compile(
    rf"\b{_LAYMAN}(?: guy| man)?{_DID} (?:put|replaced|swapped|swaped|changed|installed|fitted|threw|stuck|slapped|"
    rf"popped|puso|cambio)\b|\bby (?:the |her |his |their |my |a |an |some )*(?!he\b|she\b){_LAYMAN}\b", re.IGNORECASE)
_LONG_AGO: Final = re.compile(
    r"\b(?:years?|in (?:19|20)\d\d|when (?:they|he|she) (?:bought|moved)|anos?)\b", re.IGNORECASE)
_NOT_DONE: Final = re.compile(
    r"\b(will|ill|well have|gonna|going to|should|shall|would|could|need(s|ed)?|want(s|ed)?|have to|has to|had to|"
    r"gotta|"
    r"must|lets|let me|about to|maybe|might|thinking|before i|if i|if we|unless|"
    r"(?:when|once|after) i(?! (?:open|lift|raise|close|shut|push|press|turn|pull|pause|stop|start|hit|select)\w*\b)|"
    r"until|waiting|"
    r"havent|"
    r"hasnt|havnt|not (yet|done|in|on|replaced|swapped|changed|cleaned)|(didnt|dont|couldnt|cant|wont|"
    r"never) (replace|swap|"
    r"change|put|fit|install|clean|clear|fix|do it|do that|get|reach|budge|see|find|check)|nobody|no one|quote|order|"
    r"ordered|price)\b|\?", re.IGNORECASE)
"""Planned, supposed, asked, or not done."""
_STILL_NOT: Final = re.compile(
    rf"\bstill (a |the |just |just as |not |it |is )?({_NOT[1:-1]}|hum\w*|buzz\w*|sits?|sitting|just|dead|dark|cold|"
    rf"warm|"
    rf"the same|same|leak\w*|stuck|click\w*|stops?|trip\w*|grind\w*|nois\w*|loud|full|slow\w*|shak\w*|bang\w*|silent|"
    rf"drip\w*|"
    rf"error|that|does|throws?|shows?)\b|"
    rf"\b(didnt|doesnt|does not|did not|dont) (help|fix|do (it|anything|nothing)|change|cure|solve|make)|"
    rf"\bno (change|difference|luck|help|better|joy|good|dice)\b|\b(same (thing|trouble|problem|story)|"
    rf"(exact )?same)\b|"
    rf"\b(sigue|igual|lo mismo)\b", re.IGNORECASE)
_NO_BETTER: Final = re.compile(
    r"^\W*(?:(?:no|nope|nah|ok|its|it|is|all|just|still|and|well|sorry|exact|exactly|the|does|doing|did|made|makes|"
    r"there|theres|is|was|acts?|acting|with|on|that)\W+)*?"
    rf"(?:same(?: (?:thing|trouble|problem|story|deal|way|again|as (?:before|it was)|{TROUBLES[3:]})?|"
    rf"(?:the )?{TROUBLES} (?:is |s )?(?:still there|still on|still up|stays)|"
    r"no (?:change|difference|better|luck|help|joy|dice)|not (?:fixed|cured|(?:any )?better)|"
    r"(?:didnt|doesnt|did not|does not) (?:help|fix it|cure it|do (?:it|anything|nothing|a thing)|"
    r"change (?:it|anything|a thing))|sigue igual|lo mismo)(?: (?:now|here|at all|though|man|it))*\W*$", re.IGNORECASE)
"""The whole of a part of a line: the trouble is what it was."""
_PARTLY: Final = re.compile(
    r"\b(?:half as (?:bad|much|loud|often|strong|slow|\w+y)|half of it (?:is )?gone|"
    r"not (?:quite )?(?:as|so) (?:bad|much|loud|often|strong)(?! as\b)|"
    r"(?:a (?:bit|little|touch)|slightly|some|somewhat) (?:better|less)|(?<!be )(?:better|less|improved),? but|"
    r"still (?:a (?:bit|little|touch)|slightly|some|kinda)|"
    r"(?:works?|working|runs?|running|spins?|spinning|turns?|turning|drains?|draining|fills?|filling|heats?|heating|"
    r"cools?|cooling|pumps?|pumping|tumbles|tumbling|washes|sprays?|blows?)(?: (?:but|just|kinda|a bit|real|really|too|"
    r"pretty|only|very|so|it|out))* (?:slow|slowly|weak|weakly|sluggish|lazy)|"
    r"not (?:all|completely|entirely) gone|no del todo|un poco (?:mejor|menos))\b(?! later)", re.IGNORECASE)
"""Better, and not gone."""
_DEAD_AGAIN: Final = re.compile(
    rf"\b{_NOT} (it )?(to )?{_WORKS}\b|"
    r"\bno (spin|heat|drain|fill|water|spark|cool\w*|power|agitation|tumble|flame|ice|light)\b", re.IGNORECASE)
_TURNS: Final = re.compile(r"\bbut\b|\bexcept\b|[,.;:\n]|\band\b|\bpero\b", re.IGNORECASE)
_GOES_ON: Final = re.compile(
    rf"\b(?=still\b|now\b|(?:it |she )?(?:{_NOT[1:-1]}|didnt|doesnt)\b|same\b|works\b|(?:it|she) {_WORKS}\b)|\bbut\b|"
    r"[,.;:\n]|\band\b|\bpero\b|\by\b", re.IGNORECASE)
"""Where what was done ends and how it went begins."""
_NOW_SOMETHING: Final = re.compile(r"\bnow (?=its|it is|theres|there is|the|she|i got|i have|leak)")
_FILLS: Final = word_set(
    "one it its is are that this them em her him they both all everything new part spare same in on out off up back "
    "now already just "
    "did done went was and so ok yeah yes we got had have one the an my too then there here today with for me")
_NEVER_MIND: Final = re.compile(r"\bnever ?mind( that)?\b", re.IGNORECASE)
_CAUSE: Final = re.compile(
    r"\b(?:it was|was|were|it had|found|turns? out|turned out|because|cause|era|estaba)\b(?! (working|running|fine|"
    r"good))",
    re.IGNORECASE)


_DONE_FIRST: Final = re.compile(
    r"^\W*(?:(?:ok|yes|yeah|yep|all|its|thats|i|im|well)\W+)*(?:done|finished|did (?:it|that)|its in|hecho|listo)"
    r"(?: (?:it|that|with it|now|already))*(?:\W+(?:and|but|now|y|pero)\b|\s*[,.;:!\n-])\W*(?P<rest>.+)$", re.DOTALL)
_MAKING: Final = (
    r"(?:put(?! (?:\w+ )?back)|fit|fitt?ed|install\w*|replac\w*|swap\w*|clean\w*|clear\w*|reset|repair\w*|dried|"
    r"tighten\w*|order\w*)")
_HELPED: Final = r"(?!.*\b(?:help|differen\w*|better))"
_NOT_MADE: Final = re.compile(
    rf"\b(?:i|we|ive|weve) (?:\w+ )?(?:didnt|did not|havent|have not|havnt|hadnt|never)(?: \w+){{0,2}}? "
    rf"(?:{_MAKING}|done|do|fix(?:ed)? (?:it|anything|nothing|a thing))\b{_HELPED}|"
    rf"^\W*(?:no |nope |nah )?(?:havent|have not|didnt|did not) {_MAKING}\b{_HELPED}|"
    r"\b(?:nothing|not|isnt|aint|wasnt|hasnt been)(?: (?:was|is|has been|been|even|all|really|yet|the \w+|it))* "
    r"(?:in|fitted|installed|replaced|swapped|reset|repaired|put in|cleaned) (?:yet|so far)\b|"
    r"\b(?:still|yet) (?:need|needs|have|has|got|gotta|going)(?: to)? (?:put|fit|get|do|install|replace|swap|clean|"
    r"order|reset)\b|\btodav[ií]a no (?:lo |la )?(?:he |cambi|pus|hice|instal|limpi)", re.IGNORECASE)
_NOT_DONE_YET: Final = re.compile(
    r"^\W*(?:(?:no|nope|its|thats|it is|im)\W+)*(?:not (?:(?:all |quite )?(?:done|finished|ready)|in|fitted)"
    r"(?: yet| so far| with it)*|not yet)\s*(?:[.,;!].*)?$|"
    r"^\W*(?:(?:no|nope|not yet|hang on|hold on|wait|im|i am|just|ok|well)\W+)*still (?:putting|closing|buttoning|"
    r"screwing|packing|fitting|wiping|mopping|cleaning up|working on|on it|at it|doing (?:it|that)|"
    r"getting (?:it|the \w+)|waiting on|need to (?:put|close|fit|screw))\b.*$", re.IGNORECASE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Told:
    """What a line tells of a repair. `fitted`: a part was put in; `cleaned`: set right without one; `did`: what was
    asked for is done; `how`: as it went, if that is said; `now`: that it works is said of now; `plainly`: and of the
    whole machine."""

    fitted: bool
    cleaned: bool
    did: bool
    how: How | None
    now: bool
    plainly: bool


def told_of_repair(text: str, *, asked_for: bool) -> Told | None:
    """What words tell of work that the tech did himself today; None if nothing. `asked_for`: a repair is on the table,
    so that 'belt's on' is one."""
    said = plain(without_tag(text))
    if len(said.split()) > MOST_WORDS + 4 or _NOT_DONE.search(said) or _OF_OTHERS.search(said):
        return None
    how = how_it_went(said)
    of_work = _NONE_IN.sub(" ", _AT_HAND.sub(" ", said))
    fitted = bool(FITTED.search(of_work) or (how is not None and NEW_ONE.search(said))
                  or (asked_for and IS_IN.search(said)))
    cleaned, now = bool(CLEANED.search(of_work)), how == "cured" and bool(WORKS_NOW.search(said))
    did = asked_for and bool(DID_IT.search(said))
    plainly = now and bool(PLAINLY.search(said))
    return Told(fitted, cleaned, did, how, now, plainly) if fitted or cleaned or did or now else None


def only_at_hand(text: str) -> bool:
    """Whether a line says that the tech has a part with him, and nothing else."""
    said = plain(text)
    left = _AT_HAND.sub(" ", said)
    return left != said and not set(re.findall(r"\w+", left)) - _LEADS_IN


_LEADS_IN: Final = word_set("i we and but ok yes yep yeah no well also just already luckily hey do one tho though")


def fitted_by_another(text: str) -> bool:
    """Whether words tell of a part that a man of the trade put in before this visit, and of nothing that it cured."""
    said = plain(without_tag(text))
    if _NOT_DONE.search(said) or _LONG_AGO.search(said) or not _BY_ANOTHER.search(said) or _BY_LAYMAN.search(said):
        return False
    return FITTED.search(_NONE_IN.sub(" ", said)) is not None and not WORKS_NOW.search(said)


def fitted_by_layman(text: str) -> bool:
    """Whether words tell of a part that somebody who is not of the trade put in before this visit, and of nothing that
    it cured: 'her brother in law put a new element in'."""
    said = plain(without_tag(text))
    if _NOT_DONE.search(said) or _LONG_AGO.search(said) or WORKS_NOW.search(said):
        return False
    return _BY_LAYMAN.search(said) is not None and FITTED.search(_NONE_IN.sub(" ", said)) is not None


def how_it_went(text: str) -> How | None:
    """Cured or the same, if the words say one of them and not the other: 'its on but still no spin'."""
    said = plain(text)
    if partly(said):
        return "same"
    parts = [part for part in _TURNS.split(said) if part and part.strip()]
    bad = [bool(_STILL_NOT.search(part) or _DEAD_AGAIN.search(part)) for part in parts]
    good = [not its_bad and (bool(WORKS_NOW.search(part)) or way_of("proof", _without_new(part)) == "holds")
            for part, its_bad in zip(parts, bad, strict=True)]
    if any(bad):
        return None if any(g and WORKS_NOW.search(part) for g, part in zip(good, parts, strict=True)) else "same"
    if any(good):
        return "cured"
    whole = way_of("proof", _without_new(said))
    return "same" if whole == "same" else "cured" if whole == "holds" else None


def no_better(text: str) -> bool:
    """Whether one part of a line says nothing but that it is as it was: 'still same, the back is roasting hot'."""
    said = plain(text)
    return not WORKS_NOW.search(said) and any(_NO_BETTER.match(part) for part in _TURNS.split(said) if part)


def partly(text: str) -> bool:
    """Whether words say that it is better and not gone: 'half as bad', 'still a bit gritty'."""
    return _PARTLY.search(plain(text)) is not None


def done_and(text: str) -> bool:
    """Whether a line begins with 'done' and goes on: 'done, same', 'done. fills quick now', 'done, but it trips'."""
    found = _DONE_FIRST.match(plain(text))
    return found is not None and not not_made(text) and not not_done(text)


def not_made(text: str) -> bool:
    """Whether words say that the repair was not made: 'didn't put it in yet', 'nothing was reset'. 'Not fixed' tells
    how it went."""
    return _NOT_MADE.search(plain(text)) is not None


def not_done(text: str) -> bool:
    """'Not done yet': of the repair while that is on the table, of the run while that is proved."""
    return _NOT_DONE_YET.match(plain(text)) is not None


def put_back_in(text: str) -> str:
    """What a line says from where something off or loose was put back: 'pushed it in, locks now'; empty if nothing."""
    said = plain(text)
    found = SET_RIGHT.search(said)
    if found is None:
        return ""
    begins = [m.end() for m in _TURNS.finditer(said, 0, found.start())]
    return said[max(begins, default=0):].strip()


def works_but(text: str) -> bool:
    """Whether one part of a line says that it works: 'works, but now it leaks'."""
    if no_better(text) or partly(text):
        return False
    parts = [part for turn in _TURNS.split(plain(text)) for part in _NOW_SOMETHING.split(turn) if part.strip()]
    return len(parts) > 1 and any(how_it_went(part) == "cured" for part in parts)


def names_nothing(work: str) -> bool:
    """Whether words of work name no thing that it was done to: 'already put one on', 'swapped it out'."""
    for way in (DID_IT, FITTED, IS_IN, CLEANED):
        work = way.sub(" ", work)
    return all(word in _FILLS for word in re.findall(r"[a-z]{2,}", work))


def work_in(text: str) -> str:
    """The words of a line that tell what was done, without how it went: 'replaced the belt' of '... still no spin'."""
    parts = [part for part in _GOES_ON.split(plain(text)) if part and part.strip()]
    ways = (FITTED, CLEANED, IS_IN)
    done = [part for part in parts if any(way.search(part) for way in ways)]
    return " ".join(part.strip() for part in done or ([plain(text)] if NEW_ONE.search(plain(text)) else []))


def cause_in(text: str) -> str:
    """The part of a line that says what it was, as typed: 'it was a loose plug'; empty if none does."""
    for part in re.split(r"[,.;\n]|\s-+\s", _NEVER_MIND.sub(" ", text)):
        found = _CAUSE.search(drop_apostrophes(part))
        if found is not None:
            bare = drop_apostrophes(part)
            began = found.group().lower() in {"was", "were", "estaba"}
            cause = WORKS_NOW.sub(" ", bare if began else bare[found.end():])
            cause = re.sub(r"^\s*(that|it was|was|a|an|the|its|it)\b", "", cause.strip(), flags=re.IGNORECASE)
            if any(c.isalpha() for c in cause):
                return " ".join(cause.split())[:120]
    return ""


def besides_work(text: str) -> str:
    """What a line tells besides the work and that it is the same: 'did that, still hums' leaves 'hums'."""
    said, work = DID_IT.sub(" ", plain(text)), work_in(text)
    said = re.sub(r"\b(still|nope|done)\b|^\s*no\b", " ", said.replace(work, " ") if work else said)
    return " ".join(said.split()).strip(" ,.")


def plain(text: str) -> str:
    """Lower case without apostrophes, and without the 'never mind' that begins many such lines. Who had somebody swap a
    part had it swapped by him."""
    said = _NEVER_MIND.sub(" ", drop_apostrophes(text.lower()))
    return _HAD_HIM.sub(lambda found: f"{found['who'].strip()} {_DONE_BY[found['verb']]}", said)


_DONE_BY: Final = {"swap": "swapped", "replace": "replaced", "change": "changed", "install": "installed",
                   "fit": "fitted", "put": "put", "clean": "cleaned", "clear": "cleared", "stick": "stuck"}
_HAD_HIM: Final = re.compile(
    r"\b(?:had|got|has had|have had|paid)(?P<who>(?: (?:a|an|the|her|his|their|my|our|some|that|another|one of|last))*"
    rf" (?:{_LAYMAN}|{_MAN}|handyman|plumber|electrician)(?: guy| man| friend)?)"
    rf"(?: (?:come|in|out|over|round|by|and|to|go))* (?P<verb>{'|'.join(_DONE_BY)})\b", re.IGNORECASE)


def _without_new(said: str) -> str:
    return re.sub(r"\bnow (it|its|she)\b", "now", re.sub(r"\bnew\b", " ", said))
