"""The settings file (TOML). Secrets are named by environment variables, never written in it.

Unknown keys are errors with the nearest known one, so that a typing mistake is not silently a default.
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Final, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, model_validator
from rapidfuzz.process import extractOne

from bot.conversation.firm import Firm

_MAINS: Final = re.compile(r"\d{3}(/\d{3})? V (50|60) Hz( split)?")


class ConfigError(ValueError):
    """What is wrong with the settings, a line each: file, section and key, and what to write instead."""


def _known_zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise ValueError("write a time zone such as 'America/Chicago' or 'Europe/Lisbon'") from error
    return name


def _known_mains(text: str) -> str:
    if not _MAINS.fullmatch(text):
        raise ValueError("write volts and hertz such as '120/240 V 60 Hz split' or '230 V 50 Hz'")
    return text


def _web_address(text: str) -> str:
    if not re.match(r"https?://[^\s/]+", text):
        raise ValueError("write a web address that begins with https://")
    return text.rstrip("/")


def _matrix_user(text: str) -> str:
    if not re.fullmatch(r"@[^\s:]+:\S+", text):
        raise ValueError("write the full user id, such as '@chargehand:example.org'")
    return text


Zone = Annotated[str, AfterValidator(_known_zone)]
Address = Annotated[str, AfterValidator(_web_address)]


class _Section(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class StoreConfig(_Section):
    """Where the data are."""

    path: Path = Path("chargehand-data")


class TelegramConfig(_Section):
    """The bot's account on Telegram. Polling, unless a webhook is given."""

    token_env: str = "CHARGEHAND_TELEGRAM_TOKEN"
    base_url: Address | None = None
    webhook_url: Address | None = None
    webhook_listen: str = "127.0.0.1:8443"
    webhook_secret_env: str | None = None
    seniors_group: Annotated[str, Field(pattern=r"^-\d+(/\d+)?$")] | None = None
    """Where jobs may be offered: a group, or a topic of one. Write /id in it to learn its address."""

    @model_validator(mode="after")
    def _no_open_webhook(self) -> TelegramConfig:
        if self.webhook_url is not None and self.webhook_secret_env is None:
            raise ValueError("a webhook needs webhook_secret_env: without a secret anyone can post to it")
        return self


class MatrixConfig(_Section):
    """The bot's account on a Matrix homeserver: by password, or by an access token."""

    homeserver: Address
    user: Annotated[str, AfterValidator(_matrix_user)]
    password_env: str = "CHARGEHAND_MATRIX_PASSWORD"
    token_env: str | None = None
    devices: Literal["crew", "verified"] = "crew"
    """Whose devices are answered: all of the crew's, or only those whose fingerprint is in `verified_devices`."""
    verified_devices: tuple[str, ...] = ()
    seniors_room: Annotated[str, Field(pattern=r"^![^\s]+$")] | None = None
    """The room where hand-offs are posted, by its id (it begins with '!')."""


class PagesConfig(_Section):
    """The owner's pages."""

    host: str = "127.0.0.1"
    port: Annotated[int, Field(ge=1, le=65535)] = 8765
    public_url: Address | None = None


class FirmConfig(_Section):
    """The firm's settings."""

    name: str = "the firm"
    timezone: Zone = "UTC"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "USD"
    locale: str = "en"
    mains: Annotated[str, AfterValidator(_known_mains)] = "120/240 V 60 Hz split"
    temperature: Literal["F", "C"] = "F"
    emergency_number: str = Firm().emergency_number
    gas_number: str = Firm().gas_number
    words: dict[str, str] = {}
    handoff_minutes: Annotated[float, Field(gt=0)] = Firm().handoff_minutes
    follow_up_days: Annotated[int, Field(ge=0, le=90)] = 0
    """Days after a repair at which the tech is asked whether it held; 0: never."""
    overlay: Path | None = None
    """A folder of packs that lie on top of ours."""
    learning: bool = True
    """Whether what was learned from confirmed visits, once the owner applied it, lies on top of the packs."""

    def firm(self) -> Firm:
        """The settings as a step sees them."""
        return Firm(self.name, self.timezone, self.currency, self.locale, self.mains, self.temperature,
                    self.emergency_number, self.gas_number, self.words, self.handoff_minutes, self.follow_up_days)


class Config(_Section):
    """All settings. A section that is missing is switched off (telegram, matrix) or has its defaults."""

    store: StoreConfig = StoreConfig()
    telegram: TelegramConfig | None = None
    matrix: MatrixConfig | None = None
    pages: PagesConfig = PagesConfig()
    firm: FirmConfig = FirmConfig()


def load_config(file: Path) -> Config:
    """The settings in `file`; its relative paths count from its folder. Raises ConfigError."""
    try:
        values = tomllib.loads(file.read_text(encoding="utf-8"))
    except OSError as error:
        raise ConfigError(f"{file}: cannot be read ({error.strerror}): give the settings file by --config") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ConfigError(f"{file}: not valid TOML: {error}. Sections stand in [ ], text in quotes") from error
    config = read_config(values, str(file))
    path = file.parent / config.store.path
    overlay = file.parent / config.firm.overlay if config.firm.overlay is not None else None
    return config.model_copy(update={"store": config.store.model_copy(update={"path": path}),
                                     "firm": config.firm.model_copy(update={"overlay": overlay})})


def read_config(values: Mapping[str, Any], name: str = "settings") -> Config:
    """The settings from plain values. Raises ConfigError."""
    try:
        return Config.model_validate(values)
    except ValidationError as error:
        raise ConfigError(f"{name}: " + ";\n".join(_lines(error))) from error


def secret(variable: str, what: str, environment: Mapping[str, str] | None = None) -> str:
    """The secret in an environment variable. Raises ConfigError, which names the variable and nothing else."""
    value = (os.environ if environment is None else environment).get(variable, "").strip()
    if not value:
        raise ConfigError(f"{what}: set the environment variable {variable} (it is not set, or empty)")
    return value


_WRITE: Final = {
    "string_type": "write text, in quotes",
    "int_type": "write a whole number, without quotes", "int_parsing": "write a whole number, without quotes",
    "path_type": "write a path, in quotes",
    "float_type": "write a number, without quotes", "float_parsing": "write a number, without quotes",
    "bool_type": "write true or false", "bool_parsing": "write true or false",
    "dict_type": "write a section of settings", "model_type": "write a section of settings",
}


def _lines(error: ValidationError) -> Iterator[str]:
    for problem in error.errors():
        section, *keys = [str(part) for part in problem["loc"]] or ["file"]
        place = f"[{section}] {'.'.join(keys)}".strip()
        yield f"{place}: {_advice(problem['type'], problem['msg'], section, keys)}"


def _advice(kind: str, message: str, section: str, keys: list[str]) -> str:
    if kind == "extra_forbidden":
        known = _keys_of(section) if keys else list(Config.model_fields)
        wrong = keys[-1] if keys else section
        near = extractOne(wrong, known, score_cutoff=60)
        return f"no such setting: {f'did you mean {near[0]}?' if near else 'known are ' + ', '.join(known)}"
    if kind == "missing":
        return "is missing: add it"
    if kind in _WRITE:
        return _WRITE[kind]
    theirs = "write" if kind == "literal_error" else "has to be"
    return message.removeprefix("Value error, ").replace("Input should be", theirs)


def _keys_of(section: str) -> list[str]:
    sections: dict[str, type[_Section]] = {"store": StoreConfig, "telegram": TelegramConfig, "matrix": MatrixConfig,
                                           "pages": PagesConfig, "firm": FirmConfig}
    return list(sections[section].model_fields) if section in sections else []
