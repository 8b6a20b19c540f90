"""All numbers that diagnosis decides by, in one place, each with where it comes from.

"Derived" means: by the command named with it, from simulated visits, never by hand. The rest are judgements of
the trade, marked so, to be replaced by the firm's own record.
"""

from __future__ import annotations

from typing import Final

# --- Likelihoods ---------------------------------------------------------------------------------------------

SMOOTH_CHECKS: Final = 0.08
"""Share of every check row given to all results alike. Guards against rows that are wrong: derived by
`python -m tests.benchmarks.diagnosis calibration`."""
SMOOTH_COMPLAINTS: Final = 0.05
"""The same for complaints, towards the family's average rather than 1/2: most complaints are rare."""
BACKGROUND_COMPLAINT: Final = 0.01
"""A complaint that a fault does not name: told by mistake or of another cause. Judgement."""
LEAK_UNIFORM: Final = 0.1
"""`unknown` = 0.9 of the average fault + 0.1 of anything. Half of anything detects far fewer unknown faults."""
MISIDENTIFIED: Final = 0.02
"""Weight of a result that proves another variant than the machine has: it was misjudged. Judgement."""
NOT_THERE: Final = 0.02
"""Chance of any result of a check that this machine does not have: the variant was misjudged. Judgement."""

# --- Two faults at once --------------------------------------------------------------------------------------

PAIR: Final = 0.04
"""rho: prior of a pair = rho * p_i * p_j; with 40 faults alike about 2 % of visits. Judgement."""
PAIR_SHOWN: Final = 0.005
"""Pairs with less than this of the mass are left out of the belief."""

# --- Planner (minute-equivalents) ----------------------------------------------------------------------------

DEAD_MINUTES: Final = 2.0
"""Unplug or lock the breaker, prove dead. Judgement."""
LIVE_MINUTES: Final = 1.0
"""Restore power afterwards. Judgement."""
PROOF_MINUTES: Final = 5.0
"""A run that proves a repair. Judgement."""
WRONG_PART: Final = {"none": 0.0, "low": 10.0, "medium": 25.0, "high": 60.0, "very_high": 120.0}
"""Extra cost of a part that did not cure: returned or lost, and the customer's trust. Judgement."""
WRONG_STOP: Final = 60.0
"""Extra cost of leaving a machine that does have a fault, or sending for another trade in vain. Judgement."""
ASK_MINUTES: Final = 1.0
"""Cost of asking for a check that turns out impossible. Judgement."""
PLANNED_MASS: Final = 0.995
"""Hypotheses are planned on up to this share of the belief; the rest counts as unknown."""

# --- Misfit --------------------------------------------------------------------------------------------------

MISFIT_LEVELS: Final = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0)
MISFIT_NATS: Final[tuple[tuple[float, ...], ...]] = (
    (-1.0, 0.0, 0.1, 0.3, 0.5, 1.0, 2.0),
)
MISFIT_AGAIN: Final = 0.95
"""From here on the answer that fits least is measured again."""
MISFIT_HANDOFF: Final = 0.99
"""From here on, or at MISFIT_AGAIN twice, a senior is brought in."""
PAIRS_CALLED: Final = 0.9
"""Pairs of faults enter the belief from this misfit on, and after every failed repair."""

# --- The planner's manners -----------------------------------------------------------------------------------

FINDING_MINUTES: Final = 10.0
"""To explain a finding that another trade puts right, and make safe. Judgement."""
TRIES: Final = 2
"""The same repair is not proposed again after it failed so often."""
PLANNED_ALONE: Final = 0.008
"""Hypotheses (fault and kind of machine) of less than this share are joined with others of their fault."""
PLANNED_HYPOTHESES: Final = 60
"""Most hypotheses planned on apart; the unlikely kinds of one fault are joined."""
KEEP_WITHIN: Final = 0.005
"""The last suggestion stays while it costs at most this share more: a change of mind must be worth its words."""
WATCH_WITHIN: Final = 0.15
"""Watching one run goes first while it costs at most this share more than opening the machine."""
TOGETHER_CHANCE: Final = 0.4
"""A check is asked along with another when the plan would ask for it next with at least this chance."""
