"""What somebody saw that must not get power again: a burnt plug, a bare cord, a flame that stays on with its knob off.

A check of the family has a result for it, with an instruction that comes at once. These are said in passing and at any
moment, while something else is asked.
"""

from __future__ import annotations

import re
from typing import Final

_AMID: Final = r"(?:(?!\b(?:no|not|nothing|isnt|arent|aint|wasnt|never|without|if|like new)\b)[^.;!?,]){0,24}?"
_BURNT: Final = (
    r"(?:burn(?:t|ed)(?: up| black| out| brown| off)?|melt(?:ed|ing)|scorched|charred|singed|browned|blackened|"
    r"discolou?red|fried|cooked|toasted|half melted|(?:gone|turned|is|was|looks|all|are|its) (?:brown|black)|"
    r"quemad[oa]s?|derretid[oa]s?)")
_OUTLET: Final = (
    r"(?:outlets?|receptacles?|wall sockets?|prongs?|plug blades?|enchufe|(?<!drain )(?<!spark )(?<!lock )(?<!latch )"
    r"(?<!motor )(?<!pump )(?<!element )(?<!bake )(?<!valve )(?<!switch )(?<!its )(?<!wire )(?<!harness )"
    r"(?<!sensor )plugs?)")
_CORD: Final = r"(?:(?:power |supply )?cords?|(?:power|supply|mains) (?:cable|lead|flex)|cable(?= pelado))"
_BLOCK: Final = (r"(?:terminal ?(?:block|strip|board)|"
                 r"block(?= (?:is |looks |was |all )*(?:burn\w*|melted|black|charred|scorched|toast\w*) (?:at|on) l\d)|"
                 r"(?:neutral|hot|line|ground) (?:lug|terminal|screw)|"
                 r"cord terminals?)")
_BOX: Final = (r"(?:wire ?nuts?|splices?|wires? in the (?:\w+ )?box|(?:connection|junction|wiring|electrical) box|"
               r"j[ -]?box|caja de conexi[oó]n)")
_BARE: Final = (
    r"(?:chewed|gnawed|frayed|bare (?:copper|wires?|spots?)|copper (?:showing|sticking out)|nicked|split open|"
    r"cut (?:open|thru|through)|cracked open|exposed wires?|pelado)")
_BURNT_PLAINLY: Final = (
    r"(?:burn(?:t|ed)(?: up| black| out| brown| off| thru| through)?|melt(?:ed|ing)|scorched|charred|singed|"
    r"(?:half |all |a bit )?(?:cooked|toasted|fried)|quemad[oa]s?|derretid[oa]s?)")
"""Most cords are black or brown: of one as a whole a colour says nothing, at its end it does."""
_CORD_END: Final = (
    rf"(?:(?:(?:plug|dryer|range|stove|machine|block|wall|other|far) )?(?:end|tip|side) (?:of|on) (?:the |its |"
    rf"that |this )?"
    rf"{_CORD}|{_CORD}(?:'s|s)? (?:end|tip|ends|tips|lugs?|eyelets?|rings?)|where (?:the |its )?{_CORD} (?:comes|"
    rf"goes|hooks|bolts|"
    r"screws|enters|meets)(?: up| in| into| on| to| the| at| dryer| range| machine| block)*)")
_CORD_GAP: Final = (r"(?:(?!\b(?:no|not|nothing|isnt|arent|aint|wasnt|never|without|if|like new|smell\w*|odor|fine|"
                    r"ok|good)\b)[^.;!?,]){0,30}?")
_AT_MACHINE: Final = re.compile(
    r"\b(?:on|at|in|into|to|of|by|inside|behind) (?:the |its )?(?:back of (?:the )?)?(?:dryer|range|stove|oven|"
    r"machine|washer|block|terminals?|cabinet|unit|lugs?)\b|\b(?:dryer|range|stove|machine|block) (?:end|side)\b|"
    r"\b(?:lugs?|eyelets?|rings?)\b|"
    r"\bwhere\b", re.IGNORECASE)
_DENIED: Final = r"(?<!\bno )(?<!\bnot )(?<!\bisnt )(?<!\bnever )(?<!\barent )"


def _near(one: str, other: str, gap: str = _AMID) -> re.Pattern[str]:
    return re.compile(rf"\b{one}\b{gap}{_DENIED}\b{other}\b(?! smell)|{_DENIED}\b{other}\b(?! smell){gap}\b{one}\b",
                      re.IGNORECASE)


