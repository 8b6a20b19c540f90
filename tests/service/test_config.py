"""The settings file: everything optional, every mistake named with what to write instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.service.config import ConfigError, load_config, read_config, secret

WHOLE = """
[store]
path = "data"
[telegram]
token_env = "TOKEN"
base_url = "https://bots.example.org/"
webhook_url = "https://example.org/hook"
webhook_secret_env = "SECRET"
[matrix]
homeserver = "https://example.org"
user = "@chargehand:example.org"
[pages]
port = 9000
public_url = "https://pages.example.org"
[firm]
name = "Hazel Lane Appliance Repair"
timezone = "Europe/Lisbon"
currency = "EUR"
mains = "230 V 50 Hz"
temperature = "C"
emergency_number = "112"
gas_number = "800 000 000"
overlay = "our-packs"
[firm.words]
outlet = "socket"
"""


def test_a_whole_file(tmp_path: Path) -> None:
    """All sections are read; paths count from the file's folder."""
    file = tmp_path / "chargehand.toml"
    file.write_text(WHOLE)
    config = load_config(file)
    assert config.store.path == tmp_path / "data"
    assert config.firm.overlay == tmp_path / "our-packs"
    assert config.telegram is not None
    assert config.telegram.base_url == "https://bots.example.org"
    assert config.matrix is not None
    assert config.matrix.password_env == "CHARGEHAND_MATRIX_PASSWORD"
    firm = config.firm.firm()
    assert (firm.name, firm.mains, firm.temperature) == ("Hazel Lane Appliance Repair", "230 V 50 Hz", "C")
    assert firm.words == {"outlet": "socket"}


def test_an_empty_file_is_a_terminal(tmp_path: Path) -> None:
    """Nothing is needed; platforms that are not named are off."""
    (tmp_path / "c.toml").write_text("")
    config = load_config(tmp_path / "c.toml")
    assert (config.telegram, config.matrix) == (None, None)
    assert config.pages.port == 8765


@pytest.mark.parametrize(("text", "message"), [
    ("[frim]\nname='x'", r"\[frim\]: no such setting: did you mean firm\?"),
    ("[firm]\ntimezoen='UTC'", r"\[firm\] timezoen: no such setting: did you mean timezone\?"),
    ("[pages]\nport='abc'", r"\[pages\] port: write a whole number, without quotes"),
    ("[firm]\ncurrency=5", r"\[firm\] currency: write text, in quotes"),
    ("[firm]\ntemperature='K'", r"\[firm\] temperature: write 'F' or 'C'"),
    ("[firm]\nzzz=1", r"\[firm\] zzz: no such setting: known are name, timezone"),
    ("[firm]\ntimezone='Millbrook'", r"\[firm\] timezone: write a time zone such as"),
    ("[firm]\nmains='plenty'", r"\[firm\] mains: write volts and hertz such as"),
    ("[firm]\ntemperature='K'", r"\[firm\] temperature: .*'F' or 'C'"),
    ("[firm]\ncurrency='dollars'", r"\[firm\] currency: "),
    ("[pages]\nport=0", r"\[pages\] port: "),
    ("[matrix]\nuser='@a:b.org'", r"\[matrix\] homeserver: is missing: add it"),
    ("[matrix]\nhomeserver='example.org'\nuser='@a:b.org'", r"\[matrix\] homeserver: write a web address"),
    ("[matrix]\nhomeserver='https://b.org'\nuser='a'", r"\[matrix\] user: write the full user id"),
    ("[telegram]\nwebhook_url='https://x.org'", r"\[telegram\]: a webhook needs webhook_secret_env"),
    ("firm = 3", r"\[firm\]: "),
    ("[firm\n", "not valid TOML.*line 1"),
])
def test_mistakes_are_named(tmp_path: Path, text: str, message: str) -> None:
    """File, section, key, and what to write."""
    file = tmp_path / "c.toml"
    file.write_text(text)
    with pytest.raises(ConfigError, match=message) as caught:
        load_config(file)
    assert str(caught.value).startswith(str(file))


def test_all_mistakes_at_once() -> None:
    """One line each, so that one round of mending is enough."""
    with pytest.raises(ConfigError) as caught:
        read_config({"firm": {"nmae": "x", "temperature": "K"}, "pages": {"port": "x"}})
    assert len(str(caught.value).splitlines()) == 3


def test_a_missing_file(tmp_path: Path) -> None:
    """The file's name and what to do."""
    with pytest.raises(ConfigError, match=r"none\.toml: cannot be read .*give the settings file by --config"):
        load_config(tmp_path / "none.toml")


def test_secrets_come_from_the_environment() -> None:
    """The variable is named when it is missing; a value is never shown."""
    assert secret("TOKEN", "Telegram", {"TOKEN": " abc \n"}) == "abc"
    with pytest.raises(ConfigError, match="Telegram: set the environment variable TOKEN"):
        secret("TOKEN", "Telegram", {"TOKEN": " "})
