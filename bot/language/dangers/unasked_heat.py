"""Heat that nobody asked a dryer for: on air only, with its drum still, its door open, its control at off.

The same words in another order mean the opposite ('no heat, it was on air only'), so it is told by the order of them.
"""

from __future__ import annotations

import re
from typing import Final

from bot.language.dangers.unsafe_seen import without_hot_feed

_GAP: Final = (r"(?:(?!\b(?:no|not|never|isnt|isn't|doesnt|doesn't|wont|won't|nothing|until|till|then|but)\b)"
               r"[^.;:!?,()]){0,34}?")
_NOT: Final = (r"(?<!\bno )(?<!\bnot )(?<!\bnever )(?<!\bisnt )(?<!\bisn't )(?<!\bdoesnt )(?<!\bdoesn't )(?<!\bwont )"
               r"(?<!\bwon't )(?<!\bdont )(?<!\bdon't )(?<!\bdidnt )(?<!\bwithout )")
_PART: Final = r"(?:heaters?|elements?|elem|heating element|heating coil|coils?|burner|flame)"
_LIT: Final = (rf"(?:\b(?:heats|heating)\b(?! (?:element|coil|coils|circuit|fine|ok|good))|\b{_PART} "
               r"(?:is |was |stays? |stayed |still |keeps? |remains? |comes? |goes |all |glow(?:s|ing)? |just )*"
               r"(?:on|lit|red|red hot|hot|glow(?:s|ing)|burning|energi[sz]ed)\b|"
               r"\bheat (?:is |was |stays? |still |keeps? |comes? )+(?:on|going|coming)\b(?! and off)|"
               r"\b(?:stays|keeps|still) (?:getting |red |running )?hot\b)")
_LIT_PART: Final = (rf"\b{_PART} (?:is |was |stays? |still |keeps? |all )*"
                    r"(?:on|lit|red|red hot|hot|glow(?:s|ing)|burning|energi[sz]ed)\b")
_HOT: Final = (rf"(?:{_LIT}|\bheat (?:wont|won't|never|doesnt|doesn't) (?:shut|turn|go|goes|turns|shuts) off\b|"
               r"\bwarm air\b|\bputting out heat\b|\b(?:red|gets|getting|still|too|so|blows?|blowing|"
               r"runs?|running|feels?|burning|is|its|it's|comes? out|really|way too|super|just as) "
               r"(?:red |still |so |too |really )?hot\b|"
               r"\blike an oven\b|\bhot air\b)")
_AIR: Final = (r"(?:(?<!hot )(?<!cold )(?<!warm )(?<!cool )\bair[ -]?(?:only|fluff|dry|tumble)\b|\bfluff(?: air)?\b|"
               r"\b(?:no|zero|without)[ -]?heat\b(?: setting| cycle| mode| fluff)?|"
               r"\bcool ?down\b|\bcold (?:setting|cycle)\b|"
               r"\b(?:the )?heat (?:turned |set |switched |selector |knob )*(?:at |to )?off\b)")
_ON: Final = r"\b(?:on|in|at|with|w|during|even|set to|set on|set at|under)\b"
_STILL: Final = (r"\b(?:(?:drum|motor|tumbler|blower)\b (?:is |has |had |was |are |all )*"
                 r"(?:stopped|stops|standing|still|off|at rest)|motor (?:is |was )?(?:not running|isnt running|silent)|"
                 r"it (?:is|has|had|was) (?:already )?stopped(?: turning)?)\b")
_OPEN: Final = r"\bdoor(?:'?s)? (?:is |was |wide |stands |left )*open(?:ed)?\b"
_OFF: Final = (r"\b(?:(?:its|it is|it's|timer|knob|dial|dryer|machine|control|switch|start|unit|power|motor|"
               r"turned|switched|shut|shuts|shutting|turns|turning|it|cycle|i|they|he|she|is|at|in|to|the|you) )*"
               r"['\"]?(?:off|shut ?off|released|ended|ends|over|finished|done)\b['\"]?")
_WHILE: Final = r"\b(?:with|w|w/|when|while|after|even|though|once)\b"
_THEN: Final = r"\b(?:still|but|and|while|yet)\b"

_ON_AIR_ONLY: Final = (
    rf"{_NOT}{_HOT}{_GAP}{_ON}(?: the)? ?{_AIR}",
    rf"(?:{_ON}(?: the)? ?)?{_AIR}(?: = |[ ,]+(?:it|dryer|and|but|too|as well|setting|cycle|mode|\w+ed))*{_GAP}"
    rf"{_NOT}(?:still|gets?|is|its|it's|comes?|blows?|runs?|heats|heating|stays|feels|red)[^.;!?]{{0,16}}?"
    r"\b(?:hot|heats|heating|heat on|red|like an oven)\b")
