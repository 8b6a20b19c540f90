"""What a hand finds that turns, pushes or lifts: 'turned the drum by hand, nice and smooth' is that look's."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.questions.no_word_on_it import ONLY_TURNED
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.of_another import NOT_SEEN
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import covered, stems
from bot.language.answers.bands import usual
from bot.language.answers.foreign import PARTS
from bot.language.answers.unasked import SURE
from bot.language.meaning import HeardResult
from bot.language.words.forms import stem
from bot.language.words.text import plain_words


def only_by_hand(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """'Starts if I lean on the door' while it is asked what start does: what it does by hand is another look's."""
    found, round_by_hand = _BY_HAND.search(part), _TURNED.search(part)
    if (found is None and round_by_hand is None) or NOT_SEEN.search(_CONDITION.sub(" ", part)):
        return None
    hand = "turn" if round_by_hand is not None or found is None else stem(found["done"].lower())
    if any(answer_to(turn, key, part).p >= SURE for key in asked):
        return None
    heard, rest = [], _BY_HAND.sub(" ", part)  # 'drum wobbles when i lift it' is no door that sags
    named = {key: covered(turn.context.release.index, turn.job.family or "", rest, key) for key in turn.pack.checks}
    for key, check in turn.pack.checks.items():
        done = {stem(word) for word in plain_words(f"{check.ask} {' '.join(check.steps)}")}
        if hand not in done | {stem(w) for w in plain_words(check.again or "")} or (
                round_by_hand is not None and check.kind != "turn"):
            continue
        if key in asked:
            return None
        its = answer_to(turn, key, part)
        if its.result is not None and its.p >= SURE and its.result != usual(check) and holds_as_told(
                check, evidence_of(turn.job)) and (named[key] or not any(named.values())):
            heard.append(HeardResult(key, its.result, its.p))
    if round_by_hand is not None and len(heard) > 1 and not any(named.values()):
        return None  # the drum as well as its pulley, or the motor
    return max(heard, key=lambda one: one.p, default=None)


def with_what_was_done(parts: Sequence[str]) -> list[str]:
    """The parts of a line, what was only done by hand with what it showed: 'turned the drum by hand', 'nice', 'smooth'
    are one, up to where another part of the machine is named."""
    found: list[str] = []
    done = False
    for part in parts:
        if done and not stems(part) & PARTS:
            found[-1] = f"{found[-1]} {part}"
            continue
        found.append(part)
        done = ONLY_TURNED.fullmatch(part) is not None
    return found


_CONDITION: Final = re.compile(r"\b(?:if|when|whenever|while|unless|till|until)\b", re.IGNORECASE)
_BY_HAND: Final = re.compile(
    r"\b(?:if|when|whenever|while|unless|till|until|as long as) (?:i|you|u|ya|we|somebody|someone) "
    r"(?:really |just |kinda |hard )*(?P<done>push|press|lean|hold|lift)\b", re.IGNORECASE)
_TURNED: Final = re.compile(
    r"\b(?:turn|spin|spun|rotat|push|roll|work)\w*\b(?: \w+){1,3}? (?:round|around|by hand)\b"
    r"|\bby hand\b", re.IGNORECASE)
"""Round and round by a hand: 'when i push the basket round it rubs'."""
