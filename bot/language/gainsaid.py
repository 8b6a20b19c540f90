"""Whether an answer says outright what a result denies: 'it starts and runs' is not 'does not start'."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from bot.language.index import Index
from bot.language.patterns import OK, keys_of
from bot.language.text import word_set

_IMPLIES: Final[Mapping[str, tuple[str, ...]]] = {
    "hot": ("heat",), "warm": ("heat",), "run": ("start",), "tumble": ("turn", "run"), "spin": ("turn",),
    "turn": ("tumble",)}
"""Who says the one says the other too."""
_DENYING: Final = word_set(
    "no not never nope nah none nothing without isnt dont doesnt wont cant didnt aint neither nor sin nunca wasnt "
    "arent nada nadie ningun casi dead zero stops stopped quit quits until then but only just except barely hardly")
"""With one of these, what an answer says of a thing may be that it does not happen."""
_PRESSING: Final = word_set("press pressed hit push pushed")
"""'When I press start': a button, and nothing that happened."""


def gainsaid(index: Index, family: str, check: str, result: str, text: str) -> bool:
    """True where the result says that something does not happen, and the text says that it does and denies nothing."""
    denied = _denied(index, family, check, result)
    if not denied:
        return False
    words, clauses = index.read(text)
    keys = keys_of(clauses)
    if _DENYING & set(words) or any(key.endswith("-") for key in keys):
        return False
    said = {key.removesuffix(OK) for key in keys}
    if _PRESSING & set(words):
        said.discard("start")
    return bool(denied & (said | {other for key in said for other in _IMPLIES.get(key, ())}))


def nowhere_but(index: Index, family: str, check: str, result: str, text: str) -> bool:
    """True where the result says that nothing works anywhere, and the text names a thing that does: 'no heat, burners
    work'. A clock that is lit is none: it says of no heat that there is some."""
    entry = index.knowledge.packs[family].checks[check].results[result]
    claimed = keys_of(index.parse(entry.says))
    nothing = EVERYWHERE in claimed and any(key.endswith("-") for key in claimed)
    if not nothing and not (claimed and claimed <= _DEAD):
        return False
    said = keys_of(index.parse(text))
    well = {key.removesuffix(OK) for key in said if key.endswith(OK)} - _SIGNS
    both = {key[:-1] for key in said if key.endswith("-")} & said
    return any(index.kinds.get(key) == "thing" for key in well) or any(
        index.kinds.get(key) == "function" and key + "-" in claimed for key in both)


EVERYWHERE: Final = "everywhere"
_DEAD: Final = frozenset({"dead", "inop", "nothing"})
_SIGNS: Final = frozenset({"display", "light", "fan", "beep", "flash", "lock", "start", "breaker", "outlet"})
"""Things that live with no heat anywhere."""


def _denied(index: Index, family: str, check: str, result: str) -> frozenset[str]:
    entry = index.knowledge.packs[family].checks[check].results[result]
    keys = keys_of(index.parse(entry.says)) | keys_of(index.parse(entry.label))
    return frozenset(key[:-1] for key in keys if key.endswith("-") and index.kinds.get(key[:-1]) == "function")
