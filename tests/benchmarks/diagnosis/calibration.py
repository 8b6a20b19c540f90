"""Is it right as often as it says, and does it notice what is not in the book?"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.stated import stated
from knowledge.schema import Pack
from tests.benchmarks.diagnosis.visits import Corruption, Outcome, World, visit

BINS = 15
LEVELS = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0)


def outcomes(packs: Mapping[str, Pack], corruption: Corruption, count: int, seed: int, *, outside: float | None = None,
             smooth: float | None = None) -> list[Outcome]:
    """`count` visits, shared over the families.

    `outside` is the share of machines whose fault is not in the book, by default the share that each pack states;
    for these only faults count that share their repair with no other.
    """
    found: list[Outcome] = []
    for i, pack in enumerate(packs.values()):
        model: Model = compile_pack(pack) if smooth is None else compile_pack(pack, smooth=smooth)
        world = World(pack, corruption, seed + i)
        alone = {f for f in pack.faults if len(pack.faults_of(pack.repair_of(f)[0])) == 1}
        mine = 0
        while mine < count // len(packs):
            share = pack.family.unknown if outside is None else outside
            unknown = bool(world.rng.random() < share)
            machine = world.machine()
            while unknown and machine.fault not in alone:
                machine = world.machine()
            found.append(visit(model, machine, unknown))
            mine += 1
    return found


def findings(those: list[Outcome]) -> tuple[np.ndarray, np.ndarray]:
    """What is said, and whether it was right, of the visits that ended in a named fault."""
    believed, right = beliefs(those)
    return np.array([stated(belief) for belief in believed]), right


def beliefs(those: list[Outcome]) -> tuple[np.ndarray, np.ndarray]:
    """The same with the belief that it is said for."""
    named = [o for o in those if o.do in ("repair", "stop")]
    return np.array([o.confidence for o in named]), np.array([o.right for o in named], dtype=float)


def calibration_error(confidence: np.ndarray, right: np.ndarray, bins: int = BINS) -> float:
    """Expected calibration error over bins of equal mass."""
    order = np.argsort(confidence, kind="stable")
    parts = np.array_split(order, bins)
    return float(sum(len(p) * abs(confidence[p].mean() - right[p].mean()) for p in parts if len(p)) / len(order))


def chance_error(confidence: np.ndarray, seed: int = 0, draws: int = 200) -> float:
    """The calibration error that a perfectly calibrated finder would show on as many cases, by luck alone."""
    rng = np.random.default_rng(seed)
    return float(np.mean([calibration_error(confidence, (rng.random(len(confidence)) < confidence).astype(float))
                          for _ in range(draws)]))


def interval(confidence: np.ndarray, right: np.ndarray, statistic: Callable[[np.ndarray, np.ndarray], float],
             draws: int = 300) -> tuple[float, float]:
    """Bootstrap interval of 95 %."""
    rng = np.random.default_rng(1)
    values = [statistic(confidence[i], right[i])
              for i in (rng.integers(0, len(right), len(right)) for _ in range(draws))]
    return float(np.quantile(values, 0.025)), float(np.quantile(values, 0.975))


def detection(known: list[Outcome], unknown: list[Outcome], statistic: Callable[[Outcome], float],
              false_alarms: float = 0.05) -> float:
    """Share of unknown faults over the threshold that so many known ones pass, for the number of answers given."""
    limits = quantiles(known, statistic, (1 - false_alarms,))
    return float(np.mean([statistic(o) > limits[min(o.answers, len(limits) - 1)][0] for o in unknown]))


def quantiles(known: list[Outcome], statistic: Callable[[Outcome], float],
              levels: tuple[float, ...] = LEVELS, most: int = 16) -> list[tuple[float, ...]]:
    """Number of answers -> quantiles of a statistic, each from the visits with about as many answers."""
    counts = np.array([o.answers for o in known])
    values = np.array([statistic(o) for o in known])
    table = []
    for n in range(most + 1):
        reach = 0
        while (np.abs(counts - n) <= reach).sum() < min(150, len(known)):
            reach += 1
        table.append(tuple(float(q) for q in np.quantile(values[np.abs(counts - n) <= reach], levels)))
    return table
