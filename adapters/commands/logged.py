"""What goes wrong inside goes into a file of the data folder, not between the lines that a user reads."""

from __future__ import annotations

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def logged(folder: Path | None) -> Iterator[None]:
    """Keep the log in `folder`/chargehand.log (None: nowhere). CHARGEHAND_TRACEBACK shows it instead."""
    handler: logging.Handler = logging.NullHandler()
    if os.environ.get("CHARGEHAND_TRACEBACK"):
        handler = logging.StreamHandler()
    elif folder is not None:
        handler = logging.FileHandler(folder / "chargehand.log", delay=True)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.getLogger().addHandler(handler)
    try:
        yield
    finally:
        logging.getLogger().removeHandler(handler)
        handler.close()
