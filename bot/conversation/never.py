"""'Can I jump the fuse?', 'can I top it up': asked or announced, and answered no before all else."""

from __future__ import annotations

import re
from typing import Final

_MEANT: Final = re.compile(
    r"\?|\b(can|could|should|may|shall|do|if) (i|we)\b|\b(i'?ll|ill|gonna|going to|let me|lemme|"
    r"want to|wanna|i could|i can|about to|ok to|okay to|puedo)\b", re.IGNORECASE)
_NOT_DONE: Final[dict[str, re.Pattern[str]]] = {
    "never.bridge": re.compile(
        r"\b(bridge|bridging|jump|jumper|jumping|bypass|bypassing|short (out|across)|tie|tape|defeat|puentear)\b.{0,30}"
        r"\b(fuse|limit|thermostat|cut.?off|cutout|switch|interlock|lid|door|lock|strike|float|it|them|fusible)\b",
        re.IGNORECASE),
    "never.sealed_system": re.compile(
        r"\b(top(ping)? ((it|this|that|her) )?up|top(ping)? (it|this|that|her) off|topping off|recharge|"
        r"charge (it|the (system|fridge|unit|compressor|line))|"
        r"add (some )?(gas|freon|refrigerant)|"
        r"pierc\w+|tap (into|(the |a )?(suction|process|line|tube))|put gauges|gauges on|"
        r"vent (it|the refrigerant)|let the (gas|refrigerant) out)\b",
        re.IGNORECASE),
    "never.bigger_fuse": re.compile(
        r"\b(bigger|larger|higher|heavier|more) (amps? )?(fuse|breaker)\b|\bhold the breaker\b", re.IGNORECASE),
}


def never(text: str, family: str | None) -> str | None:
    """The key of the answer to what is never done, if the words ask for it or announce it."""
    if not _MEANT.search(text):
        return None
    key = next((key for key, way in _NOT_DONE.items() if way.search(text)), None)
    return None if key == "never.sealed_system" and family != "refrigerator" else key
