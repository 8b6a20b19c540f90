"""Talk that reports nothing: greetings, thanks, prices, appointments, abuse, orders to the bot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from bot.language.words.lexicon import data
from bot.language.words.phrases import Phrases

SmallTalk = Literal["greeting", "thanks", "other"]
_GROUPS: Final = ("instruct", "scope", "thanks", "greeting")


@dataclass(frozen=True, slots=True)
class Talk:
    """Which kinds of talk were heard."""

    instruct: bool = False
    scope: bool = False
    thanks: bool = False
    greeting: bool = False

    @property
    def kind(self) -> SmallTalk:
        """What to answer to when nothing else was said."""
        if self.instruct or self.scope:
            return "other"
        return "thanks" if self.thanks else "greeting" if self.greeting else "other"


@cache
def _phrases() -> Phrases[str]:
    return Phrases({tuple(p.split()): group for group in reversed(_GROUPS) for p in data("talk")[group]})


def talk_in(words: Sequence[str]) -> Talk:
    """The kinds of talk in a message."""
    table = _phrases()
    heard = {group for place in range(len(words)) for _, group in table.at(words, place)}
    return Talk(*(group in heard for group in _GROUPS))