_STAYS_ON: Final = re.compile(
    r"\b(?:knobs?|dial|it) (?:is |are |was |set |turned |all the way )*(?:at |to |in )?off\b[^.;!?]{0,30}"
    r"\b(?:still|stays|keeps)\b[^.;!?]{0,20}\b(?:on|lit|burn\w*|flam\w*|glow\w*|heat\w*|hot|red|go\w*)\b|"
    r"\b(?:still|stays?|keeps?|flame|burner|unit|element|oven)\b[^.;!?]{0,30}\b(?:on|lit|burning|glowing|heating|red)\b"
    r"[^.;!?]{0,20}\b(?:with|when|after|and)\b[^.;!?]{0,14}\b(?:knobs?|dial|it|its|control)\b[^.;!?]{0,14}\boff\b|"
    r"\b(?:wont|won't|cant|can't|doesnt|doesn't) (?:shut|turn|switch|go)(?: it| the \w+| this)? off\b|"
    r"\b(?:runs?|ran) away\b",
    re.IGNORECASE)

_NO_HEATER: Final = re.compile(r"\b(?:lights?|lamp|display|fan|lock|beep\w*|clock|panel)\b", re.IGNORECASE)

_CORD_BURNT: Final = (_near(_CORD_END, _BURNT, _CORD_GAP), _near(_CORD, _BURNT_PLAINLY, _CORD_GAP))
_MARK: Final = (
    r"(?:(?:brown|black|dark|burn|burnt|scorch|heat|melt)(?:ish|ed|ing)? (?:marks?|spots?|stains?|patch(?:es)?|"
    r"rings?|streaks?)|discolou?r\w*)")
_MARKED: Final = re.compile(
    rf"{_DENIED}(?<!any )\b(?:brown(?:ing|ish|ed)?|black(?:ening|ened)?|scorch(?:ing)?|{_MARK}) "
    rf"(?:at|on|around|round|by|near|inside|in|behind|all over|along|where) (?:(?:the|its|that|his|her|one|both|a|of|"
    rf"side|end|hot|wall|power|range|dryer|stove|two|legs?) )*{_OUTLET}\b|"
    rf"\b{_OUTLET}\b(?: (?:is|are|has|have|got|a|all|some|with|shows?|looks?|bit|of|its|one|side|kind|kinda|pretty|"
    rf"real|really))* (?:{_MARK}|brown(?:ed|ish)?|blackened|browning)\b", re.IGNORECASE)
_AT_THE_BLOCK: Final = (("terminal_block_look", "burnt"), ("box_look", "burnt"), ("cord_look", "damaged"),
                        ("outlet_look", "burnt"))
_AT_THE_WALL: Final = (("cord_look", "damaged"), ("outlet_look", "burnt"))
_AT_THE_COIL: Final = (("coil_socket_look", "burnt"),)
_RIM: Final = r"(?:drums?|(?:drum )?rims?|drum'?s|rim'?s|inner drum|tambor)"
_UNTRUE: Final = (
    r"(?:wobbl\w+|flops? (?:around|about|loose)|flopping(?: around| about)?|run(?:s|ning)? (?:out(?: of true)?|untrue)|"
    r"out of (?:true|round)|not (?:running )?true|untrue|in and out|lopsided|tilt(?:s|ed)|sags|dips on one side|"
    r"egg ?shaped|bailotea|descentrado|baila)(?! (?:in|on|when|while|during|at) (?:the |it |its |full )?(?:spin\w*|"
    r"speed|fast|high))")
"""Seen by hand or eye at rest; that it all shakes in a spin is another matter."""
_OTHER_PARTS: Final = (r"(?! (?:belts?|bearings?|seals?|gaskets?|boots?|lights?|rollers?|glides?|felts?|slides?|"
                       r"springs?|pulley)\b)")
_SPUN: Final = (
    rf"(?:(?:(?:spin|wash|inner|steel|metal) )?(?:baskets?|drums?|inner tub)(?:'?s)?{_OTHER_PARTS}(?: (?:seam|rim|"
    rf"edge|lip|wall|metal|weld|back))?|"
    r"(?:drum |tub )?(?:spider|cross ?arm)s?(?: arms?)?|arms? (?:behind|of|on) the drum|canasta|tambor|cruceta)")
_OF_ANOTHER: Final = "".join(f"(?<!\\b{word} )" for word in (
    "in the", "inside the", "inside", "in", "on the", "on", "of the", "round the", "around the", "at the", "to the",
    "outer", "silverware"))