_DRUM_STILL_OR_DOOR_OPEN: Final = (
    rf"{_NOT}{_LIT}{_GAP}[ ,]+(?:{_WHILE} )?(?:the )?(?:{_STILL}|{_OPEN})",
    rf"(?:{_STILL}|{_OPEN}){_GAP}{_THEN} {_GAP}{_NOT}{_LIT}",
    rf"{_STILL}[ ,]+(?:the )?{_NOT}{_LIT_PART}",
    rf"\b(?:stays?|keeps?|still|remains?) (?:on|lit|red|hot|heating|burning|going|glowing)\b{_GAP}"
    r"\b(?:when|after|even if|once) (?:i|you|we|they|she|he) open(?:ed)? (?:it|the door)\b")
_AT_OFF: Final = (
    rf"\b(?:red|getting|gets|keeps|heats|heating)\b[^.;:!?,]{{0,12}}(?:hot|up)?{_GAP}\b(?:with|when|while) (?:the )?"
    r"(?:timer|knob|dial|control|its|it is|it's)(?: is| at| to| in| even)* (?:off|not (?:even )?(?:running|on))\b",
    r"\b(?:heats|heating|hot)\b[^.;:!?,]{0,14}\b(?:just|as soon as|when|once|while) (?:\w+ ){0,2}"
    r"(?:plug(?:ged)?(?: it)? in|sitting there off)\b",
    rf"{_NOT}{_LIT}{_GAP}{_WHILE} {_OFF}",
    rf"\b(?:timer|knob|dial|dryer|machine|control|its|it's|it|switched|turned) "
    rf"(?:it |is |was |at |to |turned )*['\"]?off\b['\"]?[ ,]+(?:{_THEN} )?{_GAP}{_NOT}(?:still {_GAP})?{_LIT}",
    r"\b(?:wont|won't|cant|can't|doesnt|doesn't|never|not) (?:ever )?stops? heating\b",
    r"\b(?:heats|heating|heat on|element on|burner on) (?:all the time|non ?stop|constantly|by itself|on its own|"
    r"no matter what|day and night)\b")
_IN_SPANISH: Final = (
    r"\bcalienta\b[^.;!?,]{0,24}\b(?:puerta abierta|apagad[ao]|parad[ao]|sin calor|aire (?:fr[ií]o|solo)|sin que)\b",
    r"\b(?:resistencia|llama|quemador)\b[^.;!?,]{0,14}\b(?:prendid[ao]|encendid[ao]|roj[ao])\b[^.;!?,]{0,24}"
    r"\b(?:apagad[ao]|parad[ao]|puerta abierta)\b")
_UNASKED: Final = re.compile(
    "|".join((*_ON_AIR_ONLY, *_DRUM_STILL_OR_DOOR_OPEN, *_AT_OFF, *_IN_SPANISH)), re.IGNORECASE)
_TOO: Final = re.compile(
    rf"\b(?:even|also)\b[^.;!?,]{{0,14}}(?:{_AIR}|{_OPEN}|{_STILL})|"
    rf"^\W*(?:(?:yes|yeah|yep|its|it is|on|in|with|and|the) )*(?:{_AIR}|{_OPEN}|{_STILL}) (?:too|as well|also)\W*$",
    re.IGNORECASE)
_TURNS_ON: Final = re.compile(
    r"\b(?:keeps?|still|goes on|continues?)\b[^.;!?,]{0,16}\b(?:tumbl\w+|turning|spinning|running|going)\b|"
    r"\bsigue (?:girando|andando)\b", re.IGNORECASE)
_ASKED: Final = re.compile(r"\?\s*$")
_BELT: Final = re.compile(
    r"\bbelts? (?:\w+ )?(?:broke\w*|snapped|off|gone|torn)\b|\bmotor (?:is |still |keeps )*"
    r"(?:runs|running|hums|humming|turns|turning)\b|"
    r"\b(?:by hand|hear the motor)\b", re.IGNORECASE)
"""A drum that stands while its motor turns: a belt, and the heat is as it should be."""


def heats_unasked(text: str) -> bool:
    """Whether a dryer is said to heat on air only, with its drum still, its door open or its control at off."""
    text = without_hot_feed(text)
    return _ASKED.search(text) is None and _UNASKED.search(text) is not None and _BELT.search(text) is None


def on_air_too(text: str) -> bool:
    """Whether of a dryer that is too hot the words say that it is so on air only, or with the drum still, too."""
    return _ASKED.search(text) is None and _TOO.search(text) is not None


def turns_on(text: str) -> bool:
    """Whether its drum is said to go on turning."""
    return _TURNS_ON.search(text) is not None
