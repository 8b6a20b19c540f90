"""Hazard words come before everything else: the right instruction first, then whatever else the message said."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace
from typing import Final

from bot.conversation.job import Phase, Question
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put, put_again
from bot.conversation.questions.worded import answer_to
from bot.conversation.repair.handing import hand_off
from bot.conversation.safety.danger import nobody_goes_in
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import CORRECTING
from bot.language.answers.about import stems
from bot.language.complaints.beside_danger import GAS_SMELL, SAME
from bot.language.dangers.burners_own import of_a_burners_flame, of_a_burners_spark
from bot.language.dangers.dangers_here import cleared_since, danger_here, long_ago, tells_burn, tells_flash
from bot.language.dangers.escaping import refrigerant_escapes
from bot.language.dangers.gas_joint import of_work_on_gas
from bot.language.dangers.hazards import ORDER, WITH_BURNER
from bot.language.dangers.hurt_wiring import burnt_and_cold
from bot.language.dangers.no_harm import of_volts
from bot.language.dangers.sounds_like import of_a_fuel
from bot.language.dangers.unnamed import PLAIN_ANSWER
from bot.language.dangers.unsafe_seen import cold_burnt, found_burnt
from bot.language.machine.variants import FUEL
from bot.language.meaning import Guess, Hazard, Meaning
from bot.language.words.text import drop_apostrophes, tokens_of

ALWAYS_SENIOR: Final = frozenset({"gas", "co", "injury"})
"""After these the visit is a senior's, whatever the junior writes next."""
STAYS_DEAD: Final = frozenset({"fire", "shock", "flood"})
"""After these only checks on a dead machine are made until the repair is done."""
_WORSE: Final = re.compile(
    r"wors|still (smok|burn|spark|com|run)|flame|spread|can'?t (reach|get|stop|find)|peor|sigue", re.IGNORECASE)
_DONE: Final[dict[str, re.Pattern[str]]] = {
    "out": re.compile(r"\bout\b|outside|left the house|fuera|afuera", re.IGNORECASE),
    "dead": re.compile(
        r"dead|unplug|plug(ged)? .*out|pulled|breaker|\boff\b|\bsafe\b|no (more )?smoke|desenchuf|apagad",
        re.IGNORECASE),
    "water_off": re.compile(
        r"\boff\b|shut|closed|valve|stopped|cerrad|\bdry\b|mopped|unplug|plug(ged)? .*out|plug'?s? out|\bpulled\b",
        re.IGNORECASE),
    "aired": re.compile(r"\bair|window|vent|open|abiert", re.IGNORECASE),
    "helped": re.compile(r"help|ambulance|doctor|hospital|\bok\b|fine|bien", re.IGNORECASE)}
"""How people say that it is done, besides the choice's own words."""
_GAS: Final = re.compile(r"\b(?:gas|propane|eggs?|sulfur|mercaptan)\b", re.IGNORECASE)
_PLATE_WORDS: Final = re.compile(r"\br-?\s?\d{2,4}[a-z]?\b", re.IGNORECASE)
_UNSURE: Final = re.compile(
    r"\b(not|isnt|wasnt|aint|arent|havent|hasnt|dont|didnt|doesnt|wont|cant|cannot|never|except|but|think|guess|hope|"
    r"believe|reckon|assume|should|might|maybe|probably|perhaps|supposed|suppose|about to|going|getting|gonna|trying|"
    r"try|will|ill|almost|nearly|hang on|hold on|wait|still|creo|quiza|todavia)\b|\bin a (sec|min)|\?\s*$",
    re.IGNORECASE)
"""Doubt, denial and what is only meant to be done: none of it makes a machine dead."""
_ALLAYED: Final = re.compile(
    r"\bstill (unplugged|off|dead|out|shut|locked)\b|"
    r"\b(not|isnt|doesnt|dont|never) (even |any ?more )?(smok|burn|spark|smell|hot|leak|runn|drip|hurt|touch|com)\w*",
    re.IGNORECASE)
"""'Dead, not smoking any more' and 'still unplugged' have no doubt in them."""
_ASSENT: Final = re.compile(r"\W*(yes|yep|yeah|yup|ok|okay|sure|right|si|sí|will do|k)\b\W*", re.IGNORECASE)
"""Assent may be to the instruction: it says nothing of what was done."""
ANSWERS: Final[dict[str, tuple[str, ...]]] = {
    "gas": ("out",), "co": ("out",), "injury": ("helped",), "fire": ("dead", "worse"), "shock": ("dead", "worse"),
    "flood": ("water_off", "worse"), "refrigerant": ("aired", "worse")}


