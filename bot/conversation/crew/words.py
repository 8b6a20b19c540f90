"""Words about the crew and one's own duty, typed in a chat: who is invited, removed, signed off; who is off today.

Only whole messages of a strict form count, so that no talk about a machine is taken for one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from bot.conversation.firm import Signoff

Act = Literal["invite", "people", "on_now", "remove", "sign_off", "take_back", "link", "duty", "off_today", "off",
              "off_until", "on", "hours", "timezone", "phone", "notes", "retire"]
FOR_OWNERS: Final[frozenset[Act]] = frozenset({"invite", "people", "remove", "sign_off", "take_back", "phone"})

_WHAT: Final = (r"(?P<what>live(?: (?:tests?|testing|work|measurements?))?|gas(?: work)?|refrigerant(?: work)?"
                r"|(?:heavy )?lifting)")
_WHO: Final = r"(?P<who>[0-9a-f]{20}|[^\W\d_][\w .'’-]{0,58}?)"
_FORMS: Final[tuple[tuple[Act, str], ...]] = (
    ("invite", rf"invite (?:an? )?(?:new )?(?P<what>junior|senior|owner)(?:[ ,:]+(?:called |named )?{_WHO})?"),
    ("invite", rf"invite {_WHO}(?:,| as)(?: an?)? (?P<what>junior|senior|owner)"),
    ("people", r"(?:list )?(?:the )?(?:people|crew)"),
    ("on_now", r"who(?:'?s| is) on(?: duty| now| today)?"),
    ("remove", rf"remove {_WHO}(?: from the crew)?"),
    ("sign_off", rf"sign(?:ed)?[ -]?off {_WHO}(?: for|:)? {_WHAT}"),
    ("take_back", rf"(?:take back|revoke) {_WHAT} (?:from|of) {_WHO}"),
    ("take_back", rf"(?:take back|revoke) {_WHO}(?:'s)? {_WHAT}"),
    ("link", r"link|link (?:me|my (?:other )?(?:account|phone))|link another account"),
    ("duty", r"duty|my (?:duty|hours)|am i on"),
    ("off_today", r"(?:i'?m |im )?off (?:for )?(?:today|the day)|done for (?:today|the day)"),
    ("off_until", r"(?:i'?m |im )?off (?:until|till) (?P<what>.{2,40})"),
    ("off", r"(?:i'?m |im )?off duty"),
    ("on", r"(?:i'?m |im )?(?:back on|on)(?: duty)?|back on"),
    ("hours", r"(?:my )?hours:? (?P<what>.{3,80})"),
    ("timezone", r"(?:my )?time ?zone:? (?P<what>[A-Za-z_]+(?:/[A-Za-z_+\-0-9]+)*)"),
    ("phone", rf"(?:phone|number) (?:of |for )?{_WHO}[ :]+(?P<what>\+?[\d][\d ()./-]{{2,24}})"),
    ("notes", r"(?:list )?(?:the )?(?:firm'?s )?notes"),
    ("retire", r"(?:retire|drop) note #?(?P<what>\d{1,6})"),
)
_ALL: Final = tuple((act, re.compile(form, re.IGNORECASE)) for act, form in _FORMS)
_SIGNOFFS: Final[dict[str, Signoff]] = {"live": "live", "gas": "gas", "refrigerant": "refrigerant",
                                        "lifting": "lifting", "heavy": "lifting"}


@dataclass(frozen=True, slots=True)
class Order:
    """What a message asks for: the act, whom it is about, and what with."""

    act: Act
    who: str = ""
    what: str = ""


def order_in(text: str) -> Order | None:
    """The act that the whole message asks for, if it is one."""
    bare = " ".join(text.replace("’", "'").split()).strip(" .!/")
    if len(bare) > 120:
        return None
    for act, form in _ALL:
        if found := form.fullmatch(bare):
            named = found.groupdict()
            what = (named.get("what") or "").strip()
            if act in {"sign_off", "take_back"}:
                what = _SIGNOFFS[what.split()[0].lower()]
            return Order(act, (named.get("who") or "").strip(), what.lower() if act == "invite" else what)
    return None
