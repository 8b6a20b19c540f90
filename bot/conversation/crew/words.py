"""Words about the crew and one's own duty, typed in a chat: who is invited, removed, signed off; who is off today.

Only whole messages of a strict form count, so that no talk about a machine is taken for one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from rapidfuzz import fuzz, process

from bot.conversation.firm import Signoff

Act = Literal["invite", "invite_as", "people", "on_now", "remove", "sign_off", "sign_what", "take_back", "link", "duty",
              "off_today", "off", "off_until", "on", "hours", "timezone", "phone", "phone_of", "notes", "retire",
              "pages"]
FOR_OWNERS: Final[frozenset[Act]] = frozenset({
    "invite", "invite_as", "people", "remove", "sign_off", "sign_what", "take_back", "phone", "phone_of"})

_WHAT: Final = r"(?P<what>(?:the )?[a-z]+(?: (?:tests?|testing|work|measurements?|lifting))?)"
_WHO: Final = r"(?P<who>[0-9a-f]{20}|[^\W\d_][\w .'’-]{0,58}?)"
_ROLE: Final = r"(?P<what>junior|jr|tech|technician|apprentice|senior|sr|owner)"
_ASKED: Final = r"\s*\?*"
_FORMS: Final[tuple[tuple[Act, str], ...]] = (
    ("invite", rf"(?:invite|add) (?:an? )?(?:new )?{_ROLE}(?:[ ,:]+(?:called |named )?{_WHO})?"),
    ("invite", rf"(?:invite|add) {_WHO}(?:,| as)(?: an?)? {_ROLE}"),
    ("invite_as", rf"invite (?:a new )?{_WHO}"),
    ("people", rf"(?:list |show )?(?:the )?(?:people|crew|team){_ASKED}"),
    ("on_now", rf"who(?:'?s| is) (?:on|working|there|around)(?: duty)?(?: now| today)?{_ASKED}"),
    ("remove", rf"remove {_WHO}(?: from the (?:crew|team))?"),
    ("sign_off", rf"sign(?:ed)?[ -]?off {_WHO}(?: (?:for|on)|:)? {_WHAT}"),
    ("sign_off", rf"sign {_WHO} off (?:for|on) {_WHAT}"),
    ("take_back", rf"(?:take back|revoke) {_WHAT} (?:from|of) {_WHO}"),
    ("take_back", rf"(?:take back|revoke) {_WHO}(?:'s)? {_WHAT}"),
    ("link", r"link|link (?:me|my (?:other )?(?:account|phone))|link another account"),
    ("duty", rf"duty{_ASKED}|my (?:duty|hours){_ASKED}|am i on(?: duty)?{_ASKED}"),
    ("off_today", r"(?:i'?m |im )?off (?:for )?(?:today|tday|2day|the day|sick)|done for (?:today|the day)|"
                  r"(?:(?:i'?m|im|off|out|calling in) )?sick today|calling in sick"),
    ("off_until", r"(?:i'?m |im )?off (?:until|untill|till|til|'til) (?P<what>.{2,40})"),
    ("off", r"(?:i'?m |im )?off duty"),
    ("on", r"(?:i'?m |im )?(?:back on|on)(?: duty)?|back on"),
    ("hours", r"(?:my )?hours(?::? (?P<what>.{3,80}))?"),
    ("timezone", r"(?:my )?time ?zone:? (?P<what>[A-Za-z_]+(?:[ /-][A-Za-z_+\-0-9]+){0,3})"),
    ("phone", rf"(?:phone|number) (?:of |for )?{_WHO}[ :]+(?P<what>\+?[\d(][\d ()./-]{{2,24}})"),
    ("phone_of", rf"(?:phone|number) (?:of |for )?(?P<who>[^\W\d_][\w.'’-]*(?: [\w.'’-]+)?){_ASKED}"),
    ("pages", r"pages|log ?in"),
    ("notes", rf"(?:list )?(?:the )?(?:firm'?s )?notes{_ASKED}"),
    ("retire", r"(?:retire|drop) note #?(?P<what>\d{1,6})"),
)
_ALL: Final = tuple((act, re.compile(form, re.IGNORECASE)) for act, form in _FORMS)
_ROLES: Final = {"jr": "junior", "tech": "junior", "technician": "junior", "apprentice": "junior", "sr": "senior"}
_SIGNOFFS: Final[dict[str, Signoff]] = {"live": "live", "gas": "gas", "refrigerant": "refrigerant",
                                        "lifting": "lifting", "heavy": "lifting"}
_POLITE: Final = re.compile(r"^(?:please|pls|plz)[ ,]+|[ ,]+(?:please|pls|plz|thanks|thank you|thx)$", re.IGNORECASE)
_A_SLIP: Final = 80
_CREW: Final = frozenset({"invite", "remove", "sign", "signoff", "revoke", "people", "crew", "phone"})
_DUTY: Final = frozenset({"off", "hours", "timezone", "duty", "on", "sick"})


@dataclass(frozen=True, slots=True)
class Order:
    """What a message asks for: the act, whom it is about, and what with."""

    act: Act
    who: str = ""
    what: str = ""


def order_in(text: str) -> Order | None:
    """The act that the whole message asks for, if it is one."""
    bare = _POLITE.sub("", " ".join(text.replace("’", "'").split()).strip(" .!/"))
    if len(bare) > 120:
        return None
    for act, form in _ALL:
        if found := form.fullmatch(bare):
            named = found.groupdict()
            what = (named.get("what") or "").strip()
            if act in {"sign_off", "take_back"}:
                kind = _signoff(what)
                if kind is None:
                    return Order("sign_what", (named.get("who") or "").strip()) if " for " in bare else None
                what = kind
            if act == "invite":
                what = _ROLES.get(what.lower(), what.lower())
            return Order(act, (named.get("who") or "").strip(), what)
    return None


def nearly(text: str) -> Literal["crew", "duty"] | None:
    """What a short line that is no order may have been meant for, by its first word."""
    words = text.lower().split()
    if not words or len(words) > 6:
        return None
    first = words[0].strip(".,:;!?")
    return "crew" if first in _CREW else "duty" if first in _DUTY else None


def _signoff(what: str) -> Signoff | None:
    """What is signed off, also with a slip of the finger ('gass')."""
    near = process.extractOne(what.lower().removeprefix("the ").split()[0], list(_SIGNOFFS), scorer=fuzz.ratio,
                              score_cutoff=_A_SLIP)
    return _SIGNOFFS[near[0]] if near else None