MEANT: Final = 0.5
"""A complaint of gas less sure than this is mostly gas as what heats: 'gas, timer knob'."""


def danger_told(turn: Turn, text: str, meaning: Meaning) -> Meaning:
    """The meaning with the hazard that the words name on this machine; smoke of last year is no complaint either. A gas
    smell that is complained of is one, unless gas is only said to be what heats."""
    fuel = _FUEL_MEANT.sub(" ", CORRECTING.sub(" ", text)) if _corrects_fuel(turn, text) else text
    if (fuel != text or asks_fuel(turn.job.question)) and of_a_fuel(
            [token.word for token in tokens_of(fuel)], asked=True):
        return replace(meaning, hazard=None, complaints=tuple(c for c in meaning.complaints if c.id != GAS_SMELL))
    if (meaning.hazard == "gas" or any(c.id == GAS_SMELL for c in meaning.complaints)) and (
            _tells_fuel(turn, text) or of_work_on_gas(text) or (
                meaning.hazard is None and _names_gas(turn, text))):
        meaning = _without(meaning, "gas", {GAS_SMELL})
    if of_volts([token.word for token in tokens_of(text)]):
        meaning = _without(meaning, "shock", SAME["shock"])
    if meaning.hazard in {None, "shock"} and has_the_part(turn, text):
        told = tuple(c for c in meaning.complaints if c.id not in SAME["shock"])
        return replace(meaning, hazard=None, complaints=told)
    hazard = _hazard_in(turn, text, meaning)
    if hazard is None and (turn.job.family or meaning.family) in WITH_BURNER and not long_ago(text) and _GAS.search(
            text) and any(c.id == GAS_SMELL and c.p >= MEANT for c in meaning.complaints):
        hazard = "gas"
    if meaning.hazard is None or hazard is not None:
        return replace(meaning, hazard=hazard)
    if not long_ago(text):
        return replace(meaning, hazard=None, complaints=_heard_apart(meaning))
    pack = turn.context.release.knowledge.packs.get(turn.job.family or meaning.family or "")
    old = {key for key, c in pack.complaints.items() if c.hazard == meaning.hazard} if pack is not None else set()
    return replace(meaning, hazard=None, complaints=tuple(c for c in meaning.complaints if c.id not in old))


def _without(meaning: Meaning, hazard: Hazard, same: Collection[str]) -> Meaning:
    """The meaning without one hazard that is none, and without the complaints that say the same; any other stands."""
    return replace(meaning, hazard=None if meaning.hazard == hazard else meaning.hazard,
                   complaints=tuple(c for c in meaning.complaints if c.id not in same))


def _heard_apart(meaning: Meaning) -> tuple[Guess, ...]:
    """The complaints without that which only says the same as the hazard that is none: nobody told of a smell."""
    same = SAME.get(meaning.hazard, ()) if meaning.hazard is not None else ()
    weighed = {guess.id: guess.p for guess in meaning.weighed}
    return tuple(c for c in meaning.complaints if c.id not in same or weighed.get(c.id, 0.0) >= MEANT)


_FUEL_NAMED: Final = re.compile(
    r"\bi mean\w*\b|\bgas (?:one|dryer|oven|range)\b|\bnot electric\b", re.IGNORECASE)
_FUEL_MEANT: Final = re.compile(r"\bi means\b|^\W*no\b", re.IGNORECASE)
"""What else announces it, besides the words of every correction."""


def _corrects_fuel(turn: Turn, text: str) -> bool:
    """'Oops i meant its gas', where the machine was taken for an electric one. 'Wait, gas' may be a shout."""
    told = any(fact.subject == "fuel" for fact in turn.job.standing("variant"))
    return told and _FUEL_NAMED.search(text) is not None


def asks_fuel(question: Question | None) -> bool:
    """Whether it is asked what heats the machine."""
    return question is not None and question.kind == "variant" and any(v.endswith(":gas") for v in question.values)


