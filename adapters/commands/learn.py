"""`chargehand learn show | apply | undo`: what the firm's confirmed visits say otherwise than the packs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from adapters.commands.asking import agreed

if TYPE_CHECKING:
    from adapters.pages.house import House
    from bot.review.learning import FamilyLearning, Learning

OFF = "learning is switched off: [firm] learning = false in the settings file"


@click.group()
def learn() -> None:
    """What confirmed visits say of the firm's mix of faults: look at it, apply it, undo it."""


def _where(command: Callable[..., Any]) -> Callable[..., Any]:
    command = click.option("--config", "file", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE",
                           help="The settings file, for the data folder, the firm's packs and the switch.")(command)
    return click.option("--data", type=click.Path(file_okay=False, path_type=Path), metavar="DIR",
                        help="The data folder; without it, the one of the settings file.")(command)


@learn.command()
@_where
@click.option("--family", help="Only this one.")
@click.option("--all", "every", is_flag=True, help="Also the faults that no visit speaks of.")
def show(data: Path | None, file: Path | None, family: str | None, every: bool) -> None:
    """For each family: the fault, the pack's share, the firm's visits, the learned share; and what the gate says.

    A visit counts in full if the repair was proved and nobody came back to the address in thirty days, else half at
    most, and less the older it is. Learned shares are what would hold after `apply`.
    """
    with _house(data, file) as house:
        found = _looked_at(house)
        for each in found.families:
            if family in (None, each.family):
                _print(house, each, every)
        if family is not None and family not in {each.family for each in found.families}:
            click.echo(f"Nothing is confirmed of '{family}' yet.")
        _end(house, found)


@learn.command()
@_where
@click.option("--yes", is_flag=True, help="Do it without asking.")
def apply(data: Path | None, file: Path | None, yes: bool) -> None:
    """Put in force, for new visits, what passed the gate. A visit under way ends on what it began with."""
    from bot.review import learned_words, learning  # noqa: PLC0415
    from bot.store.errors import RefusedError  # noqa: PLC0415

    with _house(data, file) as house:
        if not house.learning:
            raise click.ClickException(OFF)
        found = _looked_at(house)
        what = learned_words.offered(found, house.today())
        if found.offer is None:
            raise click.ClickException("nothing learned may go live yet: `chargehand learn show` says why")
        if not agreed(f"Apply what was learned of: {what}?", yes=yes):
            return
        try:
            learning.apply(house.store, house.today().knowledge, None, house.clock(), seen=found.key)
        except RefusedError as error:
            raise click.ClickException(str(error)) from error
        click.echo(f"Applied: {what}. New visits begin on it; `chargehand learn undo` takes it back.")


@learn.command()
@_where
@click.option("--yes", is_flag=True, help="Do it without asking.")
def undo(data: Path | None, file: Path | None, yes: bool) -> None:
    """Return to what was in force before the last `apply`."""
    from bot.review import learning  # noqa: PLC0415
    from bot.store.errors import RefusedError  # noqa: PLC0415

    with _house(data, file) as house:
        found = _looked_at(house)
        if found.in_force is None:
            raise click.ClickException("nothing learned is in force: there is nothing to undo")
        back = _former(house, found)
        if not agreed(f"Return to {back}?", yes=yes):
            return
        try:
            learning.undo(house.store, found.in_force.number, None, house.clock())
        except RefusedError as error:
            raise click.ClickException(str(error)) from error
        click.echo(f"Undone. New visits begin on {back}.")


def _looked_at(house: House) -> Learning:
    from bot.review.learning import learning  # noqa: PLC0415

    return learning(house.store, house.today().knowledge, house.clock())


def _print(house: House, family: FamilyLearning, every: bool) -> None:
    from bot.review import learned_words  # noqa: PLC0415

    names = house.today()
    click.secho(f"{family.family}: {family.visits} confirmed, {family.full} of them in full", bold=True)
    click.echo(f"  {learned_words.gate(family)}")
    click.echo(f"  shares of faults: {learned_words.gain(family.shares)}")
    click.echo(f"  what checks show: {learned_words.gain(family.rows)}; {family.moved_rows} rows would move")
    lines = [line for line in family.lines if every or line.cases > 0]
    width = max((len(names.fault(family.family, line.fault)) for line in lines), default=5)
    click.secho(f"  {'fault':<{width}}  {'pack':>7}  {'now':>7}  {'visits':>7}  {'learned':>7}", dim=True)
    for line in lines:
        name = names.fault(family.family, line.fault)
        click.echo(f"  {name:<{width}}  {_share(line.pack)}  {_share(line.now)}  {line.cases:>7.1f}  "
                   f"{_share(line.learned)}")
    click.echo()


def _end(house: House, found: Learning) -> None:
    from bot.review import learned_words  # noqa: PLC0415

    names = house.today()
    for family, groups in found.proposed.items():
        for group in groups:
            click.echo(f"{names.family(family)}: {len(group.findings)} seniors' findings alike that are in no pack: "
                       f"\"{group.words}\"")
    if not house.learning:
        click.echo(f"{OFF[0].upper()}{OFF[1:]}. New visits begin on the packs as they are.")
        return
    day = f"{found.in_force.at.astimezone(house.zone):%-d %b %Y}" if found.in_force is not None else ""
    click.echo(learned_words.in_force(found, dict(house.store.names()), day))
    if what := learned_words.offered(found, names):
        click.echo(f"Would be applied: {what}. `chargehand learn apply` does it.")
    elif not found.families:
        click.echo("Nothing is confirmed yet.")


def _former(house: House, found: Learning) -> str:
    if found.former is None:
        return "the packs as they are"
    return f"what was applied {found.former.at.astimezone(house.zone):%-d %b %Y}"


def _share(share: float) -> str:
    return f"{100 * share:>5.1f} %"


@contextmanager
def _house(data: Path | None, file: Path | None) -> Iterator[House]:
    """The data folder with the firm's packs. What is wrong becomes the one line that the user gets."""
    from platformdirs import user_cache_path  # noqa: PLC0415

    from adapters.pages.house import House  # noqa: PLC0415
    from adapters.terminal.seats import FIRM  # noqa: PLC0415
    from bot.service.config import ConfigError, load_config  # noqa: PLC0415
    from bot.store.errors import StoreError  # noqa: PLC0415

    if data is None and file is None:
        raise click.UsageError("give the data folder by --data, or the settings file by --config.")
    try:
        config = load_config(file) if file is not None else None
        cache = user_cache_path("chargehand") / "releases"
        if config is None:
            house = House(data or Path(), FIRM, cache=cache)
        else:
            overlays = [config.firm.overlay] if config.firm.overlay is not None else []
            house = House(data or config.store.path, config.firm.firm(), overlays=overlays, cache=cache,
                          learning=config.firm.learning)
    except (ConfigError, StoreError) as error:
        raise click.ClickException(str(error)) from error
    try:
        yield house
    except StoreError as error:
        raise click.ClickException(str(error)) from error
    finally:
        house.close()
