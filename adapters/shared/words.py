"""The few words that adapters say on their own: at the door, and on questions that are closed."""

from __future__ import annotations

from typing import Final

WORDS: Final[dict[str, dict[str, str]]] = {"en": {
    "refused": "This is a private line. If you were given a code, send it here.",
    "wrong_code": "That code does not open anything. Ask whoever gave it to you for a new one.",
    "withdrawn": "Taken back.",
    "lapsed": "No longer open.",
    "old_button": "That button no longer does anything.",
    "got_it": "Got it.",
    "two_only": "I only talk in a chat of two. Write to me directly.",
    "no_key": "I can't read your last message: its encryption key didn't reach me. I asked for it; if I don't answer "
              "in a minute, send the message again.",
    "unverified": "I only listen to devices that the owner has verified, and this one isn't yet. Ask them to add it.",
    "in_clear": "This chat isn't encrypted, and I'm not allowed to turn it on here. Open an encrypted one with me if "
                "you can.",
}}
"""Language -> key -> words. What a language lacks is said in English."""


def word(key: str, language: str = "en") -> str:
    """The words of that key."""
    return WORDS.get(language, {}).get(key) or WORDS["en"][key]