def _tells_fuel(turn: Turn, text: str) -> bool:
    """Whether words surely answer an open check of what heats the machine: 'yellow flex line goin to it so gas'."""
    question = turn.job.question
    if question is None or question.kind != "check" or _SMELT.search(text):
        return False
    for key in question.checks:
        its = answer_to(turn, key, text)
        if its.result is not None and its.p >= PLAIN_ANSWER and FUEL in turn.pack.checks[key].results[
                its.result].identifies:
            return True
    return False


def _names_gas(turn: Turn, text: str) -> bool:
    """Whether gas is only named while a check is open: 'same gas', 'gas valve handle is in line'. Where it comes out,
    somebody smells or hears it."""
    question = turn.job.question
    return (question is not None and question.kind == "check" and len(text.split()) >= NAMED
            and _NAMES.search(text) is not None and _ESCAPES.search(text) is None)


NAMED: Final = 3
"""Words from which on gas may be only named: 'wait gas' is a shout."""
_NAMES: Final = re.compile(
    r"\b(?:same|natural|nat|mains|city|town|bottled?|lp|propane|which|what|kind of|type of) gas\b|"
    r"\b(?:both|on|for|and|set|stamped|marked) (?:lp|propane|natural|ng)\b|"
    r"\bgas (?:kind|type|valve|line|hose|pipe|cock|tap|shut ?off|handle|fitting|label|sticker|tag|plate|range|stove|"
    r"oven|dryer|cooker|burner|one|unit|machine|model|orifice|jets?|regulator|meter|company|man|guy|bill)\b",
    re.IGNORECASE)
"""Which gas, or what is for it; anything else that is said of gas is an alarm."""
_ESCAPES: Final = re.compile(
    r"sme?l|tast|face|od[oe]u?r|stink|stank|reek|stench|leak|\blk|hiss|egg|fume|wh?iff|sniff|sul(?:f|ph)ur|mercaptan|nose|scent|"
    r"\b(?:pong|air|room|house|kitchen|hang\w*|weep\w*|seep\w*|bubbl\w*|raw|strong|faint|heavy|thick|alarms?|detectors?|"
    r"sniffers?|out|off|escap\w*|blow\w*|coming|comes|pour\w*|everywhere|all over|again|still|now|here|help|get|gets|"
    r"getting|got|there|theres|sick|dizzy|boom|bang|whoosh|"
    r"says?|said|told|thinks?|wait|stop|whoa|hey|run|running)\b|!|\bhuel|\bolor|\bfuga|escape", re.IGNORECASE)
_SMELT: Final = re.compile(
    r"\b(?:smel\w*|odou?rs?|stink\w*|stank|reek\w*|leak\w*|hiss\w*|eggs?|fumes|whiff|sulfur|nose|detector|alarm|out|"
    r"escap\w*|blow\w*|everywhere|huele|olor|fuga|escape)\b", re.IGNORECASE)


def _hazard_in(turn: Turn, text: str, meaning: Meaning) -> Hazard | None:
    """The hazard that the words name. A refrigerant read off the plate is none; gas hissing out is one."""
    heard = meaning.hazard
    escaping = refrigerant_escapes(text)
    if heard == "refrigerant" and not escaping and _PLATE_WORDS.search(text):
        return None
    if heard is None and escaping and turn.job.family == "refrigerator":
        return "refrigerant"
    machine = turn.job.position.machine
    dead = machine.stays_dead or machine.power == "off"
    family = turn.job.family or meaning.family
    burnt = ((dead and cold_burnt(text)) or (family is not None and burnt_and_cold(text))
             or found_burnt(text, family))
    past = long_ago(text) and (heard != "shock" or cleared_since(text))
    if (heard in {*STAYS_DEAD, "injury"} and past) or (heard == "fire" and burnt):
        return None  # what was found burnt has an instruction of its own
    fuel = next((fact.value for fact in turn.job.standing("variant") if fact.subject == "fuel"),
                meaning.variant.get("fuel"))
    told = [token.word for token in tokens_of(text)]
    if heard is None and fuel == "electric" and family == "range" and (
            of_a_burners_flame(told) or of_a_burners_spark(told)):
        return "fire"  # it has neither
    # the first message names its own machine; a hiss told of a fridge there is mostly how it sounds
    machines = turn.job.family or (family if family in WITH_BURNER else None)
    here = danger_here(text, machines, fuel)
    return min((hazard for hazard in (heard, here) if hazard is not None), key=ORDER.index, default=None)


