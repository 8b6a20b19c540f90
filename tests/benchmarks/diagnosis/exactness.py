"""The posterior against two general libraries for Bayesian networks, soft evidence included.

Needs `pyagrum` and `pgmpy` (either may be missing: it is then left out and said so).
"""

from __future__ import annotations

import random
import time
from typing import Any

import numpy as np

from bot.diagnosis.belief import posterior, weighed
from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.evidence import Evidence, Seen
from bot.diagnosis.readings import band_weights
from bot.diagnosis.thresholds import MISUSE
from tests.diagnosis.packs import check, fault, pack

WORDS = ("always", "usually", "often", "sometimes", "rarely")
Soft = dict[str, np.ndarray]


def case(seed: int) -> tuple[Model, Evidence, Soft]:
    """A model of one kind of machine with looks and meters, and evidence of all sorts; lambdas of the readings."""
    rng = random.Random(seed)
    names = ("dead", "noisy", "slow")
    faults = {f"p{i}.bad": fault(f"p{i}", rng.uniform(0.2, 3), {c: rng.choice(WORDS) for c in rng.sample(names, 2)})
              for i in range(rng.randint(4, 40))}
    checks: dict[str, Any] = {}
    for i in range(rng.randint(3, 12)):
        results = ("good", "bad", "odd")[:rng.randint(2, 3)]
        rows: dict[str, Any] = {"normal": {"good": 0.9}}
        rows |= {f: {rng.choice(results): rng.choice(WORDS)} for f in rng.sample(sorted(faults), 3)}
        checks[f"k{i}"] = check(rows, results=results)
        if i % 2:
            shape = {"good": {"from": 0, "to": 10}, "bad": {"from": 10, "to": 100}, "odd": {"from": 100}}
            bands = {r: {"label": r, "says": r, "band": shape[r]} for r in ("good", "bad", "odd")}
            checks[f"k{i}"] |= {"kind": "meter", "results": bands, "reading": {"quantity": "ohm"}}
    model = compile_pack(pack(faults, checks, complaints=names))
    facts, soft = [], {}
    for name in rng.sample(sorted(checks), rng.randint(1, len(checks))):
        entry = model.pack.checks[name]
        if entry.reading is None:
            facts.append(Seen(name, rng.choice(list(entry.results))))
        else:
            facts.append(Seen(name, value=10 ** rng.uniform(0.2, 2.5)))
            weights = band_weights(entry, facts[-1], {})
            weights = weights / weights.max()
            soft[name] = (1 - MISUSE) * weights + MISUSE * weights.mean()
    told = rng.sample(names, 2)
    return model, Evidence("mangle", complaints=(told[0],), denied=(told[1],), history=tuple(facts)), soft


def ours(model: Model, evidence: Evidence, soft: Soft) -> tuple[np.ndarray, float, float]:
    """Posterior of single faults, pairs aside; seconds of the inference alone, with the tables and lambdas at hand
    as the others have them; seconds of the whole call, with readings put into bands and the misfit test."""
    start = time.process_time()
    mass = posterior(model, evidence).mass
    whole = time.process_time() - start
    prior, tables = model.weights.sum(axis=1), _tables(model, evidence)
    rounds = 20
    start = time.process_time()
    for _ in range(rounds):
        factors = [tables[name][result] for name, result in _hard(model, evidence).items()]
        alone = weighed(prior, [*factors, *(weights @ tables[name] for name, weights in soft.items())])
        alone /= alone.sum()
    seconds = (time.process_time() - start) / rounds
    assert np.abs(alone - mass / mass.sum()).max() < 1e-12
    return mass / mass.sum(), seconds, whole


def _tables(model: Model, evidence: Evidence) -> dict[str, np.ndarray]:
    """Conditional tables [result, hypothesis] of everything that was told or seen."""
    tables = {c: np.vstack([model.shows[:, i], 1 - model.shows[:, i]]) for c, i in model.complaint_index.items()}
    for fact in evidence.history:
        assert isinstance(fact, Seen)
        c = model.check_index[fact.check]
        tables[fact.check] = model.rows[c, :len(model.results[c])]
    return tables


def _hard(model: Model, evidence: Evidence) -> dict[str, int]:
    said = dict.fromkeys(evidence.complaints, 0) | dict.fromkeys(evidence.denied, 1)
    for fact in evidence.history:
        if isinstance(fact, Seen) and fact.result is not None:
            said[fact.check] = model.result_index(fact.check, fact.result)
    return said


def with_pyagrum(model: Model, evidence: Evidence, soft: Soft) -> tuple[np.ndarray, float]:
    """Posterior and seconds of the inference alone."""
    import pyagrum as gum  # noqa: PLC0415

    net = gum.BayesNet()
    net.add(gum.LabelizedVariable("h", "h", model.hypotheses))
    net.cpt("h")[:] = model.weights.sum(axis=1)
    for name, table in _tables(model, evidence).items():
        net.add(gum.LabelizedVariable(name, name, len(table)))
        net.addArc("h", name)
        net.cpt(name)[:] = np.ascontiguousarray((table / table.sum(axis=0)).T)
    start = time.process_time()
    engine = gum.LazyPropagation(net)
    engine.setEvidence(_hard(model, evidence) | {k: v.tolist() for k, v in soft.items()})
    engine.addTarget("h")
    engine.makeInference()
    found = engine.posterior("h").toarray()
    return found, time.process_time() - start


def with_pgmpy(model: Model, evidence: Evidence, soft: Soft) -> tuple[np.ndarray, float]:
    """Posterior and seconds of the inference alone."""
    from pgmpy.factors.discrete import TabularCPD  # noqa: PLC0415
    from pgmpy.inference import VariableElimination  # noqa: PLC0415
    from pgmpy.models import BayesianNetwork  # noqa: PLC0415

    tables = _tables(model, evidence)
    net = BayesianNetwork([("h", name) for name in tables])
    net.add_cpds(TabularCPD("h", model.hypotheses, model.weights.sum(axis=1)[:, None]))
    for name, table in tables.items():
        net.add_cpds(TabularCPD(name, len(table), table / table.sum(axis=0), ["h"], [model.hypotheses]))
    virtual = [TabularCPD(k, len(v), (v / v.sum())[:, None]) for k, v in soft.items()]
    start = time.process_time()
    engine = VariableElimination(net)
    found = engine.query(["h"], evidence=_hard(model, evidence), virtual_evidence=virtual or None, show_progress=False)
    return np.asarray(found.values), time.process_time() - start


def compare(count: int, first: int = 0) -> dict[str, tuple[float, float, float, int]]:
    """Library -> (largest difference, its time over our inference, its time over our whole call, cases)."""
    found = {}
    for name, solver in (("pyagrum", with_pyagrum), ("pgmpy", with_pgmpy)):
        try:
            __import__(name)
        except ImportError:
            continue
        worst, theirs, mine, whole = 0.0, 0.0, 0.0, 0.0
        for seed in range(first, first + count):
            model, evidence, soft = case(seed)
            own, alone, call = ours(model, evidence, soft)
            mine, whole = mine + alone, whole + call
            other, seconds = solver(model, evidence, soft)
            theirs += seconds
            worst = max(worst, float(np.abs(own - other).max()))
        found[name] = (worst, theirs / mine, theirs / whole, count)
    return found