"""Before it: a vane in the drum, a ring on the basket, the tub that stands still."""
_TORN: Final = (
    r"(?:crack(?:ed)?|(?<=has )cracks|(?<=got )cracks|(?<=with )cracks|split|torn|ripped (?:open|apart)|fractured|"
    r"busted open|burst|come apart|came apart|(?<=seam has )lifted|(?<=seam is )lifted|(?<=rim has )lifted|rajad[oa]|"
    r"partid[oa])")
_SO_IT_IS: Final = (
    r"(?: (?:is|its|was|has|have|got|gots|looks?|seems?|with|a|an|the|real|big|long|little|small|hairline|clearly|"
    r"also|all|half|one|metal|seam|rim|edge|weld|wall|back|at|along|on|in|right|clean|of|its))*? ?")
_CRACKED: Final = re.compile(
    rf"{_DENIED}{_OF_ANOTHER}\b(?:(?:seam|metal|wall|rim|edge|weld|back|side|bottom) (?:of|on|in|around) "
    rf"(?:the )?)?{_SPUN}{_SO_IT_IS}{_DENIED}\b{_TORN}\b(?! (?:seal|gasket|boot|hose|belt))|"
    rf"{_DENIED}(?<!any )\b(?:cracks?|split|tear|rip|fracture|gash)\b (?:in|on|along|around|across|down|through|at|to)"
    rf"(?: (?:the|its|his|her|a|metal|seam|rim|edge|weld|wall|back|bottom|side|top|of|on|in|at))* {_SPUN}\b|"
    rf"{_DENIED}\b(?:cracked|split|torn|fractured) {_SPUN}\b|"
    r"\b(?:metal|seam|edge|piece)\b(?: (?:of|on|in|the|basket|drum|is|has|a|sharp))* (?:sticking|sticks|stuck|standing|"
    r"stands|lifted|lifting|peel\w+|bent) (?:up|out|off|away)(?: (?:of|from|in|on|at))* (?:the )?(?:basket|drum)\b|"
    r"\b(?:spider|cross ?arm)s?\b[^.;!?,]{0,14}\b(?:broke|broken|snapped|in two)\b|"
    r"\b(?:broke|broken|snapped) (?:drum )?spider\b|"
    r"\barms? (?:behind|of|on) the drum\b[^.;!?]{0,14}\b(?:broke|broken|snapped|cracked|gone)\b", re.IGNORECASE)
"""A basket, a drum or the arms that carry it, with its metal open: at speed it bursts."""
_RUNS_OPEN: Final = re.compile(
    r"(?:\b(?:keeps?|kept|still|stays?|will keep|carries) (?:on )?(?:running|turning|tumbling|spinning|going|"
    r"turns|tumbles|spins|runs)|(?<!never )\b(?:runs|turns|tumbles|spins)(?! off| out)|"
    r"\b(?:wont|won't|doesnt|doesn't|dont|don't|does not|will not|never) (?:stop|stops|quit|quits|shut off|turn off)"
    r"(?: (?:running|turning|tumbling|spinning))?)\b[^.;!?,]{0,16}?"
    r"(?:\b(?:with|w|when|while|if|after|even with) (?:the |its |a )?door(?:s|'s| is| was)? "
    r"(?:left |wide |swung )?(?:open|ajar)|"
    r"\b(?:when|while|if|after) (?:i|you|she|he|they|we|cust\w*) opens? (?:the |its )?door|"
    r"\bopening the door|\bcon la puerta abierta)", re.IGNORECASE)
"""A drum that turns with the door open: nobody reaches in to show it once more."""
_SEEN: Final[tuple[tuple[re.Pattern[str], tuple[tuple[str, str], ...]], ...]] = (
    (_near(_BLOCK, _BURNT), (("terminal_block_look", "burnt"), ("box_look", "burnt"))),
    (_near(_BOX, _BURNT + r"(?!(?: \w+){0,2} (?:smell|odou?r))"),
     (("box_look", "burnt"), ("terminal_block_look", "burnt"))),
    (_near(_OUTLET, _BURNT), (("outlet_look", "burnt"),)),
    (_MARKED, (("outlet_look", "burnt"), ("cord_look", "damaged"))),
    (_near(_CORD, _BARE), (("cord_look", "damaged"), ("outlet_look", "burnt"))),
    (_CRACKED, (("basket_look", "cracked"), ("drum_look", "cracked"))),
    (_near(_RIM, _UNTRUE), (("drum_play", "wobbles"),)),
    (_RUNS_OPEN, (("door_while_running", "keeps_on"),)),
)
_PAST: Final = re.compile(
    r"\b(?:last (?:year|month|guy|tech|one)|years? ago|months? ago|(?:was|been) replaced|replaced (?:it|the)|"
    r"new (?:cord|plug|outlet|block)|put (?:a |in a )?new|used to|old (?:one|cord|plug))\b", re.IGNORECASE)
