"""Plots of the figures, one PNG each, into a folder."""

from __future__ import annotations

from pathlib import Path

import matplotlib as mpl
import numpy as np

mpl.use("Agg")
from matplotlib import pyplot as plt

from tests.benchmarks.diagnosis.calibration import BINS
from tests.benchmarks.diagnosis.small import Ratios


def cost_ratios(found: Ratios, folder: Path) -> None:
    """How many of the small problems a policy solves within so much of the optimum."""
    figure, axes = plt.subplots(1, len(found), figsize=(4.2 * len(found), 4), sharey=True, squeeze=False)
    for axis, (regime, rows) in zip(axes[0], found.items(), strict=True):
        for name, values in rows.items():
            axis.plot(np.sort(values), np.linspace(0, 1, len(values)), label=name,
                      linewidth=2.2 if name == "ours" else 1.1, color="black" if name == "ours" else None)
        axis.set_xlim(1, 1.4)
        axis.set_title(regime.replace("_", " "))
        axis.set_xlabel("cost / optimum")
    axes[0][0].set_ylabel("share of problems")
    axes[0][-1].legend(fontsize=7, loc="lower right")
    _save(figure, folder / "cost_ratios.png")


def reliability(confidence: dict[str, tuple[np.ndarray, np.ndarray]], folder: Path) -> None:
    """Said against found to be true, bins of equal mass."""
    figure, axis = plt.subplots(figsize=(5, 5))
    axis.plot([0, 1], [0, 1], color="0.7")
    for name, (said, right) in confidence.items():
        parts = np.array_split(np.argsort(said, kind="stable"), BINS)
        axis.plot([said[p].mean() for p in parts], [right[p].mean() for p in parts], "o-", label=name, markersize=4)
    axis.set_xlabel("said")
    axis.set_ylabel("right")
    axis.legend()
    _save(figure, folder / "reliability.png")


def detection_curve(known: dict[str, np.ndarray], unknown: dict[str, np.ndarray], folder: Path) -> None:
    """Unknown faults noticed against false alarms, for each statistic."""
    figure, axis = plt.subplots(figsize=(5, 5))
    for name, values in known.items():
        limits = np.quantile(values, np.linspace(0, 1, 200))
        axis.plot([(values > t).mean() for t in limits], [(unknown[name] > t).mean() for t in limits], label=name)
    axis.set_xlim(0, 0.3)
    axis.axvline(0.05, color="0.7")
    axis.set_xlabel("false alarms")
    axis.set_ylabel("unknown faults noticed")
    axis.legend()
    _save(figure, folder / "detection.png")


def _save(figure: plt.Figure, path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    figure.tight_layout()
    figure.savefig(path, dpi=120)
    plt.close(figure)
