"""Roundabout ways of saying that something fails or works, put plainly: 'does everything but drain' is 'wont drain'.

What follows reads the plain words, each in the place of one that was typed. Only what machines are there to do is put
otherwise, and leaks and noises that are over: no word of danger is ever lost here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from bot.language.words.lexicon import DROPPED
from bot.language.words.text import Token, word_set
from bot.language.words.units import Unit, context

Said = Mapping[int, str]
"""Where a word begins -> what is said there instead; '' for nothing."""
_TRIGGERS: Final = word_set(
    "but except besides cept excluding minus apart aside other save problem problems issue issues trouble troubles "
    "prob probs only just jus anymore more empty off kills broke broken busted kaput")
_BROKEN: Final = word_set("broke broken busted kaput")
_BEFORE: Final = 3
"""How many units before tell how it is meant."""
_OTHERWISE: Final = frozenset({"not", "deny_that", "try", "repair"})
_HARMLESS: Final = frozenset({"leak", "noise", "shake", "hum"})
"""Events that are no danger."""
_BY_NAME: Final = word_set("empty heat heats heating heated stop stops stopping stopped")
"""Words that may be a setting or a load as well."""
_LETTER: Final = {"base": "b", "s": "s", "ing": "g", "ed": "d"}
_END: Final = r"(?= (?:[.,;!?)]|and\b|n\b|or\b)|$)"
_NAMES: Final = r"(?:problems?|troubles?|issues?|probs?)"
_VERB: Final = r"(?:F[bgsd](?:_~)*|heat(?:s|ing|ed)?)"
_NOUN: Final = r"(?:F[bg](?:_~)*|heat(?:ing)?|empty)"
_WELL: Final = r"(?:(?:is |are |s )?(?:WORK|OK)(?: OK)?)"
_ALL: Final = r"(?:everything|everthing|every thing|all of|all)"
_EXCEPT: Final = (r"(?:except|besides|cept|excluding|minus|other than|apart from|apart|aside from|aside|save[ _]for)"
                  r"(?: for| from)?")
_BUT: Final = rf"(?:but|{_EXCEPT})"
_TURN: Final = r"(?:, )?(?:but|just|only|jus|cept|except|though)(?: (?:just|only))?"
_WHOLLY: Final = (r"(?:all[ _]way|fully|completely|completly|entirely|totally|up[ _]to[ _]temp\w*|"
                  r"all[ _]out|to[ _]top)")
_FAST: Final = r"(?:up[ _]to[ _](?:full[ _])?speed|full[ _]speed|fast)"
_NO_MORE: Final = (r"(?:doesnt|dont|wont|not|isnt|never|no)(?: do)?(?: that)?[ _]"
                   r"(?:anymore|any[ _]more|now|no[ _]more|any[ _]longer)")
_RULES: Final = tuple(map(re.compile, (
    # 'does everything but drain', 'everything except the spin works'
    rf"(?<!\S)(?P<drop>(?:(?:does|do|did|Fs through|goes through) )?{_ALL} (?:else |should )?)(?P<wont>{_BUT}) {_NOUN}"
    rf"(?P<drop_2> {_WELL})?(?!\S)",
    # 'everything works but the spin', 'runs great apart from heating'
    rf"(?<!\S){_ALL}(?: (?:on|in|about|with) \S+)? {_WELL} (?P<no>{_BUT}) {_NOUN}{_END}",
    rf"(?<!\S){_WELL} (?P<no>{_EXCEPT}) {_NOUN}{_END}",
    # 'tumbling isnt the problem, heat is', 'draining isnt the issue its the filling'
    rf"(?<!\S){_NOUN} (?P<works>(?:isnt|aint|wasnt|arent|(?:is |was )?not) {_NAMES})(?!\S)"
    rf"(?:(?: ,)?(?: but)? (?:{_NOUN} (?P<doesnt>is)|(?P<none>{_NOUN})){_END}|(?!(?: ,)?(?: but)? \S+ is{_END}))",
    # 'draining is the problem'
    rf"(?<!\S){_NOUN} (?P<not>(?:is|was|are|thats|s)(?: (?:what|where|whats|thing|one|that))*)"
    rf"(?P<drop>(?: (?:main|real|big|giving|gives|causing|me|us|her|him|them|having|with))*) (?P<working>{_NAMES})"
    rf"(?P<drop_2> is)?(?!\S)(?:(?: ,)?(?: and)? (?P<fine>not) {_NOUN}{_END})?",
    # 'a problem draining'
    r"(?<!\S)(?P<trouble>problem|issue|probs?) (?=Fg)",
    rf"(?<!\S)(?P<trouble>problem|issue|probs?) (?P<drop>is|was|:) {_NOUN}{_END}",
    # 'problems: leaks, noisy', 'one of the issues with it is it leaks'
    rf"(?<!\S)(?P<complaint>problems|issues|troubles?)(?!\S)(?=(?: (?!F|E|H|BROKE|[.,;!?])\S+){{0,3}} "
    rf"(?:[:-]|is|are|were|was|\d+)(?: [:-]| \d+| \))* "
    rf"(?!(?:{_NOUN}|with|w|in|on|from|when|that|getting|gettin)(?!\S)|[:-])\S)",
    # 'drains ok but not all the way', 'fills fine but only halfway'
    rf"(?<!\S)(?P<drop>{_VERB})(?: out)? (?P<doesnt>OK) (?P<verb>{_TURN})[ _]"
    rf"(?P<drop_2>not|never|isnt)[ _](?={_WHOLLY})",
    rf"(?<!\S){_VERB} (?P<drop>OK {_TURN})[ _](?=not[ _]{_FAST})",
    rf"(?<!\S)(?P<drop>{_VERB}) (?P<doesnt>OK) (?P<verb>{_TURN}) (?:only |just )?"
    rf"(?P<fully>half[ _]?way|part[ _]?way|partially|partly)(?!\S)",
    rf"(?<!\S)(?P<drop>{_VERB} OK {_TURN})[ _]"
    rf"(?=(?:doesnt|dont|wont|cant|never)[ _](?:get|go|come|reach)s?[ _](?:\S+ )?(?:{_WHOLLY}|{_FAST}))",
    rf"(?<!\S){_VERB} (?P<drop>OK {_TURN}) "
    rf"(?=(?:real |very |super |so |kinda |too |really )?(?:weak|slow|sluggish)\w*)",
    rf"(?<!\S){_VERB} (?P<drop>OK) (?=(?:{_TURN})[ _](?:never (?:get|come|reach|go)|leav))",
    # 'spins ok empty', 'tumbles ok with the heat off': how it was loaded and set
    r"(?<!\S)F[bgsd](?:_~)* OK (?P<unloaded>empty)(?!\S)",
    r"(?<!\S)F[bgsd](?:_~)*(?: OK)? (?P<drop>(?:with|w) heat[ _](?:(?:turned|shut|switched)[ _])?off)(?!\S)",
    # 'it kills the breaker'; who kills it is none
    r"(?<!\S)(?<!he )(?<!who )(?<!i )(?P<trips>kills)(?: main| double| whole)* (?=breaker|gfci|gfi|rcd|fuse)",
    # 'used to leak, doesnt anymore'
    rf"(?<!\S)(?P<doesnt>used[ _]to) [FE]b(?:_~)*(?: ,)?(?: but)? (?P<drop>{_NO_MORE})(?!\S)",
    rf"(?<!\S)(?P<doesnt>[FE]d(?:_~)*) (?P<verb>before)(?: ,)?(?: but)? (?P<drop>{_NO_MORE})(?!\S)",
)))
_BROKE_RULES: Final = tuple(map(re.compile, (
    # 'the cooling is broke', 'drain broken'; what is broken off is a part
    rf"(?<!\S){_NOUN} (?P<not>(?:is|are|was|s|got|went)(?: (?:just|all|now|totally|completely))*) "
    rf"(?P<working>BROKE)(?!\S)(?! (?:off|open|in|at|by|near|loose)(?!\S))",
    rf"(?<!\S)(?P<no>{_NOUN}) (?P<verb>BROKE){_END}",
)))
_WORK: Final = frozenset({
    "spin", "drain", "fill", "agitate", "tumble", "wash", "rinse", "heat", "dry", "cool", "freeze", "ignite", "bake",
    "preheat", "dispense", "make_ice", "defrost"})
"""What is broken when it is not done; what locks or opens is a part as well."""


def put_plainly(tokens: Sequence[Token], words: Sequence[str], units: Sequence[Unit]) -> Said:
    """What is to be said otherwise. `units`: those of the words."""
    if _TRIGGERS.isdisjoint(words):
        return {}
    line = " ".join(map(_code, units))
    kept = [at for at, word in enumerate(words) if word not in DROPPED]
    said: dict[int, str] = {}
    for rule in (*_RULES, *_BROKE_RULES):
        for found in rule.finditer(line):
            start = tokens[kept[_place(line, found.start())]].start
            if not _is_denied(units, start) and (rule in _RULES or _is_work(units, start)):
                said |= _instead(found, line, kept, tokens, words, units)
    return said


def otherwise(said: Said, tokens: Sequence[Token], words: Sequence[str]) -> tuple[list[Token], list[str]]:
    """Tokens and their words with what is said instead."""
    put = [(token, said.get(token.start, word)) for token, word in zip(tokens, words, strict=True)]
    return [token for token, word in put if word], [word for _, word in put if word]


def _code(unit: Unit) -> str:
    """A unit as the rules see it: F for what machines are there to do, E for what they should not, with its form; its
    words otherwise. Every further word of it is a '_~'."""
    sense = unit.sense
    if unit.words in _BY_NAME:
        return unit.words
    if unit.words in _BROKEN:
        return "BROKE"
    if sense is not None and sense.concept in ("ok", "work"):
        known = "OK" if sense.concept == "ok" else "WORK"
    elif sense is not None and sense.kind == "function" and not unit.tags:
        known = "F" + _LETTER[sense.form]
    elif sense is not None and sense.kind == "event":
        known = ("E" if sense.concept in _HARMLESS else "H") + _LETTER[sense.form]
    else:
        return unit.words.replace(" ", "_")
    return known + "_~" * unit.words.count(" ")


def _place(line: str, at: int) -> int:
    """How many words stand before a place of the line."""
    return line.count(" ", 0, at) + line.count("_", 0, at)


def _is_denied(units: Sequence[Unit], start: int) -> bool:
    """'Nothing works except the spin', 'no problems: ...', 'tried everything but ...': then it is meant otherwise."""
    for unit in reversed([unit for unit in units if unit.start < start][-_BEFORE:]):
        if not unit.words[0].isalnum():
            return False
        if unit.tags & _OTHERWISE or unit.words in context("nothing"):
            return True
    return False


def _is_work(units: Sequence[Unit], start: int) -> bool:
    sense = next(unit for unit in units if unit.start == start).sense
    return sense is not None and sense.concept in _WORK


def _instead(found: re.Match[str], line: str, kept: Sequence[int], tokens: Sequence[Token], words: Sequence[str],
             units: Sequence[Unit]) -> dict[int, str]:
    """What a rule puts in the place of what it found: each group is named after the word that it becomes; 'drop' is
    left out, 'verb' is what was done, as one does it, 'none' puts a 'no' before a function."""
    said: dict[int, str] = {}
    for name, typed in found.groupdict().items():
        if not typed or not typed.strip(" _"):
            continue
        begin = found.start(name) + len(typed) - len(typed.lstrip(" _"))
        first = _place(line, begin)
        places = kept[first:first + len(re.split("[ _]", typed.strip(" _")))]
        word = name.partition("_")[0]
        if word == "none":
            if not places[0] or words[places[0] - 1] not in DROPPED:
                return {}
            places, word = [places[0] - 1], "no"
        elif word == "verb":
            word = _done(found, line, kept, tokens, units)
            if not word:
                return {}
        for at in places:
            said[tokens[at].start] = ""
        if word != "drop":
            said[tokens[places[0]].start] = word
    return said


def _done(found: re.Match[str], line: str, kept: Sequence[int], tokens: Sequence[Token], units: Sequence[Unit]) -> str:
    """The verb that a rule found, in its base form; '' where it is none that can be put in one word."""
    start = tokens[kept[_place(line, found.start())]].start
    unit = next(unit for unit in units if unit.start == start)
    if unit.sense is not None and unit.sense.kind == "function":
        return unit.sense.concept if unit.sense.concept.isalpha() else ""
    return unit.words.removesuffix("ed") if unit.words.isalpha() else ""
