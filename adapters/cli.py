"""`chargehand`: finds the command, and turns whatever goes wrong into one clear line.

Commands are imported when they are called: start-up must not pay for what is not used.
Exit codes: 0 done, 1 findings or a failure of our own, 2 bad usage or bad input, 130 interrupted.
"""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import Final

import click

COMMANDS: Final[dict[str, tuple[str, str]]] = {
    "try": ("adapters.commands.trial:trial", "Talk with the bot in this terminal, as a junior on a job."),
    "understand": ("adapters.commands.understand:understand", "What a message says, and which words say it."),
    "read": ("adapters.commands.read:read", "The reading or short answer in a message (JSON lines)."),
    "diagnose": ("adapters.commands.diagnose:diagnose", "Belief and next action for given evidence (JSON lines)."),
    "simulate": ("adapters.commands.simulate:simulate", "Simulated visits through the whole core, and their figures."),
    "serve": ("adapters.commands.serve:serve", "Serve the chat platforms of a settings file, in one process."),
    "pages": ("adapters.commands.pages:pages", "The owner's pages on a data folder: log, figures, wording, export."),
    "export": ("adapters.commands.export:export", "The log as CSV, JSON lines or written conversations, redacted."),
    "erase": ("adapters.commands.export:erase", "Remove one customer, or what is old, so that nothing of it is left."),
    "demo": ("adapters.commands.demo:demo", "Fill a folder with three months of an invented firm, for the pages."),
    "people": ("adapters.commands.people:people", "Who belongs to the crew, and what each is signed off for."),
    "learn": ("adapters.commands.learn:learn", "What confirmed visits say of the firm's faults: show, apply, undo."),
    "knowledge": ("adapters.commands.knowledge:knowledge", "Check, list, describe and walk through the packs."),
}
"""Command -> where it is, and its line in the help (so that --help imports none of them)."""


class Commands(click.Group):
    """The commands above, each imported when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names, in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command itself; imports its module."""
        if cmd_name not in COMMANDS:
            return None
        module, name = COMMANDS[cmd_name][0].split(":")
        command: click.Command = getattr(import_module(module), name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list in the help, without importing anything."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


@click.group(cls=Commands, invoke_without_command=True)
@click.version_option(package_name="chargehand")
@click.pass_context
def chargehand(ctx: click.Context) -> None:
    """The crew's lead hand in a chat: from a complaint to a proven repair."""
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


def main(arguments: list[str] | None = None) -> int:
    """Run `chargehand` and return its exit code. Nothing but a bug of ours, with CHARGEHAND_TRACEBACK=1, shows more."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")  # an ohm sign must not end a run on an old terminal
    try:
        code = chargehand.main(args=arguments, prog_name="chargehand", standalone_mode=False)
        sys.stdout.flush()
        return code if isinstance(code, int) else 0
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return 0
    except click.ClickException as error:
        return _complain(_one_line(error), 2)
    except (click.Abort, KeyboardInterrupt):
        return _complain("interrupted", 130)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # else the interpreter complains at exit
        return 0
    except Exception as error:
        if os.environ.get("CHARGEHAND_TRACEBACK"):
            raise
        kind = type(error).__name__
        return _complain(f"a fault of ours, {kind}: {error} (CHARGEHAND_TRACEBACK=1 shows where)", 1)


def _one_line(error: click.ClickException) -> str:
    text = " ".join(error.format_message().split())
    context = getattr(error, "ctx", None)
    if context is not None and not text.endswith((".", "?", "!")):
        text += "."
    return f"{text} See {context.command_path} --help." if context is not None else text


def _complain(text: str, code: int) -> int:
    shown = "".join(letter if letter.isprintable() else " " for letter in text)
    print(f"chargehand: {' '.join(shown.split())}", file=sys.stderr)
    return code


if __name__ == "__main__":
    sys.exit(main())
