"""The bot's one session on the homeserver: made once, then kept with its device and keys in the data folder.

    matrix/session.json   user, device, access token (unless that comes from the environment), key of keys.db
    matrix/keys.db        the device's own keys, those of rooms, the devices of others (matrix-nio's file)
    matrix/position       how far the homeserver's events have been kept

A device without its keys can read and write nothing, and cannot get them back: that is said, with the way out.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

from nio import AsyncClient, AsyncClientConfig

from adapters.matrix.homeserver import PATIENCE, RefusedError, SignedOutError, ask
from adapters.matrix.mending import mend, take_no_error_page_for_an_answer
from adapters.shared.adapter import AdapterStoppedError
from bot.service.config import ConfigError, MatrixConfig, secret
from bot.store.photos import write_whole

SESSION: Final = "session.json"
KEYS: Final = "keys.db"
DEVICE_NAME: Final = "chargehand"


@dataclass(frozen=True, slots=True)
class Session:
    """What is kept of a login. `token` is empty if it is read from the environment at every start."""

    homeserver: str
    user: str
    device: str
    pickle_key: str
    token: str = ""


async def sign_in(settings: MatrixConfig, folder: Path, environment: Mapping[str, str] | None = None, *,
                  patience: float = PATIENCE) -> AsyncClient:
    """The client of the kept session, or of a new one. It has talked to the server, but not synced yet.

    `patience`: seconds that an ordinary request of the client may take.
    Raises AdapterStoppedError (settings, password, lost keys), UnreachableError, LimitedError.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    session = _kept(folder, settings)
    try:
        token = secret(settings.token_env, "[matrix]", environment) if settings.token_env else ""
        if session is None and not token:
            return await _log_in(settings, folder, secret(settings.password_env, "[matrix]", environment), patience)
    except ConfigError as error:
        raise AdapterStoppedError(str(error)) from error
    return await _restore(settings, folder, session, token, patience)


def _kept(folder: Path, settings: MatrixConfig) -> Session | None:
    file = folder / SESSION
    try:
        session = Session(**json.loads(file.read_text(encoding="utf-8")))
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError) as error:
        raise AdapterStoppedError(f"{file} cannot be read: {_way_out(folder)}") from error
    if session.user != settings.user:
        raise AdapterStoppedError(f"{folder} holds the session of {session.user}, the settings name {settings.user}: "
                                  f"correct [matrix] user, or {_way_out(folder)}")
    if not (folder / KEYS).exists():
        raise AdapterStoppedError(f"the encryption keys of this session are gone ({folder / KEYS}), and nobody else "
                                  f"has them: put the file back from a copy, or {_way_out(folder)}")
    return session


def _way_out(folder: Path, move: str = "move") -> str:
    return (f"{move} {folder} aside and start again: the bot logs in as a new device. It cannot read what was sent to "
            "the old one, so whatever was not answered has to be sent again")


async def _log_in(settings: MatrixConfig, folder: Path, password: str, patience: float) -> AsyncClient:
    pickle_key = secrets.token_urlsafe(32)
    client = _client(settings, folder, pickle_key, patience)
    try:
        answer = await ask(client.login(password, device_name=DEVICE_NAME))
    except (RefusedError, SignedOutError) as error:
        await client.close()
        raise AdapterStoppedError(f"the homeserver does not let {settings.user} in: {error}. Is the password in "
                                  f"{settings.password_env} right?") from error
    except BaseException:
        await client.close()
        raise
    mend(client)
    _keep(folder, Session(settings.homeserver, answer.user_id, answer.device_id, pickle_key, answer.access_token))
    return client


async def _restore(settings: MatrixConfig, folder: Path, session: Session | None, token: str, patience: float
                   ) -> AsyncClient:
    """The client of a session that exists already: kept here, or made by whoever made the token."""
    pickle_key = session.pickle_key if session is not None else secrets.token_urlsafe(32)
    client = _client(settings, folder, pickle_key, patience)
    client.access_token = token or (session.token if session is not None else "")
    try:
        answer = await ask(client.whoami())
        if session is None:
            session = _of_token(settings, folder, answer, pickle_key)
        elif answer.device_id != session.device:
            raise AdapterStoppedError(f"the token in {settings.token_env} is of device {answer.device_id}, the keys "
                                      f"in {folder} are of {session.device}: give the token of that device, or "
                                      f"{_way_out(folder)}")
        _load(client, session, folder)
    except (RefusedError, SignedOutError) as error:
        await client.close()
        raise AdapterStoppedError(signed_out(folder, settings, error)) from error
    except BaseException:
        await client.close()
        raise
    return client


def signed_out(folder: Path, settings: MatrixConfig, error: Exception) -> str:
    """What to say when the homeserver no longer takes the session."""
    if settings.token_env:
        return f"the homeserver does not take the token in {settings.token_env} ({error}): give it a valid one"
    return (f"the homeserver no longer takes this session ({error}): it was signed out elsewhere, or the password was "
            f"changed. {_way_out(folder, 'Move')}")


def keys_out_of_step(folder: Path) -> str:
    """What to say when the server knows other keys of this device than we do: an old copy was put back, or two run."""
    return (f"the encryption keys in {folder / KEYS} are not those that the homeserver has of this device: an old "
            f"copy of the folder, or two processes on one session. Put the latest copy back, or {_way_out(folder)}")


def _of_token(settings: MatrixConfig, folder: Path, answer: Any, pickle_key: str) -> Session:
    if answer.user_id != settings.user:
        raise AdapterStoppedError(f"the token in {settings.token_env} is of {answer.user_id}, "
                                  f"the settings name {settings.user}: correct one of them")
    if not answer.device_id:
        raise AdapterStoppedError(f"the token in {settings.token_env} belongs to no device, so it cannot encrypt: "
                                  "give one that a login made, or a password")
    session = Session(settings.homeserver, answer.user_id, answer.device_id, pickle_key)
    _keep(folder, session)
    return session


def _load(client: AsyncClient, session: Session, folder: Path) -> None:
    """Have the client open its keys."""
    try:
        client.restore_login(session.user, session.device, client.access_token)
    except Exception as error:  # matrix-nio lets errors of its file and of its crypto library through as they are
        raise AdapterStoppedError(f"the encryption keys in {folder / KEYS} cannot be opened "
                                  f"({type(error).__name__}): put the file back from a copy, or "
                                  f"{_way_out(folder)}") from error
    mend(client)


def _client(settings: MatrixConfig, folder: Path, pickle_key: str, patience: float) -> AsyncClient:
    """A client that gives up at the first failure: trying again is our own business, where it can be seen."""
    config = AsyncClientConfig(encryption_enabled=True, store_sync_tokens=False, store_name=KEYS,
                               pickle_key=pickle_key, max_timeouts=0, max_limit_exceeded=0, request_timeout=patience)
    client = AsyncClient(settings.homeserver, settings.user, store_path=str(folder), config=config)
    take_no_error_page_for_an_answer(client)
    return client


def _keep(folder: Path, session: Session) -> None:
    write_private(folder / SESSION, json.dumps(asdict(session), indent=1))


def write_private(file: Path, text: str) -> None:
    """Write a file that only our own user can read: whole or not at all."""
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    write_whole(file, text.encode())
    file.chmod(0o600)
