"""Building much that stays."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def unsearched() -> Iterator[None]:
    """No search for garbage meanwhile: there is next to none among what is built once and stays, and each search goes
    through all of it, which took a quarter of the time."""
    searched = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searched:
            gc.enable()
