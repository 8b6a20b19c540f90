"""What comes of words about the crew and about duty: who may say them, what changes, what is answered.

Owners alone change the crew, and only in a chat of two. Everybody says when they themselves are on duty, and may link
another account of theirs. What is no act for this person, here and now, is left to the talk about machines.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any, Final
from zoneinfo import available_timezones

from bot.conversation.context import Context
from bot.conversation.crew.codes import code_from, code_hash, is_written_as_code
from bot.conversation.crew.dates import days_in
from bot.conversation.crew.duty import is_on, next_on, read_hours, start_of, tomorrow, when, zone_of
from bot.conversation.crew.words import FOR_OWNERS, Order, order_in
from bot.conversation.effects import (
    Audit,
    Effect,
    Invite,
    Remove,
    RetireNote,
    Say,
    SetDuty,
    SetReach,
    SignOff,
    Text,
    Uninvite,
)
from bot.conversation.events import Typed
from bot.conversation.firm import JobBrief, Person
from bot.conversation.ids import derive

SENIORS: Final = frozenset({"senior", "owner"})
_A_DAY: Final = re.compile(r"\b(?:mon|tue|wed|thu|fri|sat|sun|week)(?:days?|s|nes|rs|ur|urs|ends?)?(?:day)?s?\b",
                           re.IGNORECASE)
"""Hours with a day of the week are meant for duty, whatever is open."""
NO_HOURS: Final = frozenset({"none", "always", "no hours", "any time", "off"})


def crew_act(event: Typed, focus: JobBrief | None, context: Context) -> tuple[Effect, ...] | None:
    """The effects of a message about the crew or about duty; None if it is not one. `focus`: the chat's open job."""
    me = context.people.get(event.person)
    if me is None:
        return None
    if is_written_as_code(event.text):
        return _say(event, Text("crew.code_of_known", {"name": me.name}))
    order = order_in(event.text)
    if order is None:
        return None
    return _Acting(event, order, me, focus, context).done()


