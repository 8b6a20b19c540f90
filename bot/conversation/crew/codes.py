"""One-time codes: what they look like, and what is kept of them."""

from __future__ import annotations

import re
from hashlib import sha256
from typing import Final

LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
"""32 characters, none that is easily taken for another (no I, O, 0, 1)."""
GROUPS: Final = 3
_WRITTEN: Final = re.compile(rf"(?:[{LETTERS}]{{4}}-){{{GROUPS - 1}}}[{LETTERS}]{{4}}", re.IGNORECASE)


def code_from(chance: bytes) -> str:
    """The code that 12 bytes of chance make: 60 bits of them count."""
    letters = "".join(LETTERS[byte % len(LETTERS)] for byte in chance[:4 * GROUPS])
    return "-".join(letters[at:at + 4] for at in range(0, len(letters), 4))


def code_hash(code: str) -> str:
    """What is kept of a code. Case, spaces and dashes do not matter."""
    return sha256(f"invite:{letters_of(code)}".encode()).hexdigest()


def looks_like_code(text: str) -> bool:
    """Whether a stranger's message may be a code: worth trying, instead of a plain refusal."""
    letters = letters_of(text)
    return len(letters) == 4 * GROUPS and all(letter in LETTERS for letter in letters)


def is_written_as_code(text: str) -> bool:
    """Whether a message is a code as we print it, dashes and all: no word is."""
    return _WRITTEN.fullmatch(text.strip()) is not None


def letters_of(code: str) -> str:
    """The code's letters and digits, in capitals."""
    return "".join(c for c in code.upper() if c.isalnum())
