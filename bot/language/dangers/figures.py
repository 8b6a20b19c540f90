"""Words of a danger in a manner of speaking: a smoke that somebody had, breath that smokes, a thumb that hurts from
pushing, a sticker's shock. Left out before anything is read, so that whatever else the line says counts as ever."""

from __future__ import annotations

import re
from typing import Final

_SMOKER: Final = r"(?:^|[.,;!?]|\b(?:i|we|he|she|they|ive|and|then|just|so|after|while|buddy|helper|customer|cust))"
_PUSHES: Final = (
    r"\b(?:push|press|held|hold|turn|crank|twist|pull|squeez|scrub|wiggl|listen|tighten|click|work|wrench|shov|lean)\w*")
_BLOWS: Final = r"\b(?:blew|blow|blown|blowing|huff\w*|puff\w*|suck\w*)\b"
_FIGURES: Final = re.compile(
    rf"{_SMOKER}\s*(?:just )?(?:had|having|took|went for|out for|stepped out for|gone for) "
    r"(?:a|my|me) (?:quick |little |short )?(?P<had>smoke)\b(?= *(?:$|[.,;!?]|(?:break|n|then|first|meanwhile)\b|"
    r"and (?:came|come|it|still|back|went)|(?:out|in) (?:the )?(?:truck|van|car)))|"
    r"\b(?P<pause>smoke)(?= ?breaks?\b)|"
    r"\b(?:my|his|her|your|our|see the) (?:breath|cheeks?|ears|brain)(?: (?:is|are|was|were|just|all))* "
    r"(?P<breath>smok(?:e|es|ed|ing|in))\b(?! from)|"
    r"\b(?P<food>smoked)(?= (?:saus\w*|ham|bacon|salmon|fish|meat|brisket|turkey|glass)\b)|"
    r"\b(?:vanish\w*|disappear\w*) (?:right |just )?(?:up )?in(?:to)? (?:a puff of )?(?P<gone>smoke)\b|"
    r"\bholy (?P<holy>smokes?)\b|\bsmoke and mirrors\b|\blike a house (?P<house>on fire)\b|"
    r"\bold (?P<stain>smoke)(?= (?:stains?|marks?|film)\b)|"
    r"(?<!burnt )(?<!burning )(?<!hot )(?<!scorched )\b(?:paint|varnish|polish|bleach) (?P<fumes>fumes?)\b|"
    r"\bcolou?r me (?P<colour>shocked)\b|"
    r"\b(?:i was|im|i am|was|kinda|bit) "
    r"(?P<amazed>shocked)(?= (?:that|how|to (?:see|find|hear)|at how|it (?:even|still))\b)|"
    r"\b(?:sticker|bill|price|culture) (?P<price>shock)\b|"
    r"\bonly (?P<only>shock)(?= (?:(?:here|there|in it|for me|i got) )?(?:is|was)\b)|"
    r"\b(?P<said>shock(?:s|ed|ing)?|fire|smok(?:e|es|ed|ing)|flood(?:s|ed)?)\b(?=[^.;!?]{0,40}"
    r"\b(?:figure of speech|so to speak|not literally|manner of speaking)\b)|"
    rf"{_BLOWS}[^.;!?]{{0,25}}?\b(?:till|til|until|so (?:hard|long)|enough)\b[^.;!?]{{0,20}}?"
    r"\b(?P<blew>dizzy|light ?headed|woozy)\b|"
    rf"{_PUSHES}[^.;!?]{{0,40}}?\b(?:till|til|until|so (?:hard|long)) (?:that )?(?:my|his|her) "
    r"(?:hands?|fingers?|thumbs?|arms?|wrist|ears?|knees?|back|shoulders?) "
    r"(?:(?:is|was|were|got|started to|just) )?(?P<hurt>hurts?|hurting|ached?|sore)\b|"
    r"\b(?P<light>in (?:this|that|the|such|poor|bad|dim|low)(?: \w+)? light)\b|"
    r"\b(?P<tore>tore|ripped|jerked|yanked) (?:it|them|that|the (?:hose|bucket|jug|pail|end|line)) "
    r"(?:(?:right|clean|nearly|almost|straight) )*(?:out|outa|outta|from|off)(?: of)? my "
    r"(?:hands?|hnads?|grip|fingers)\b|"
    r"\bnot even (?:a|an|the|any) (?:tiny |little |slight |single |faint |hint of a )?"
    r"(?P<none>(?:whiff|smell|hint|trace|sniff|odou?r) of (?:gas|smoke|propane))\b", re.IGNORECASE)


def without_figures(text: str) -> str:
    """The text with blanks for those words, so that every other word keeps its place."""
    for found in _FIGURES.finditer(text):
        if found.lastgroup is not None:
            start, end = found.span(found.lastgroup)
            text = text[:start] + " " * (end - start) + text[end:]
    return text
