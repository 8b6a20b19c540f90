"""The invented firm that a data folder without anybody gets. Plain values: the prompt needs them before all else."""

from __future__ import annotations

from typing import Final, Literal

FIRM_NAME: Final = "Hazel Lane Appliance Repair"
CREW: Final[tuple[tuple[str, Literal["junior", "senior", "owner"], tuple[str, ...]], ...]] = (
    ("Rui", "junior", ()),
    ("Dana", "junior", ("live",)),
    ("Marta", "senior", ("live", "gas", "refrigerant", "lifting")),
    ("Ines", "owner", ("live",)),
)
"""Name, role, sign-offs. The first of a role has its seat."""