_OF_A_COIL: Final = re.compile(
    r"\b(?:coils?|burners?|units?|swap\w*|prongs?|elem\w*|[lr][fr]|hob|pots?|hornilla)\b", re.IGNORECASE)
"""Plugs and sockets of a range that are its coils' own."""
_PRONGS: Final = frozenset({"prong", "prongs"})
_ALL_DEAD: Final = re.compile(
    r"\b(?:range|stove|cooker|machine|whole (?:thing|range|stove)|everything|all of it|it) (?:is |its |was |went |all |"
    r"just |completely |totally |stone )*dead\b|\b(?:stone|totally|completely) dead\b|"
    r"\bnothing (?:works?|comes on|on it|at all|lights)\b|\bno (?:power|clock|display|sign of life|juice)\b",
    re.IGNORECASE)
"""A coil's plug stops that coil, and no more."""
_COIL_SOCKET: Final = _near(
    r"(?:(?<!wall )(?<!power )(?<!light )(?<!lamp )(?:sockets?|receptacles?)|"
    r"(?<!terminal )(?<!cord )blocks?)", _BURNT)
_OF_THE_HOUSE: Final = re.compile(
    r"\b(?:wall|power|supply|main|240|220|behind (?:it|the (?:range|stove)))\b", re.IGNORECASE)
_SPITS: Final = re.compile(
    r"\b(?:smel\w*|stink\w*|stench|odou?r|whiff|reek\w*|huele|flash\w*|buzz\w*|zap\w*|smou?lder\w*|spit\w*|"
    r"popping|crackl\w*|just|now|while|when i|as i|still|started|starting|cord|outlets?)\b", re.IGNORECASE)
"""What is seen, heard or smelt of it now, or of a plug that is not the coil's."""
_ASKED: Final = re.compile(r"\?\s*$")
_AND_NOW: Final = re.compile(
    r"(?<=\w)[ ,.-]+(?:(?:so|and|but) )?(?:(?:can|should|may|do|shall|could) (?:i|we|they|she|he|you)\b|(?:is|"
    r"would) (?:it|that|this) (?:be )?"
    r"(?:ok|okay|safe|fine|bad|normal|alright)\b|what (?:now|next|do|to do|should)\b|(?:ok|okay|right|no|yes|eh|"
    r"huh)\b)[^.;!?]*\?+\s*$", re.IGNORECASE)
"""What is asked about a thing that was told: 'the plug is brown, can i still use it?'."""
_SMELT: Final = re.compile(
    r"(?<!\bno )(?<!\bnot )(?<!\bdoesnt )\b(?:smell\w*|stinks?|stank|odou?r|whiff|reek\w*|huele)\b"
    r"(?: (?:a bit|a little|kind of|kinda|sort of|like|of|a|it|its|is|was|really|slightly|real|"
    r"somethings?))*? "
    r"(?:burn\w*|melt\w*|scorched|charred|singed|cooked|toasted|fried|a quemado|quemad\w*)\b"
    r"(?: (?:plastic|rubber|wires?|wiring|insulation))?", re.IGNORECASE)
"""What a nose tells of; nobody has seen it."""
_AT_CORD: Final = re.compile(
    rf"\b(?:at|by|near|from|around|round|behind|on|in|inside|where) (?:the |its |that |my )?(?:\w+ ){{0,2}}"
    rf"(?:{_CORD}|{_OUTLET}|{_BLOCK})\b|\b{_OUTLET} smells\b|\b{_CORD}(?: end)? smells\b", re.IGNORECASE)
_PULLED: Final = re.compile(
    r"\bpull\w* (?:the |its |my )?plugs?\b|\bplugs? (?:is |was )?(?:out|pulled)\b", re.IGNORECASE)


def unsafe_seen(text: str, family: str | None = None, amid: str = "") -> tuple[tuple[str, str], ...]:
    """Check and result for what the words say was seen, the likeliest first; a family may have only some of the checks.
    Nothing for what was mended, is asked, or was long ago. `amid`: the line they are a part of, which tells whose
    socket it is."""
    text = _AND_NOW.sub("", text)
    if _PAST.search(text) or _ASKED.search(text):
        return ()
    if family == "range" and _of_a_coil(amid or text) and _OF_THE_HOUSE.search(text) is None:
        return _AT_THE_COIL if _COIL_SOCKET.search(text) and _SPITS.search(text) is None else ()
    text = _SMELT.sub("smells", text)
    plain = next((results for pattern, results in _SEEN if pattern.search(text)), ())
    if plain or not any(pattern.search(text) for pattern in _CORD_BURNT):
        return plain
    return _AT_THE_BLOCK if _AT_MACHINE.search(text) else _AT_THE_WALL


