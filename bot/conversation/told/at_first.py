"""What somebody had found before anything was asked, or tells while the build is asked."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.told.of_another import ALL_OF_IT, of_another, out_of_turn
from bot.conversation.turn import Turn
from bot.language.answers.about import covered, parts_of
from bot.language.answers.bands import usual
from bot.language.answers.gainsaid import says_still
from bot.language.answers.hurt_part import is_hurt, is_its_own, mends
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.meaning import HeardResult


def seen_at_first(turn: Turn, text: str) -> list[HeardResult]:
    """What somebody found before anything was asked: 'found the belt snapped in the bottom' is the look at the belt,
    'fuse on the blower reads OL' the fuse."""
    if turn.job.question is not None or turn.job.family not in turn.context.release.knowledge.packs:
        return []
    heard: list[HeardResult] = []
    for part in parts_of(text):
        if tells_open(part) or tells_continuity(part):
            read = of_another(turn, part, ())
            heard += [read] if read is not None else []
            continue
        found = _FOUND.search(part)
        still = says_still(turn.context.release.index, part)
        its = out_of_turn(turn, found.group("what") if found is not None else part, ()) if (
            found is not None or still or is_hurt(part)) else None
        if its is None:
            continue
        check = turn.pack.checks[its.check]
        if still and check.kind in {"look", "listen"} and its.result != usual(check) and not (
                check.results[its.result].complaints):
            heard.append(its)  # 'evap fan dont spin'
            continue
        told = its.result != usual(check) and not mends(text) and is_its_own(part, its.check, check, its.result)
        if (told and check.power != "run") or (found is not None and check.power == "off"):
            heard.append(its)
    return heard


def plainly_seen(turn: Turn, heard: Sequence[HeardResult], text: str) -> list[HeardResult]:
    """Of results told while the build is asked those of a look at a part that is named whole and is not as it should
    be: 'motor brushes are stubs'. 'Small relay and overload' is no try with a good one."""
    index, family = turn.context.release.index, turn.job.family or ""
    return [one for one in heard if turn.pack.checks[one.check].kind in {"look", "feel"}
            and not turn.pack.checks[one.check].tells_kind and one.result != usual(turn.pack.checks[one.check])
            and covered(index, family, text, one.check) >= ALL_OF_IT]


_FOUND: Final = re.compile(
    r"\b(?:found|(?:i (?:can )?|^\W*|(?:and|n) )see(?! (?:if|what|how|why|whether|no|nothing)\b)|i saw|saw (?=an? )|"
    r"spotted|theres|there is|turns out|encontre) (?:that )?(?:the |a |an |its )?"
    r"(?P<what>[^?]+)$", re.IGNORECASE)
