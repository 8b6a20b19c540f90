"""`chargehand people`: who belongs to the crew, and what each is signed off for."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

if TYPE_CHECKING:
    from bot.conversation.firm import Person
    from bot.service.config import Config, TelegramConfig
    from bot.store.rows import Member
    from bot.store.sqlite import SqliteStore

DEFAULT: Final = Path("chargehand-data")


@click.group()
def people() -> None:
    """Who belongs to the crew: inviting, linking accounts, listing, removing, signing off, duty.

    WHO is a name, or the id that `list` shows where two have the same."""


def _house(command: Callable[..., Any]) -> Callable[..., Any]:
    """The options that tell which data folder is meant."""
    command = click.option("--config", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE",
                           help="The settings file; its [store] path is the data folder.")(command)
    return click.option("--data", type=click.Path(file_okay=False, path_type=Path), metavar="DIR",
                        help=f"The data folder ({DEFAULT} if nothing is said).")(command)


@people.command()
@click.option("--role", required=True, type=click.Choice(["junior", "senior", "owner"]), help="What they will be.")
@click.option("--name", default="", help="Their name; without it, the one they have in the chat.")
@_house
def invite(role: str, name: str, data: Path | None, config: Path | None) -> None:
    """Print a code that makes somebody one of the crew. They send it to the bot, once."""
    from bot.service.clock import utc_now  # noqa: PLC0415
    from bot.service.people import VALID, invite  # noqa: PLC0415

    settings = _settings(config)
    with _store(data, settings, make=True) as store:
        code = invite(store, role, name, utc_now())
    click.echo(f"Code for {name or f'a new {role}'}, good once, for {VALID.days} days: {code}")
    _links(settings, code)


@people.command()
@click.argument("person", metavar="WHO")
@_house
def link(person: str, data: Path | None, config: Path | None) -> None:
    """Print a code for one more account of WHO's. They send it to the bot from there, once."""
    from bot.service.clock import utc_now  # noqa: PLC0415
    from bot.service.people import VALID, link  # noqa: PLC0415

    settings = _settings(config)
    with _store(data, settings) as store:
        person = _who(store, person)
        code = link(store, person, utc_now())
        name = store.crew()[person].name
    click.echo(f"Code for another account of {name}'s, good once, for {VALID.days} days: {code}")
    _links(settings, code)


@people.command()
@click.argument("person", metavar="WHO")
@click.option("--on/--off", "on_duty", default=None, help="On duty, or off until they say otherwise.")
@click.option("--until", metavar="DAY", help="Off until that day, such as 2026-12-03 or monday.")
@click.option("--hours", metavar="HOURS", help="Working hours, such as 'mon-fri 7-17, sat 8-12'; '' for none.")
@click.option("--timezone", metavar="ZONE", help="Their time zone, such as America/Chicago (the firm's if never said).")
@_house
def duty(person: str, on_duty: bool | None, until: str | None, hours: str | None, timezone: str | None,
         data: Path | None, config: Path | None) -> None:
    """When WHO is on duty. Off duty, nobody is asked or written to, but for a hazard."""
    from bot.conversation.crew.dates import days_in  # noqa: PLC0415
    from bot.conversation.crew.duty import start_of, zone_of  # noqa: PLC0415
    from bot.conversation.firm import Firm  # noqa: PLC0415
    from bot.service.clock import utc_now  # noqa: PLC0415
    from bot.service.people import set_duty, set_reach  # noqa: PLC0415

    settings = _settings(config)
    firm, now = settings.firm.firm() if settings is not None else Firm(), utc_now()
    with _store(data, settings) as store:
        person = _who(store, person)
        if timezone is not None:
            set_reach(store, person, now, timezone=_zone(timezone))
        off_until = None
        if until is not None and person in store.crew():
            known = store.crew()[person]
            days = days_in(until, now.astimezone(zone_of(known, firm)).date())
            if len(days) != 1:
                raise click.BadParameter(f"'{until}' is no day to come: write it such as 2026-12-03",
                                         param_hint="--until")
            off_until = start_of(days[0], known, firm)
        changed = set_duty(store, person, now, on_duty=on_duty, hours=hours, off_until=off_until)
    click.echo(f"{changed.name}: {_duty(changed)}.")


@people.command()
@click.argument("person", metavar="WHO")
@click.argument("number", metavar="NUMBER")
@_house
def phone(person: str, number: str, data: Path | None, config: Path | None) -> None:
    """Where a senior can ring WHO; '' for nowhere."""
    from bot.service.clock import utc_now  # noqa: PLC0415
    from bot.service.people import set_reach  # noqa: PLC0415

    with _store(data, _settings(config)) as store:
        changed = set_reach(store, _who(store, person), utc_now(), phone=number.strip())
    click.echo(f"{changed.name}: {changed.phone or 'no number'}.")


def _zone(name: str) -> str:
    from zoneinfo import ZoneInfo  # noqa: PLC0415

    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        raise click.BadParameter(f"no time zone '{name}': write one such as America/Chicago", param_hint="--timezone"
                                 ) from error
    return name


def _duty(person: Person) -> str:
    hours = f", hours {person.hours.replace('+', ' and ')}" if person.hours else ""
    if person.off_until is not None:
        return f"off until {person.off_until:%Y-%m-%d %H:%M} UTC{hours}"
    return f"on duty{hours}" if person.on_duty else "off duty"