def _of_a_coil(line: str) -> bool:
    """Whether a line tells of a coil's own plug: prongs alone do, unless all of the range is dead."""
    own = {word.lower() for word in _OF_A_COIL.findall(line)}
    return bool(own) and not (own <= _PRONGS and _ALL_DEAD.search(line))


def smelt_at_cord(text: str) -> str | None:
    """Where something burnt is smelt at the feed and nobody says that it was seen: 'cord' or 'outlet'; None else."""
    left = _PULLED.sub(" ", _SMELT.sub("smells", text))
    if _SMELT.search(text) is None or _PAST.search(text) or _ASKED.search(text) or _AT_CORD.search(left) is None:
        return None
    return "outlet" if re.search(rf"\b{_OUTLET}\b", left, re.IGNORECASE) else "cord"


_FEED_HOT: Final = re.compile(
    rf"\b(?:{_OUTLET}|{_CORD}|{_CORD_END})(?:'?s)?\b(?: (?:end|body|itself|there|too|also|under|behind|the|sink|"
    r"machine|and|at|wall))*(?: (?:is|was|are|gets?|got|getting|feels?|felt|runs?|ran|went|gone|comes|came|real|"
    r"really|very|too|pretty|so|super|quite|damn|all|still))*? (?P<heat>warm|hot)\b"
    r"(?!(?:er)? ?(?:/|leg|wire|side|lug|neutral|water|air|and neutral|n neutral|at \d|"
    r"to (?:ground|neutral)|enough|as it))",
    re.IGNORECASE)
_NONE_BEFORE: Final = re.compile(
    r"\b(?:no|not|nor|neither|never)(?: (?:the|a|plug|cord|breaker|and|or|nor))* ?$", re.IGNORECASE)
_LIVE: Final = re.compile(r"\b(?:outlets?|receptacles?|sockets?)(?: (?:is|was))? hot\b", re.IGNORECASE)
"""'Outlet hot' says that it is live."""


def hot_at_feed(text: str) -> str | None:
    """Where a plug or cord is said to get hot, which a good one never does: 'cord' or 'outlet'; None else."""
    found = _FEED_HOT.search(text)
    if found is None or _NONE_BEFORE.search(text[:found.start()]) or any(
            no.search(text) for no in (_LIVE, _PAST, _ASKED)):
        return None
    return "cord" if re.search(_CORD, found[0], re.IGNORECASE) else "outlet"


def without_hot_feed(text: str) -> str:
    """A text without the plug or cord that it calls hot."""
    return _FEED_HOT.sub(" ", text) if hot_at_feed(text) is not None else text


def burnt_part(text: str) -> bool:
    """Whether something of the wiring is said to be burnt, and nothing of it to be mended or to burn just now."""
    return not (_PAST.search(text) or _ASKED.search(text)) and cold_burnt(text)


def found_burnt(text: str, family: str | None) -> bool:
    """Whether a plug, outlet or block is told as it was found, burnt, or smelt burnt, with no smoke, flame or heat
    now."""
    return _BURNS_NOW.search(text) is None and (smelt_at_cord(text) is not None or any(
        result == "burnt" for _, result in unsafe_seen(text, family)))


def cold_burnt(text: str) -> bool:
    """Whether what burnt is told as it was found, with no smoke, flame or heat now."""
    return _WIRING_BURNT.search(text) is not None and _BURNS_NOW.search(text) is None


_WIRING_BURNT: Final = _near(
    r"(?:wires?|wiring|terminals?|connectors?|connections?|spades?|harness|contacts?|plugs?|board|trace|relay|cable)",
    _BURNT)
_BURNS_NOW: Final = re.compile(
    r"\b(?:smok\w*|flam\w*|fire|glow\w*|spark\w*|arc\w*|sizzl\w*|crackl\w*|burning|melting|hot|humo|fuego)\b",
    re.IGNORECASE)


def stays_on(text: str) -> bool:
    """Whether a range is said to heat, or a burner to burn, with its knob off."""
    return not (_ASKED.search(text) or _NO_HEATER.search(text)) and _STAYS_ON.search(text) is not None
