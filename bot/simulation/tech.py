"""A simulated junior: opens in words of a phrase bank, answers in numbers, labels, words and readings, with slips. Half
of them type what they see in a voice of their own; the others mostly press a number."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random

from bot.conversation.job import Job, Question
from bot.conversation.safety.machine import covers_needed
from bot.diagnosis.thresholds import WRONG_PART
from bot.simulation.machine import Machine
from bot.simulation.phrases import Bank, Voice
from knowledge.schema import Check, Pack, Result

MISREAD = 0.03
CARELESS_MISREAD = 0.12
CARELESS = 0.10
"""One tech in ten misreads four times as often as the others."""
SKIPS = 0.03
TYPES = 0.5
"""Share of techs who type what they see."""
AS_READ = 0.5
"""Share of what a meter shows that is told as the figure on it."""
_UNIT = {"ohm": "ohm", "volt_ac": "v", "volt_dc": "vdc", "microfarad": "uf", "amp": "a", "celsius": "c", "rpm": "rpm"}


@dataclass(slots=True)
class Tech:
    """One junior on one visit, with the clock of the work."""

    machine: Machine
    bank: Bank
    misread: float = MISREAD
    voice: Voice | None = None
    minutes: float = 0.0
    covers: set[str] = field(default_factory=set)
    wrong_repairs: int = 0
    wrong_parts: int = 0
    prices: float = 0.0
    """Of the parts fitted in vain, minute-equivalents."""
    repairs: int = 0
    not_understood: int = 0
    asked: Counter[str] = field(default_factory=Counter)
    typed: dict[str, str] = field(default_factory=dict)
    """Check -> result of the last reply, where it was put in words of the voice."""

    def _chance(self, of: str) -> Random:
        """Slips and words follow from the machine, from what is asked, and from how often it was."""
        self.asked[of] += 1
        return Random(f"{self.machine.key}/tech/{of}/{self.repairs}/{self.asked[of]}")

    def opening(self) -> tuple[str, list[str]]:
        """The first message, and the complaints that it tells."""
        rng = self._chance("opening")
        told = list(self.machine.complaints)
        rng.shuffle(told)
        told = told[: 1 if rng.random() < 0.7 else 2]
        parts = [self._said(c) for c in told]
        absent = [c for c in self.bank.works if c not in self.machine.complaints]
        if absent and rng.random() < 0.4 and (fine := self._true(self.bank.works[rng.choice(absent)])):
            parts.insert(0, rng.choice(fine))
        name = rng.choice(self.machine.world.pack.family.names.get("en", (self.machine.world.pack.family.name,)))
        return f"{name} " + (" but " if len(parts) > 1 else "").join(parts), told

    def _said(self, complaint: str) -> str:
        """A complaint in words of the bank that are true of the machine; by its label, where there are none."""
        own = self.voice.says.get(complaint, ()) if self.voice is not None else ()
        phrases = self._true(own) or self._true(self.bank.says.get(complaint, ()))
        label = self.machine.world.pack.complaints[complaint].label.lower()
        return self._chance(complaint).choice(phrases) if phrases else label

    def _true(self, phrases: Sequence[str]) -> list[str]:
        """Those that tell nothing which the machine does not show."""
        return [phrase for phrase in phrases if self.bank.true_of(phrase, self.machine.result)]

    def reply(self, job: Job) -> str:
        """What the tech types at the open question."""
        question = job.question
        self.typed = {}
        if question is None:
            return self._said(self.machine.complaints[0])
        match question.kind:
            case "check":
                return self._check(question)
            case "finding":
                return self._finding(question)
            case "repair":
                return self._repair(job)
            case "proof":
                return self._proof()
            case "complaint" | "menu" | "family":
                return self._which(question)
            case "variant":
                axis = question.data["axis"]
                value = f"variant:{axis}:{self.machine.variant.get(axis, '')}"
                self.minutes += 0.5
                return str(question.values.index(value) + 1) if value in question.values else "don't know"
            case _:
                return self._usual(question)

    def _check(self, question: Question) -> str:
        pack = self.machine.world.pack
        answers = []
        if not pack.checks.keys() >= set(question.checks):
            self.not_understood += 1
            return f"different machine, it's a {pack.family.name.lower()}"
        for key in question.checks:
            check = pack.checks[key]
            self._work(pack, check.minutes, check.access, closing=check.power == "run")
            rng = self._chance(key)
            if rng.random() < max(SKIPS, check.cannot):
                return "can't get to it"
            result = self.machine.result(key)
            if rng.random() < self.misread:
                result = rng.choice(list(check.results))
            answers.append(self._answer(question, key, check, result, rng))
        return ", ".join(answers)

    def _answer(self, question: Question, key: str, check: Check, result: str, rng: Random) -> str:
        """A result as this tech types it; who was not understood the first time takes to numbers and labels."""
        said = self.voice.answers.get(key, {}).get(result) if self.voice is not None and self.asked[key] == 1 else None
        if said is None or (check.reading is not None and rng.random() < AS_READ):
            return _say(question, key, check, result, rng)
        self.typed[key] = result
        return said

    def _work(self, pack: Pack, minutes: float, access: Sequence[str], *, closing: bool = False) -> None:
        self.minutes += minutes
        if closing:
            self.minutes += sum(pack.covers[c].close_minutes for c in self.covers)
            self.covers.clear()
        for cover in covers_needed(pack, access):
            if cover not in self.covers:
                self.covers.add(cover)
                self.minutes += pack.covers[cover].open_minutes

    def _finding(self, question: Question) -> str:
        return "got one" if "got_part" in question.values else "1"

    def _repair(self, job: Job) -> str:
        pack = self.machine.world.pack
        repair_id = job.position.repair or ""
        fault = job.position.fault or ""
        repair = pack.repair_of(fault)[1]
        self._work(pack, repair.minutes, repair.access)
        self.repairs += 1
        if not self.machine.repair(repair_id):
            self.wrong_repairs += 1
            self.wrong_parts += repair.cost != "none"
            self.prices += WRONG_PART[repair.cost]
        return self._chance("done").choice(["done", "its in", "1"])

    def _proof(self) -> str:
        pack = self.machine.world.pack
        self.minutes += 5 + sum(pack.covers[c].close_minutes for c in self.covers)
        self.covers.clear()
        said = ["works now", "1", "all good"] if self.machine.cured else ["same", "2"]
        return self._chance("proof").choice(said)

    def _which(self, question: Question) -> str:
        pack = self.machine.world.pack
        for number, value in enumerate(question.values, 1):
            if value in self.machine.complaints or value == pack.family.id:
                return str(number)
            if question.kind == "menu" and value.isdigit() and set(
                    pack.family.menu[int(value)].complaints) & set(self.machine.complaints):
                return str(number)
        self.not_understood += 1
        return str(len(question.values))

    def _usual(self, question: Question) -> str:
        usual = {"consent": "yes", "closing": "all done", "site": "14 Hazel Lane", "plate": "skip", "age": "8",
                 "doubt_reading": "1", "waiting": "part is here", "thinking": "they want it", "leave": "1"}
        return usual.get(question.kind, "1")


def draw_tech(machine: Machine, bank: Bank, noise: float) -> Tech:
    """A junior; in a noisy world one in ten is careless."""
    careless = noise > 0 and Random(f"{machine.key}/careless").random() < CARELESS
    own = Random(f"{machine.key}/voice")
    voice = own.choice(bank.voices) if bank.voices and own.random() < TYPES else None
    return Tech(machine, bank, CARELESS_MISREAD if careless else MISREAD, voice)


def _say(question: Question, key: str, check: Check, result: str, rng: Random) -> str:
    """A result as a tech types it: a reading, a number of the choice, its label, its words."""
    entry = check.results[result]
    way = rng.random()
    if check.reading is not None and entry.band is not None and way < AS_READ:
        return reading_in(entry, check, rng)
    if f"result:{key}/{result}" in question.values and way < 0.75:
        return str(question.values.index(f"result:{key}/{result}") + 1)
    return typo(entry.label if way < 0.9 else entry.says, rng)


def reading_in(entry: Result, check: Check, rng: Random) -> str:
    """A reading inside the band, as a tech types it."""
    band, reading = entry.band, check.reading
    assert band is not None and reading is not None
    if band.open:
        return rng.choice(["OL", "open", "no continuity"])
    scale = 1.0
    if reading.relative and reading.expect is not None:
        from bot.diagnosis.readings import expected  # noqa: PLC0415  only for checks judged by physics

        good = expected(check, {})
        scale = good.value if good is not None else 1.0
    low = (band.low or 0.0) * scale
    high = band.high * scale if band.high is not None else max(low * 2, low + 1.0)
    value = math.exp(rng.uniform(math.log(low), math.log(high))) if low > 0 else rng.uniform(low, high)
    if reading.quantity in {"minutes", "seconds"}:
        return f"{value / 60:.1f} min"
    if reading.quantity == "ohm" and value >= 1000:
        return rng.choice([f"{value / 1000:.2f}k", f"{value / 1000:.1f} kohm"])
    return f"{value:.3g} {_UNIT.get(reading.quantity, '')}".strip()


def typo(text: str, rng: Random) -> str:
    """The text as a thumb types it: lower case, now and then two letters swapped."""
    text = text.lower()
    if len(text) > 6 and rng.random() < 0.15:
        place = rng.randrange(1, len(text) - 2)
        text = text[:place] + text[place + 1] + text[place] + text[place + 2:]
    return text
