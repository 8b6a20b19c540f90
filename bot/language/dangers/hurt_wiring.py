"""Wiring inside a machine that somebody saw chewed, bare, broken or rotted, mice that live in it, and a wet floor
together with a breaker that trips: what must have no power until it was looked at."""

from __future__ import annotations

import re
from typing import Final

from bot.language.dangers.unsafe_seen import burnt_part

_WIRES: Final = (
    r"(?:wires?(?! (?:rack|shel\w+|basket|brush|mesh|nut|tie|hanger|cutter|diagram|guard))|wiring|"
    r"(?:wire )?harness(?:es)?|wire (?:looms?|bundles?)|insulation on (?:the |a |one )?\w+|connectors?|"
    r"(?<!spring )(?<!hinge )(?<!door )cables?|cableado|arnes|alambres?)")
_HURT: Final = (
    r"(?:chewed|chewing|gnawed|gnawing|eaten(?: (?:up|through|thru|by))?|nibbled|bitten|bit through|frayed|severed|"
    r"snapped|shredded|ripped|torn|pinched|crushed|nicked|chafed|rubbed|"
    r"(?:rubbed|worn|cut|broken?|split|sliced)(?: (?:clean|right|all the way))? "
    r"(?:through|thru|in (?:two|half)|bare|open)|"
    r"(?:is|are|was|were|got|its) cut|cut wires?|broken|broke|cracked|split|corroded|rotted|green with corrosion|bare|"
    r"stripped|exposed|copper showing|roid[oa]s?|mordid[oa]s?|pelad[oa]s?|cortad[oa]s?|rot[oa]s?)")
_AMID: Final = (
    r"(?:(?!\b(?:no|not|nothing|none|isnt|arent|aint|wasnt|never|without|if|off|unplugged|fine|good|ok|reads?|open|"
    r"ol)\b)[^.;!?,]){0,32}?")
_DENIED: Final = r"(?<!\bno )(?<!\bnot )(?<!\bisnt )(?<!\bnever )(?<!\barent )(?<!\bany )"
_HURT_WIRES: Final = re.compile(
    rf"{_DENIED}\b{_WIRES}\b{_AMID}{_DENIED}\b{_HURT}\b|{_DENIED}\b{_HURT}\b(?: \w+){{0,2}}? {_WIRES}\b", re.IGNORECASE)
_DOOR_CABLE: Final = re.compile(r"\bcables?\b(?=[^.;]{0,40}\bdoor\b)|\bdoor drops\b[^.;]{0,30}\bcables?\b",
                                re.IGNORECASE)
"""The cable of a dishwasher's door spring."""
_ANIMAL: Final = r"(?:mouse|mice|rats?|rodents?|squirrels?|chipmunks?|critters?|varmints?|raton(?:es)?|ratas?)"
_NEST: Final = re.compile(
    rf"\b{_ANIMAL}(?:'?s)? (?:droppings?|poop|shit|turds?|nests?|pee|urine|crap|been|were|living|live|in there)\b|"
    rf"\b(?:droppings?|nests?|signs?|caca) (?:of|from|de) (?:a |an |some )?{_ANIMAL}\b", re.IGNORECASE)
_CHEWED: Final = re.compile(rf"\b{_ANIMAL}\b[^.;!?]{{0,30}}\b(?:chew\w*|gnaw\w*|ate|eat\w*|nibbl\w*|got into)\b|"
                            rf"\b(?:chew\w*|gnaw\w*|eaten)\b[^.;!?]{{0,24}}\b{_ANIMAL}\b", re.IGNORECASE)
_NO_ANIMAL: Final = re.compile(
    rf"\b(?:no|not|never|without|dont|didnt|isnt|arent|any) (?:\w+ ){{0,3}}{_ANIMAL}\b", re.IGNORECASE)
_NO_WIRE: Final = re.compile(
    r"\b(?:hoses?|tubes?|tubing|pipes?|seals?|gaskets?|boots?|ducts?|vents?|belts?|food|sheet)\b", re.IGNORECASE)
"""What else is chewed; said without the wires it is no electric trouble."""
_NOT_SO: Final = re.compile(
    r"\?\s*$|\b(?:replaced|fixed|mended|repaired|spliced|crimped|soldered|new|redone|made good|last (?:year|month|guy|"
    r"tech|time)|years? ago|months? ago|used to|meter|leads?|probes?|if|might|maybe|could be|under ?wire)\b",
    re.IGNORECASE)
_COIL: Final = re.compile(r"\b(?:element|coil|winding|heater wire|resistance wire|igniter)\b", re.IGNORECASE)
_HEARSAY: Final = re.compile(
    r"\b(?:says?|said|thinks?|claims?|told me|heard|customer|cust|owner|tenant|homeowner|dice|cree)\b", re.IGNORECASE)
