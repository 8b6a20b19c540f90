"""Small packs that tests build, and a random one for properties."""

from __future__ import annotations

import random
from typing import Any

from knowledge.schema import Pack


def fault(name: str, frequency: float, shows: dict[str, Any], minutes: float = 20.0, **more: Any) -> dict[str, Any]:
    """A fault with its repair written inline. `repair_` keys go to the repair."""
    repair = {"name": f"Replace the {name}", "minutes": minutes, "cost": "low", "parts": [name],
              "cautions": ["Unplug."], "steps": ["Do it."],
              **{k[7:]: v for k, v in more.items() if k.startswith("repair_")}}
    rest = {k: v for k, v in more.items() if not k.startswith("repair_")}
    return {"name": f"bad {name}", "frequency": frequency, "shows": shows, "repair": repair, **rest}


def check(likelihoods: dict[str, Any], minutes: float = 3.0, results: tuple[str, ...] = ("good", "bad"),
          **more: Any) -> dict[str, Any]:
    """A check with plain results."""
    return {"name": "look", "ask": "What do you see?", "kind": "look", "power": "any", "minutes": minutes,
            "results": {r: {"label": r, "says": r} for r in results}, "cannot": 0.0, "likelihoods": likelihoods, **more}


def pack(faults: dict[str, Any], checks: dict[str, Any], *, complaints: tuple[str, ...] = ("dead", "noisy"),
         covers: dict[str, Any] | None = None, unknown: float = 0.03, watch: str | None = None,
         variants: dict[str, tuple[str, ...]] | None = None, combinations: list[dict[str, Any]] | None = None) -> Pack:
    """A whole pack around them."""
    kinds = {axis: {"ask": "Which?", "values": {v: {"name": v} for v in values}}
             for axis, values in (variants or {}).items()}
    return Pack.model_validate({
        "family": {"id": "mangle", "name": "mangle", "names": {"en": ["mangle"]}, "variants": kinds,
                   "combinations": combinations or [], "safety_card": ["Unplug."], "prove_dead": "Pull the plug.",
                   "watch": watch or next(iter(checks)), "menu": [], "closing": ["Covers on."], "make_safe": "Unplug.",
                   "unknown": unknown},
        "complaints": {c: {"label": c, "says": c, "works": f"not {c}", "phrases": {"en": [c]}, "proof": "run it"}
                       for c in complaints},
        "covers": {k: {"name": k, "how": "Unscrew.", **v} for k, v in (covers or {}).items()},
        "faults": faults, "checks": checks})


def random_pack(seed: int, faults: int = 8, checks: int = 8) -> Pack:
    """A pack of two machine kinds with covers, shared looks and one fault of usage."""
    rng = random.Random(seed)
    words = ["always", "usually", "often", "sometimes"]
    drive = {"drive": "belt"}, {"drive": "direct"}
    those = {}
    for i in range(faults):
        shows = {c: rng.choice(words) for c in rng.sample(("dead", "noisy", "slow"), rng.randint(1, 2))}
        more: dict[str, Any] = {"only": rng.choice(drive)} if rng.random() < 0.3 else {}
        more["repair_access"] = rng.choice([[], ["front"], ["rear"]])
        more["repair_cost"] = rng.choice(["low", "medium", "high"])
        those[f"part{i}.bad"] = fault(f"part {i}", rng.uniform(0.2, 3), shows, rng.uniform(10, 60), **more)
    those["usage.normal"] = fault("nothing", 0.4, {"slow": "often"}, 10, repair_cost="none", repair_parts=[])
    looks = {"watch": check({"normal": {"good": 0.9}, "part0.bad": {"bad": 0.8}}, 5, ("good", "bad", "odd"),
                            power="run", kind="run")}
    for i in range(checks - 1):
        rows: dict[str, Any] = {"normal": {"good": 0.95}}
        for f in rng.sample(sorted(those), rng.randint(1, min(4, faults))):
            rows[f] = {rng.choice(["bad", "odd"]): rng.choice(words)}
        more = {"only": rng.choice(drive)} if rng.random() < 0.2 else {}
        looks[f"look{i}"] = check(rows, rng.uniform(1, 6), ("good", "bad", "odd"), cannot=0.03,
                                  access=rng.choice([[], ["front"], ["rear"]]), **more)
    return pack(those, looks, complaints=("dead", "noisy", "slow"), watch="watch",
                covers={"front": {"open_minutes": 3, "close_minutes": 3},
                        "rear": {"open_minutes": 4, "close_minutes": 4}},
                variants={"drive": ("belt", "direct")},
                combinations=[{"drive": "belt", "share": 0.6}, {"drive": "direct", "share": 0.4}])