@dataclass(frozen=True, slots=True)
class _Acting:
    event: Typed
    order: Order
    me: Person
    focus: JobBrief | None
    context: Context

    def done(self) -> tuple[Effect, ...] | None:
        act = self.order.act
        if act in FOR_OWNERS:
            return self._as_owner()
        match act:
            case "on_now":
                return self._on_now()
            case "link":
                return self._private() or self._link()
            case "notes" | "retire":
                return self._notes()
            case "pages":  # where there are pages, they answer it themselves
                return self._answer("crew.no_pages") if self.me.role in SENIORS else None
            case "timezone" | "duty" | "hours" | "off_until" | "off_today" | "off" | "on":
                return self._duty()
            case _:
                return None

    # ---- the crew ----------------------------------------------------------------------------------------------

    def _as_owner(self) -> tuple[Effect, ...] | None:
        """An owner's act, or the refusal that others get; a name that nobody has, beside a visit, is no act at all."""
        named = self._named() if self.order.act not in {"invite", "invite_as", "people"} else []
        if self.order.act in {"remove", "phone", "sign_off", "take_back"} and not named and (
                self.me.role != "owner" or self.focus is not None):
            return None
        if self.order.act in {"phone_of", "sign_what"} and (self.me.role != "owner" or len(named) != 1):
            return None
        if self.order.act == "invite_as" and (self.me.role != "owner" or self.focus is not None):
            return None
        if self.me.role != "owner":
            owners = [p.name for p in self.context.people.values() if p.role == "owner"]
            return self._answer("crew.owners_only" if owners else "crew.owners_only_none", names=owners)
        if refused := self._private():
            return refused
        if self.order.act == "people":
            return self._people()
        if self.order.act == "invite":
            return self._invite()
        if self.order.act == "invite_as":
            return self._answer("crew.which_role", name=_titled(self.order.who))
        if len(named) != 1:
            return self._not_one(named)
        if self.order.act == "remove":
            return self._remove(named[0])
        if self.order.act == "sign_what":
            return self._answer("crew.which_signoff", name=named[0].name)
        if self.order.act == "phone_of":
            who = named[0]
            return (self._answer("crew.phone_is", name=who.name, phone=who.phone) if who.phone
                    else self._answer("crew.no_phone", name=who.name))
        return self._phone(named[0]) if self.order.act == "phone" else self._sign_off(named[0])

    def _not_one(self, named: list[Person]) -> tuple[Effect, ...]:
        """A name of nobody's, or of several. Only the store knows whether a code waits for somebody of it."""
        if self.order.act == "remove" and not named:
            return (Uninvite(name=self.order.who), Audit(what="uninvited", data={}),
                    *self._answer("crew.uninvited", name=_titled(self.order.who)))
        return self._answer("crew.nobody" if not named else "crew.several", name=self.order.who,
                            ids=[f"{p.id} ({p.role})" for p in named])

    def _private(self) -> tuple[Effect, ...] | None:
        """The refusal where several people read along."""
        return self._answer("crew.private_only") if self.event.shared else None

    def _people(self) -> tuple[Effect, ...]:
        lines = [Text("crew.one", {"name": p.name, "role": Text(f"role.{p.role}"), "duty": self._duty_of(p),
                                   "signed": [Text(f"signoff.{s}") for s in sorted(p.signoffs)] or Text("signoff.none"),
                                   "where": [at.capitalize() for at in p.reached_on] or Text("crew.nowhere")})
                 for p in self.context.people.values()]
        return _say(self.event, *lines, Text("crew.people_how"))

    def _invite(self) -> tuple[Effect, ...]:
        code = code_from(self.context.chance)
        role, name = self.order.what, _titled(self.order.who)
        asked = Text("crew.invited" if name else "crew.invited_unnamed", {"name": name, "role": Text(f"role.{role}")})
        return (Invite(code_hash=code_hash(code), role=role, name=name),  # type: ignore[arg-type]
                Audit(what="invited", data={"role": role}), *self._code(asked, code))

    def _code(self, asked: Text, code: str) -> tuple[Effect, ...]:
        """A code with its links, to this chat alone; its words are forgotten once they are there."""
        links = [Text("crew.link", {"link": link.format(code=code)}) for link in self.context.links]
        texts = (asked, Text("crew.code", {"code": code}), *links, Text("crew.code_how"))
        return (Say(id=derive(self.event.id, "crew"), to=self.me.id, conversation=self.event.conversation, texts=texts,
                    forget=True),)

    def _remove(self, who: Person) -> tuple[Effect, ...]:
        owners = [p for p in self.context.people.values() if p.role == "owner" and p.id != who.id]
        if who.role == "owner" and not owners:
            return self._answer("crew.last_owner")
        said = [Text("crew.removed", {"name": who.name})]
        others = [p for p in self.context.people.values() if p.role == "senior" and p.id != who.id]
        if who.role == "senior" and not others:
            said.append(Text("crew.no_senior_left"))
        return Remove(person=who.id), Audit(what="removed", data={"person": who.id}), *_say(self.event, *said)

    def _sign_off(self, who: Person) -> tuple[Effect, ...]:
        what, revoke = self.order.what, self.order.act == "take_back"
        now = sorted(who.signoffs - {what} if revoke else who.signoffs | {what})
        act = "signoff_revoked" if revoke else "signed_off"
        return (SignOff(person=who.id, what=what, revoke=revoke),  # type: ignore[arg-type]
                Audit(what=act, data={"person": who.id, "what": what}),
                *self._answer("crew.signed", name=who.name,
                              signed=[Text(f"signoff.{s}") for s in now] or Text("signoff.none")))

    def _phone(self, who: Person) -> tuple[Effect, ...]:
        return (SetReach(person=who.id, timezone=who.timezone, phone=self.order.what),
                Audit(what="reach", data={"person": who.id}),
                *self._answer("crew.phone", name=who.name, phone=self.order.what))

    def _link(self) -> tuple[Effect, ...]:
        code = code_from(self.context.chance)
        return (Invite(code_hash=code_hash(code), role=self.me.role, name=self.me.name, person=self.me.id),
                Audit(what="link_offered", data={"person": self.me.id}), *self._code(Text("crew.link_code"), code))

    def _named(self) -> list[Person]:
        """Who is meant: by name, or by id where two have the same."""
        who = self.order.who.casefold()
        return [p for p in self.context.people.values() if who in {p.name.casefold(), p.id.casefold()}]

    # ---- duty --------------------------------------------------------------------------------------------------

    def _on_now(self) -> tuple[Effect, ...]:
        there = [Text("crew.on_one", {"name": p.name, "role": Text(f"role.{p.role}")})
                 for p in self.context.people.values()
                 if p.role in SENIORS and is_on(p, self.context.now, self.context.firm)]
        return self._answer("crew.on_now" if there else "crew.on_nobody", people=there)

    def _duty(self) -> tuple[Effect, ...] | None:
        me, now, firm = self.me, self.context.now, self.context.firm
        match self.order.act:
            case "off_today":
                return self._set("duty.off_until", off_until=tomorrow(me, now, firm))
            case "off":
                return self._set("duty.off", on_duty=False)
            case "off_until":
                days = days_in(self.order.what, now.astimezone(zone_of(me, firm)).date())
                if len(days) != 1:
                    return self._answer("duty.which_day")
                return self._set("duty.off_until", off_until=start_of(days[0], me, firm))
            case "on":
                if is_on(me, now, firm):  # 'back on' may be the power
                    return None if self.focus is not None else self._answer("duty.is", duty=self._duty_of(me))
                back = is_on(replace(me, on_duty=True, off_until=None, on_until=None), now, firm)
                return self._set("duty.back", on_until=None if back else tomorrow(me, now, firm))
            case "hours":
                return self._hours()
            case "timezone":
                return self._timezone()
            case _:
                return self._answer("duty.is", duty=self._duty_of(me))

    def _hours(self) -> tuple[Effect, ...] | None:
        if not self.order.what:
            return None if self.focus is not None else self._answer("duty.is", duty=self._duty_of(self.me))
        hours = "" if self.order.what.lower() in NO_HOURS else read_hours(self.order.what)
        if hours is None:
            return self._answer("duty.which_hours") if self.focus is None or _A_DAY.search(self.order.what) else None
        return self._set("duty.hours" if hours else "duty.always", hours=hours)

    def _timezone(self) -> tuple[Effect, ...]:
        zone = zone_called(self.order.what)
        if zone is None:
            return self._answer("duty.which_zone")
        return (SetReach(person=self.me.id, timezone=zone, phone=self.me.phone),
                Audit(what="reach", data={"person": self.me.id, "timezone": zone}),
                *self._answer("duty.zone", zone=zone))

    def _set(self, key: str, *, on_duty: bool = True, hours: str | None = None, off_until: datetime | None = None,
             on_until: datetime | None = None) -> tuple[Effect, ...]:
        """Change the person's own duty, and say how it stands then."""
        after = replace(self.me, on_duty=on_duty, hours=self.me.hours if hours is None else hours, off_until=off_until,
                      on_until=on_until)
        duty = SetDuty(person=after.id, on_duty=after.on_duty, hours=after.hours, off_until=after.off_until,
                       on_until=after.on_until)
        said = [Text(key, {"duty": self._duty_of(after), **self._back(after)})]
        if self.focus is not None and self.focus.taken and not is_on(after, self.context.now, self.context.firm):
            said.append(Text("duty.holding", {"job": self.focus.label}))
        return (duty, Audit(what="duty", data={"person": after.id, "on_duty": after.on_duty, "hours": after.hours,
                                               "off_until": _iso(off_until), "on_until": _iso(on_until)}),
                *_say(self.event, *said))

    def _back(self, person: Person) -> dict[str, Any]:
        back = next_on(person, self.context.now, self.context.firm)
        if back is None:
            return {"when": Text("duty.when_you_say")}
        return {"when": when(back, self.me, self.context.now, self.context.firm)}

    def _duty_of(self, person: Person) -> Text:
        now, firm = self.context.now, self.context.firm
        back = next_on(person, now, firm)
        hours = Text("duty.in_hours", {"hours": person.hours.replace("+", " and ")}) if person.hours else ""
        if back == now:
            return Text("duty.on_with", {"hours": hours}) if hours else Text("duty.on")
        if back is None:
            return Text("duty.off_open")
        return Text("duty.off_back", {"when": when(back, self.me, now, firm)})

    # ---- notes -------------------------------------------------------------------------------------------------

    def _notes(self) -> tuple[Effect, ...] | None:
        if self.me.role not in SENIORS:
            return None if self.focus is not None else self._answer("notes.seniors_only")
        if self.order.act == "notes":
            packs = self.context.release.knowledge.packs
            lines = [Text("notes.one", {
                "number": n.number, "name": n.name, "text": n.text,
                "fault": packs[n.family].faults[n.fault].name if n.family in packs
                and n.fault in packs[n.family].faults else n.fault}) for n in self.context.notes[:20]]
            return _say(self.event, *lines, Text("notes.how")) if lines else self._answer("notes.none")
        number = int(self.order.what)
        note = next((n for n in self.context.notes if n.number == number), None)
        if note is None:
            return self._answer("notes.no_such", number=number)
        if self.me.role != "owner" and note.person != self.me.id:
            return self._answer("notes.not_yours", name=note.name)
        return (RetireNote(number=number), Audit(what="note_retired", data={"number": number}),
                *self._answer("notes.retired", number=number))

    def _answer(self, key: str, **params: Any) -> tuple[Effect, ...]:
        return _say(self.event, Text(key, params))


def zone_called(words: str) -> str | None:
    """The time zone of that name, or of the one city of that name ('chicago', 'new york')."""
    said = words.strip().replace(" ", "_").lower()
    zones = sorted(available_timezones())
    whole = [zone for zone in zones if zone.lower() == said]
    cities = [zone for zone in zones if "/" in zone and zone.lower().rsplit("/", 1)[1] == said]
    return whole[0] if whole else cities[0] if len(cities) == 1 else None


def _titled(name: str) -> str:
    bare = " ".join(name.split())
    return bare.title() if bare.islower() else bare


def _iso(at: datetime | None) -> str | None:
    return at.astimezone(UTC).isoformat() if at is not None else None


def _say(event: Typed, *texts: Text) -> tuple[Effect, ...]:
    return (Say(id=derive(event.id, "crew"), to=event.person, conversation=event.conversation, texts=texts),)