_WET_FLOOR: Final = re.compile(
    r"\b(?:floors?(?:'?s| is| are)? (?:\w+ ){0,2}(?:wet|soaked|flooded|under water)|wet floors?|puddles?|"
    r"standing water|water (?:\w+ ){0,3}(?:on|over|across) (?:the |my |her |his )?(?:\w+ )?floor|"
    r"water (?:all )?(?:under|underneath|around)\b|(?:standing|stood|kneeling) in (?:the )?water|"
    r"leak(?:s|ing|ed)?|drip\w*|piso mojado|charco|agua en el piso)\b", re.IGNORECASE)
_ELECTRIC_LEAK: Final = re.compile(
    r"\b(?:leakage|leaky|(?:earth|ground|current) leak\w*|leak\w*(?: \w+){0,2} (?:to|current|of current)|"
    r"element leak\w*|heater leak\w*)\b", re.IGNORECASE)
_TRIPS: Final = re.compile(
    r"\b(?:breaker|gfci|gfi|rcd|outlet|fuse|arc fault|afci)s?\b[^.;!?]{0,30}\b(?:trip\w*|pops?|popp\w+|kicks?|kicked|"
    r"blows?|blew|throws?|goes|went)\b|\b(?:trip\w*|pops?|popping|kicks?|kicking|blows?|blowing|throws?|throwing)\b"
    r"[^.;!?]{0,20}\b(?:breaker|gfci|gfi|rcd|outlet|fuse|afci)s?\b|\b(?:bota|brinca|dispara)\b[^.;!?]{0,20}"
    r"\b(?:breaker|pastilla|termica)\b", re.IGNORECASE)
_DRY: Final = re.compile(
    r"\b(?:no|not|never|without|isnt|doesnt|dont|didnt|wont|nothing) (?:\w+ ){0,3}(?:leak\w*|drip\w*|puddles?|wet|"
    r"water|trip\w*|pop\w*|kick\w*|blow\w*)\b|\bleaks? none\b|\bdry floor|\bfloors? (?:is |s )?(?:bone )?dry\b",
    re.IGNORECASE)


def hurt_wiring(text: str) -> bool:
    """Whether wires, a harness or a connector in the machine are said to be damaged as they are now."""
    plain = _DOOR_CABLE.sub(" ", text.replace("'", ""))
    if _NOT_SO.search(plain):
        return False
    chewed = _CHEWED.search(plain) is not None and not (_NO_WIRE.search(plain) or _NO_ANIMAL.search(plain))
    return chewed or _HURT_WIRES.search(plain) is not None


_NOT_OVER: Final = re.compile(
    r"\b(?:smel\w*|stink\w*|stunk|stench|odou?r|whiff|reek\w*|fishy|huele|olor|flash\w*|flicker\w*|buzz\w*|zap\w*|"
    r"smou?lder\w*|spits?|spitting|pops|popping|crackl\w*|hum\w*|melt\w*|shock\w*|just|now|"
    r"while|when i|as i|still|started|starting|spread\w*)\b", re.IGNORECASE)


def burnt_and_cold(text: str) -> bool:
    """Whether a wire or terminal is told as it was found, burnt off or black, with nothing that one sees, hears or
    smells of it now."""
    return burnt_part(text) and _NOT_OVER.search(text) is None


_MELTS: Final = re.compile(
    r"(?<!\bno )(?<!\bnot )\b(?:wires?|wiring|harness|splice|connectors?|terminals?|board|plug|cord|outlet|insulation|"
    r"plastic|it|its|lug|block)\b(?:(?!\b(?:no|not|never|nothing|isnt|smell\w*|was|were|had)\b)[^.;,!?]){0,24}?"
    r"\b(?:melting|to melt|glow(?:s|ing)|catching|sizzling|arcing)\b|"
    r"\b(?:glow(?:s|ing)|melting|sizzling|arcing)\b[^.;,!?]{0,12}\b(?:at|on|by) (?:the |that |a |its )?"
    r"(?:wires?|wiring|harness|connector|terminal|plug|cord|outlet|lug|block|board)\b", re.IGNORECASE)


def melts_now(text: str) -> bool:
    """Whether something of the wiring melts, glows or arcs as it is told; not what is asked or was seen once."""
    return not text.rstrip().endswith("?") and _MELTS.search(text.replace("'", "")) is not None


def seen_on_wires(text: str) -> bool:
    """Whether it was seen, on the wires between the parts: no word of the customer's, no wire of a coil."""
    return not (_HEARSAY.search(text) or _COIL.search(text))


def mice_in_it(text: str) -> bool:
    """Whether mice or the like are said to live, or to have lived, in the machine."""
    return not text.rstrip().endswith("?") and not _NO_ANIMAL.search(text) and (
        _NEST.search(text) is not None or _CHEWED.search(text) is not None)


def wet_and_trips(text: str) -> bool:
    """Whether words tell of water on the floor and of a breaker, fuse or protected outlet that trips."""
    plain = _ELECTRIC_LEAK.sub(" ", text.replace("'", ""))
    return not _DRY.search(plain) and _WET_FLOOR.search(plain) is not None and _TRIPS.search(plain) is not None