def _links(settings: Config | None, code: str) -> None:
    if settings is not None and settings.telegram is not None:
        click.echo(_telegram_link(settings.telegram, code))
    if settings is not None and settings.matrix is not None:
        click.echo(f"Link: https://matrix.to/#/{settings.matrix.user} (the code is their first message)")
    if settings is None or (settings.telegram is None and settings.matrix is None):
        click.echo("They send it to the bot in a private chat. (No link: no settings file with [telegram] or [matrix]"
                   " was given.)")


@people.command(name="list")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
@_house
def list_people(as_json: bool, data: Path | None, config: Path | None) -> None:
    """The crew with their ids, roles, sign-offs and accounts; then invitations that still wait."""
    from bot.service.clock import utc_now  # noqa: PLC0415

    with _store(data, _settings(config)) as store:
        members, invites = store.members(), store.open_invites(utc_now())
    if as_json:
        click.echo(json.dumps([_outline(member) for member in members], ensure_ascii=False, indent=1))
        return
    for member in members:
        person = member.person
        signed = ", ".join(sorted(person.signoffs)) or "nothing"
        where = ", ".join(platform for platform, _, _ in member.identities) or "no account"
        duty = "" if _duty(person) == "on duty" else f"; {_duty(person)}"
        click.echo(f"{person.id}  {person.name} ({person.role}); signed off for {signed}; {where}{duty}")
    for waiting in invites:
        what = "another account of" if waiting.links is not None else "invited:"
        role = f" ({waiting.role})" if waiting.name and waiting.links is None else ""
        click.echo(f"{what} {waiting.name or waiting.role}{role}, until {waiting.expires:%Y-%m-%d %H:%M} UTC")
    if not members and not invites:
        click.echo("Nobody yet: `chargehand people invite --role owner` makes a code for the first.")


@people.command()
@click.argument("person", metavar="WHO")
@_house
def remove(person: str, data: Path | None, config: Path | None) -> None:
    """Shut WHO out, or void the code that waits for them. What they did stays in the record."""
    from bot.service.clock import utc_now  # noqa: PLC0415
    from bot.service.people import remove, uninvite  # noqa: PLC0415

    with _store(data, _settings(config)) as store:
        who = _who(store, person)
        if who not in store.crew() and uninvite(store, person, utc_now()):
            click.echo(f"The code that waited for {person} opens nothing any more.")
            return
        gone = remove(store, who, utc_now())
    click.echo(f"{gone.name} is out.")


@people.command()
@click.argument("person", metavar="WHO")
@click.argument("what", metavar="WHAT", type=click.Choice(["live", "gas", "refrigerant", "lifting"]))
@click.option("--revoke", is_flag=True, help="Take it back.")
@_house
def signoff(person: str, what: str, revoke: bool, data: Path | None, config: Path | None) -> None:
    """Note that WHO may do WHAT (live, gas, refrigerant, lifting), or may no longer."""
    from bot.service.clock import utc_now  # noqa: PLC0415
    from bot.service.people import sign_off  # noqa: PLC0415

    with _store(data, _settings(config)) as store:
        changed = sign_off(store, _who(store, person), what, utc_now(), revoke=revoke)
    click.echo(f"{changed.name} is signed off for {', '.join(sorted(changed.signoffs)) or 'nothing'}.")


def _who(store: SqliteStore, who: str) -> str:
    """The id of the one person of that name or id; what was written where that is nobody. Several: refused."""
    crew = store.crew()
    named = [person.id for person in crew.values() if person.name.casefold() == who.casefold()]
    if who not in crew and len(named) > 1:
        raise click.ClickException(f"there is more than one {who}: write the id ({', '.join(named)})")
    return named[0] if who not in crew and named else who


def _telegram_link(settings: TelegramConfig, code: str) -> str:
    from adapters.telegram.link import NoLinkError, invite_link  # noqa: PLC0415

    try:
        return f"Link: {invite_link(settings, code)}"
    except NoLinkError as error:
        return f"On Telegram they write to the bot: /start {code} (No link: {error})"


def _settings(file: Path | None) -> Config | None:
    if file is None:
        return None
    from bot.service.config import ConfigError, load_config  # noqa: PLC0415

    try:
        return load_config(file)
    except ConfigError as error:
        raise click.ClickException(str(error)) from error


@contextmanager
def _store(data: Path | None, settings: Config | None, *, make: bool = False) -> Iterator[SqliteStore]:
    """The store of the folder that was named. Its refusals become the one line that the user gets."""
    from bot.store.errors import StoreError  # noqa: PLC0415
    from bot.store.sqlite import FILE, SqliteStore  # noqa: PLC0415

    folder = data or (settings.store.path if settings is not None else DEFAULT)
    if not make and not (folder / FILE).exists():
        raise click.ClickException(f"no data in {folder}: give the folder by --data, or the settings file by --config")
    try:
        store = SqliteStore(folder)
        try:
            yield store
        finally:
            store.close()
    except StoreError as error:
        raise click.ClickException(str(error)) from error


def _outline(member: Member) -> dict[str, Any]:
    person = member.person
    return {"id": person.id, "name": person.name, "role": person.role, "signoffs": sorted(person.signoffs),
            "on_duty": person.on_duty, "hours": person.hours, "phone": person.phone,
            "off_until": person.off_until.isoformat() if person.off_until else None, "language": person.language,
            "timezone": person.timezone,
            "created": member.created.isoformat(),
            "accounts": [{"platform": p, "account": a, "user": u} for p, a, u in member.identities]}
