"""A range's fan that blows on when all is off: by design on most, and no heat that does not turn off.

'Wont stop' and 'keeps running' say of a fan what of an oven is a danger. What a message says beside its fan counts
as it always does.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.language.meaning import Guess, Meaning

FAMILY: Final = "range"
RUNS_ON: Final = "fan_runs_on"
HEAT_GONE_WRONG: Final = frozenset({"wont_turn_off", "heat_cycles_off"})
"""What the same words say of an oven."""
HALF: Final = 0.5
SURE: Final = 0.85

_KINDS: Final = r"(?:(?:cooling|convection|exhaust|vent|oven|internal|inside|blower|little|rear|top) )*"
_FAN: Final = rf"{_KINDS}(?:fans?|blowers?|ventilador(?:es|cito)?|abanico|turbina)"
_WHERE: Final = (r"(?: (?:in|on|of|inside|behind|above|over|del?|en el|of the) (?:the |it|its |my |el )?"
                 r"(?:oven|range|stove|door|wall oven|back|top|it|horno)?)?")
_ADVERB: Final = r"(?: (?:just|still|always|also|never|will|would|does|ever|even|all the time|in there|up there))*"
_NOT_OFF: Final = (r"(?:wont|won't|will not|doesnt|doesn't|does not|dont|don't|didnt|didn't|never|cant|can't|not)"
                   r"(?: ever| want to)? (?:stops?|quits?|(?:shut|turn|switch|go|cut|kick)(?:s|ing)? (?:it |"
                   r"itself )?(?:off|down)|"
                   r"shutting (?:off|down)|ends?|stopping|quitting)")
_RUNNING: Final = r"(?:running|runs?|going|goes|blowing|blows?|spinning|on|humming|whirring|working|turning)"
_GOES_ON: Final = (rf"(?:(?:keeps?(?: on)?|kept|continues?(?: to)?|stays?|staying|(?:is |was )?still) {_RUNNING}|"
                   rf"keeps? on|"
                   r"(?:runs|goes|blows|stays) on)(?: and on)?(?! and off)")
_MINUTES: Final = r"(?:like |about |a good |another )*(?:\d+|an?|half an|twenty|thirty|ten) ?(?:min\w*|hours?|hrs?)"
_LONG: Final = (rf"(?:runs?|running|blows?|blowing|goes|going) (?:on |for )*(?:forever|non ?stop|constantly|"
                rf"continuously|"
                rf"all (?:the time|day|night)|{_MINUTES})")
_SIGUE: Final = (r"(?:sigue|queda|se queda|no (?:para|se apaga|deja de)) ?(?:andando|soplando|prendid[oa]|"
                 r"encendid[oa]|girando|funcionando|soplar|andar)?")
_HEAT: Final = (r"(?:heat\w*|hot|red|glow\w*|flames?|burn\w*|elements?|lit|fire|smok\w*|bak(?:es|ing) on|caliente|"
                r"calienta|"
                r"roj[oa])")
_AFTER: Final = (rf"(?:(?!\b{_HEAT}\b)[^.;!?,]){{0,40}}?\b(?:after|when|once|even|with|though|minutes?|min|despues|"
                 rf"cuando|aunque)\b"
                 rf"(?:(?!\b(?:{_HEAT}|but|and|n|then|also)\b)[^.;!?,]){{0,60}}")
_WEAK: Final = (rf"(?:is|was|comes|goes|runs?|blows?|running|blowing) ?(?:{_RUNNING} )?(?:after|"
                rf"once)\b(?:(?!\b{_HEAT}\b)[^.;!?,]){{0,40}}")
_BEFORE: Final = (r"(?:\b(?:after|when|once|even after|if) (?:i|you|we|they|he|she|the customer|cust|it|its|it's|"
                  r"oven|the oven|range)?"
                  r"[^.;!?]{0,24}?\b(?:off|done|finished|over|cools?|baking|cooking|bake)\b[ ,]*(?:the |its |that )?|"
                  r"\b(?:turn(?:ed|s)?|shut|switch(?:ed)?) (?:the |my )?(?:oven|it|"
                  r"range)? ?off\b[^.;!?]{0,24}?\b(?:and|but|n)\b (?:the |its )?)?")
_RUNS: Final = re.compile(
    rf"{_BEFORE}(?<!oven and )(?<!oven and the )(?<!heat and )(?<!burner and )(?<!element and )\b"
    rf"{_FAN}{_WHERE}{_ADVERB}"
    rf" (?:(?:{_NOT_OFF}|{_GOES_ON}|{_LONG}|{_SIGUE})\b(?:{_AFTER})?|{_WEAK})", re.IGNORECASE)
_HEARD_RUN: Final = re.compile(
    rf"\b(?:hear|hears|heard|noise of) (?:the |a |its )?{_FAN}(?: running| going| blowing| on)?"
    rf" (?:after|when|once)\b(?:(?!\b{_HEAT}\b)[^.;!?,]){{0,40}}", re.IGNORECASE)
_WHILE_ON: Final = re.compile(r"\b(?:while|during|in) (?:it |its |it's )?(?:bak|preheat|cook|heat|"
                              r"use)\w*", re.IGNORECASE)
_ALL_NIGHT: Final = re.compile(r"\ball (?:night|day|the time|nite)\b", re.IGNORECASE)
_AS_IT_SHOULD: Final = re.compile(r"\?|\b(?:normal|supposed to|meant to|not? (?:problem|trouble)|"
                                  r"fine)\b", re.IGNORECASE)
_LOUD: Final = re.compile(
    r"\b(?:loud\w*|nois\w+|grind\w*|rattl\w*|squeal\w*|scrap\w*|roar\w*|howl\w*|dron\w*|whin\w*|buzz\w*|"
    r"ruido\w*)\b", re.IGNORECASE)
_CLEAN: Final = re.compile(r"\s{2,}")


def beside_fan(text: str) -> str | None:
    """What is left of a text without the words that its fan runs on; None where it says nothing of the kind."""
    left = _RUNS.sub(" ", text)
    left = _HEARD_RUN.sub(" ", left)
    if left == text or _WHILE_ON.search(text):
        return None
    left = _ALL_NIGHT.sub(" ", left)
    return _CLEAN.sub(" ", left).strip(" ,.;")


def of_the_fan(text: str, whole: Meaning, rest: Meaning) -> Meaning:
    """The meaning of a whole message, without what only its fan sounded like. `rest`: the meaning of what it says
    beside its fan."""
    also = {guess.id for guess in rest.complaints}
    kept = tuple(g for g in whole.complaints if g.id in also or (g.id not in HEAT_GONE_WRONG and g.p >= HALF))
    told = tuple(g for g in kept if g.id != "noisy" or _LOUD.search(text))
    if not told and not whole.complaints and _AS_IT_SHOULD.search(text):
        return whole
    if told == whole.complaints and told:
        return whole
    runs_on = () if any(g.id == RUNS_ON for g in told) else (Guess(RUNS_ON, SURE),)
    return replace(whole, complaints=(*told, *runs_on), confident=True, candidates=(), small_talk=None,
                   hazard=whole.hazard or rest.hazard)
