"""Real servers and clients that tests talk to. One that is not installed skips its tests, or fails them where it has to
be there (CHARGEHAND_REQUIRE_PEERS=1, as .ci/run sets it).
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import NoReturn

import pytest

ROOT = Path(__file__).parents[2]
VARIABLE = "CHARGEHAND_REQUIRE_PEERS"


def missing(what: str, install: str) -> NoReturn:
    """Skip, or fail if peers are required. `install`: the command that brings it."""
    reason = f"{what} is not installed: {install}"
    if os.environ.get(VARIABLE) == "1":
        pytest.fail(f"{reason} ({VARIABLE}=1)")
    pytest.skip(reason)
