"""A burner's own flame and spark, told by how they burn and what they light: 'bottom flame is yellow', 'pots black
underneath, flame looks ok', 'sparks, lights right off'. Those anywhere else stay a fire, and all of them on what burns
no gas."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.language.dangers.only_told import only_told

_HOW: Final = (
    r"(?:yellow\w*|orange|blue\w*|red tips?|weak\w*|low|lower|lazy|small\w*|tiny|short|uneven|patchy|pale|steady|soft|"
    r"lift(?:s|ing)?|float(?:s|ing)?|waver\w*|dances|flutter\w*|sink(?:s|ing)?|"
    r"(?:goes|went|dies|drops|cuts|going) (?:out|off|down)(?! of| the)|"
    r"ok|okay|fine|good|normal|right|even|(?:half|part|some) (?:of )?the ring|all (?:the way )?(?:a?round|along))")
_LINK: Final = (r"(?:(?:(?:in|at|on|of) )?(?:the|its?|is|are|was|looks?|burns?|burning|seems?|stays?|gets?|real|really|"
                r"very|kinda|sorta|bit|a|too|all|at|in|on|left|right|rear|front|back|bottom|lower|upper|inside|oven|"
                r"burners?|lights?|then|just|only|sometimes|still|always|quite|pretty|more|mostly|and|,) )")
_TOLD: Final = re.compile(
    rf"\bflame {_LINK}{{0,6}}{_HOW}\b|\bflames {_LINK}{{0,3}}(?:is|are|look|burn|stay|seem) {_LINK}{{0,3}}{_HOW}\b|"
    rf"\b{_HOW} (?:(?:back|bottom|lower|oven|burner|little) )?flame\b")
_ELSEWHERE: Final = re.compile(
    r"\b(?:smok\w*|smel\w*|stink\w*|fires?|fire\w+|melt\w*|wir(?:e|es|ing)|cords?|outlets?|plugs?|boards?|valves?|lines?|"
    r"hoses?|pipes?|fittings?|regulators?|connectors?|knobs?|walls?|cabinets?|cupboards?|curtains?|floors?|greas\w*|"
    r"doors?|drum|lint|elements?|coils?|heaters?|electric\w*|shoot\w*|shot|lick\w*|com(?:es?|ing|in)|came|roll\w*|big\w*|"
    r"huge|tall|everywhere|flar\w*|catch\w*|caught|boom\w*|bang\w*|explo\w*|spread\w*|high\w*|help|"
    r"burning (?!yellow|orange|blue|low|weak|small|ok|fine|good)\w+|"
    r"out (?:the|of|from|at|back)|(?:wont|doesnt|didnt|never|not|cant) (?:go|going|be|get|put)\b.*\bout|"
    r"(?:shut|turn\w*|switch\w*|put) (?:it |them |the \w+ )?off|with (?:it|everything|all|the \w+) (?:at )?off|at off|"
    r"(?:under|underneath|below|behind) (?:the|my|her|his|it|this)(?! (?:pots?|pans?|kettles?))|"
    r"apagad[ao]|humo|fuego|incendio)\b")


def of_a_burners_flame(words: Sequence[str]) -> bool:
    """Whether all that is told of a flame is how a burner's own burns. `words`: as typed or as mended."""
    return only_told(words, _TOLD, _ELSEWHERE, "flame")


_LIGHTS: Final = re.compile(
    r"\b(?:(?:all|every|each|both|four|any)(?: of)?(?: the)? burners?|others?|caps?|ring|grates?|"
    r"electrodes?|igniters?|ignitors?|catch(?:es|ing)?|click\w*|tick\w*|knobs?|"
    r"all (?:four|five|of (?:em|them))|lights? (?:right|up|every|fine|ok|okay|now|first|quick|straight|each|it|all|"
    r"good)|lits?|flame (?:right|first|every|now))\b")
_ARCED: Final = re.compile(
    r"\b(?:arc\w*|flash\w*|fl(?:y|ies|ew|ying)|smok\w*|smel\w*|stink\w*|burn(?:t|ed|ing)|fires?|melt\w*|"
    r"wir(?:e|es|ing)|cords?|outlets?|plug\w*|boards?|panels?|displays?|elements?|coils?|glass|electric\w*|heaters?|"
    r"oven|inside|behind|under\w*|between|tray|metal|base|back of|walls?|bang\w*|boom\w*|pop(?:s|ped|ping)?|breakers?|"
    r"flicker\w*|dim\w*|lights? (?:went|go|goes) out|house|touch\w*|shock\w*|zap\w*|me|hands?|fingers?|screwdriver|"
    r"pan|pots?|grease|wet|water)\b")


def of_a_burners_spark(words: Sequence[str]) -> bool:
    """Whether sparks are told of with the burner that they light, and nothing of an arc."""
    return only_told(words, _LIGHTS, _ARCED, "spark")
