"""`chargehand people`: the crew from the owner's shell."""

from __future__ import annotations

import json
import re
from pathlib import Path

from tests.adapters.command import chargehand, refused


def crew(data: Path) -> dict[str, dict[str, object]]:
    """The list as programs get it, by name."""
    return {person["name"]: person
            for person in json.loads(chargehand("people", "list", "--json", "--data", str(data)).stdout)}


def test_an_invitation_is_a_code_that_shows_in_the_list(tmp_path: Path) -> None:
    """Printed once; the list shows who is awaited, and not the code."""
    data = tmp_path / "data"
    done = chargehand("people", "invite", "--role", "junior", "--name", "Dana", "--data", str(data))
    code = re.search(r"\b[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}\b", done.stdout)
    assert done.returncode == 0 and code is not None
    shown = chargehand("people", "list", "--data", str(data)).stdout
    assert "invited: Dana (junior), until" in shown and code[0] not in shown
    assert crew(data) == {}


def test_a_matrix_account_makes_a_link(tmp_path: Path) -> None:
    """With the settings file the data folder and the bot's account are known."""
    (tmp_path / "firm.toml").write_text(
        '[store]\npath = "data"\n[matrix]\nhomeserver = "https://example.org"\nuser = "@chargehand:example.org"\n')
    done = chargehand("people", "invite", "--role", "owner", "--config", str(tmp_path / "firm.toml"))
    assert "https://matrix.to/#/@chargehand:example.org" in done.stdout
    assert (tmp_path / "data").is_dir()


def test_signing_off_and_removing(tmp_path: Path) -> None:
    """The crew that `try` began: Rui gets live tests, loses them, and is gone."""
    data = str(tmp_path)
    chargehand("try", "--data", data)
    assert set(crew(tmp_path)) == {"Rui", "Dana", "Marta", "Ines"}
    rui = str(crew(tmp_path)["Rui"]["id"])
    assert "Rui is signed off for live." in chargehand("people", "signoff", rui, "live", "--data", data).stdout
    assert crew(tmp_path)["Rui"]["signoffs"] == ["live"]
    chargehand("people", "signoff", rui, "live", "--revoke", "--data", data)
    assert crew(tmp_path)["Rui"]["signoffs"] == []
    assert chargehand("people", "remove", rui, "--data", data).stdout == "Rui is out.\n"
    assert "Rui" not in crew(tmp_path)
    assert "no person" in refused(chargehand("people", "remove", rui, "--data", data))


def test_by_name_and_an_invitation_taken_back(tmp_path: Path) -> None:
    """A name does as well as the id; who is only invited is removed by name."""
    data = str(tmp_path)
    chargehand("try", "--data", data)
    assert "Rui is signed off for gas." in chargehand("people", "signoff", "rui", "gas", "--data", data).stdout
    chargehand("people", "invite", "--role", "senior", "--name", "Sam", "--data", data)
    assert "opens nothing any more" in chargehand("people", "remove", "sam", "--data", data).stdout
    assert "Sam" not in chargehand("people", "list", "--data", data).stdout
    assert "no person" in refused(chargehand("people", "remove", "sam", "--data", data))
    assert chargehand("people", "remove", "Dana", "--data", data).stdout == "Dana is out.\n"


def test_wrong_folders_and_settings_are_one_line(tmp_path: Path) -> None:
    """No data there, a settings file with a slip, a file where a folder should be."""
    assert "no data in" in refused(chargehand("people", "list", "--data", str(tmp_path / "none")))
    (tmp_path / "firm.toml").write_text("[stor]\n")
    assert "did you mean store" in refused(chargehand("people", "list", "--config", str(tmp_path / "firm.toml")))
    (tmp_path / "file").write_text("")
    assert "is a file" in refused(chargehand("people", "invite", "--role", "owner", "--data", str(tmp_path / "file")))
