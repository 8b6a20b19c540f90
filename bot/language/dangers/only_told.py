"""What many words that sound like a danger have in common: one pattern tells what they are of, another spoils that."""

from __future__ import annotations

import re
from collections.abc import Sequence


def only_told(words: Sequence[str], its: re.Pattern[str], spoils: re.Pattern[str], named: str = "") -> bool:
    """Whether words, as typed or as mended, tell what `its` finds and nothing that `spoils` it; never without `named`
    in them."""
    line = " ".join(words)
    return named in line and its.search(line) is not None and spoils.search(line) is None
