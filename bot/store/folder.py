"""What lies in a data folder beside the database, the photos and the releases."""

from __future__ import annotations

from typing import Final

OVERLAY: Final = "overlay"
"""The firm's own packs: they lie on top of all others."""
