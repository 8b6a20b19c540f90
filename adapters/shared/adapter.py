"""What `chargehand serve` asks of an adapter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

from bot.service.delivery import Delivery


class AdapterStoppedError(Exception):
    """The adapter cannot go on, and trying again would not help: the message says what to do."""


@dataclass(frozen=True, slots=True)
class AdapterHealth:
    """Whether messages come through, and what the health page shows of it (no words of anybody's, no secrets)."""

    alive: bool
    details: Mapping[str, object] = field(default_factory=dict)


class Adapter(Protocol):
    """One account on one platform."""

    @property
    def name(self) -> str:
        """The platform."""

    @property
    def delivery(self) -> Delivery:
        """Its way out."""

    async def run(self) -> None:
        """Take what the platform sends until `stop`. Raises AdapterStoppedError, nothing else."""

    def stop(self) -> None:
        """Take no more; `run` returns soon. Messages can still be delivered."""

    async def close(self) -> None:
        """Let go of the network."""

    def health(self) -> AdapterHealth:
        """How it is doing."""