def has_the_part(turn: Turn, text: str) -> bool:
    """'Got a cord and block' where a repair with them is on the table: what is in the van, and nobody felt anything."""
    fault = turn.job.position.fault
    if turn.job.question is None or turn.job.question.kind not in OF_THE_PART or fault is None:
        return False
    repair = turn.pack.repair_of(fault)[1]
    named = stems(" ".join((repair.name, turn.pack.faults[fault].name, *repair.parts)))
    return _GOT.search(text) is not None and _FELT.search(text) is None and bool(stems(text) & named)


OF_THE_PART: Final = frozenset({"finding", "consent", "repair", "waiting"})
"""Questions at which it is told that a part is there."""
_GOT: Final = re.compile(
    r"(?<!dont )(?<!don't )(?<!not )(?<!havent )(?<!haven't )(?<!never )"
    r"\b(?:got|have|has|brought|carry)\b(?! to\b| not\b)", re.IGNORECASE)
_FELT: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|electr\w*|current|touch\w*|felt|feels?|hurt\w*|grab\w*|live|off|"
    r"when|while|from it|belted|me|arm|hands?|fingers?)\b", re.IGNORECASE)


def hazard_answer(text: str, values: tuple[str, ...]) -> str | None:
    """How it stands, in plain words. Anything like worse counts as worse."""
    if _WORSE.search(text):
        return "worse" if "worse" in values else None
    return next((value for value in values if value in _DONE and _DONE[value].search(text)), None)


def in_doubt(turn: Turn, question: Question, text: str) -> bool:
    """Whether words leave it open that it was made safe; then it is asked again, and nothing is taken as done."""
    bare = drop_apostrophes(text)
    if _ASSENT.fullmatch(bare):
        turn.note("hazard.which")
    elif not _WORSE.search(text) and _UNSURE.search(_ALLAYED.sub(" ", bare)):
        turn.note("hazard.for_certain")
    else:
        return False
    put_again(turn, question)
    return True


def raise_hazard(turn: Turn, hazard: str, text: str = "") -> None:
    """Say what to do now, and wait for the word that it is done. `text`: the words that told it."""
    turn.texts = []
    turn.mark()
    turn.close_question(closed="passed")
    turn.move(Move.HAZARD)
    turn.record("hazard", hazard=hazard)
    turn.fact("danger", hazard)
    turn.note(f"hazard.{hazard}")
    if hazard == "injury":
        _burnt_by_gas(turn, text)
    if hazard in ALWAYS_SENIOR:
        turn.note("hazard.telling_senior")
        turn.offer("hazard", urgent=True)
    put(turn, "hazard", ANSWERS[hazard], hazard=hazard)


def _burnt_by_gas(turn: Turn, text: str) -> None:
    """A burn is cooled at once; and where a burner lit with a boom, gas had gathered and may again."""
    if tells_burn(text):
        turn.note("hazard.injury.burn")
    electric = any(f.subject == "fuel" and f.value == "electric" for f in turn.job.standing("variant"))
    if turn.job.family in WITH_BURNER and not electric and tells_flash(text):
        turn.note("hazard.injury.flash")


def settle_hazard(turn: Turn, value: str) -> None:
    """The tech says how it stands: go on, leave it to a senior, or get out."""
    question = turn.job.question
    hazard = question.data["hazard"] if question else "fire"
    turn.close_question()
    if value == "worse":
        turn.note(f"hazard.{hazard}.worse")
        turn.offer("hazard", urgent=True)
        out_of = hazard if hazard in {"gas", "co"} else "fire_out"
        turn.fact("danger", out_of)
        put(turn, "hazard", ("out",), hazard=out_of)
        return
    turn.fact("danger", hazard, value)
    if nobody_goes_in(turn.job) is not None:
        turn.note("hazard.stay_out")
        turn.move(Move.HAND_OFF)
        put(turn, "outside", ("leave",))
        return
    if hazard in ALWAYS_SENIOR:
        turn.note("hazard.wait")
        turn.move(Move.HAND_OFF)
        put(turn, "handed_off", ("carry_on", "leave"))
        return
    if hazard == "refrigerant" and "refrigerant" not in turn.tech.signoffs:
        hand_off(turn, "hazard", None)
        return
    turn.machine(power="unknown", stays_dead=hazard in STAYS_DEAD)
    turn.note(f"hazard.{hazard}.cleared")
    if turn.job.phase is Phase.HAZARD:
        turn.move(Move.CLEARED)
    turn.go_on = True
