"""Short commands load little: what they import decides how fast they answer."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from proveout.book.compiled.stamp import ADVISING

#: What takes longer to import than all of a short command should take.
HEAVY = {"numpy", "yaml", "jsonschema", "jsonschema_rs", "durable", "pint", "platformdirs", "rapidfuzz"}


def loaded(program: str, home: Path) -> set[str]:
    """Return the modules that are loaded when a program ends."""
    done = subprocess.run(
        [sys.executable, "-c", f"import sys\n{program}\nprint('\\n' + ' '.join(sys.modules))"],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "XDG_CACHE_HOME": str(home)},
    )
    return set(done.stdout.splitlines()[-1].split())


def test_help_loads_nothing_of_the_model(tmp_path: Path) -> None:
    found = loaded("from proveout.cli.main import run; run(['--help'])", tmp_path)
    assert not found & (HEAVY | {"msgspec", "json"})


def test_a_code_looked_up_again_loads_nothing_heavy(tmp_path: Path) -> None:
    program = "from proveout.cli.main import run; run(['code', 'P0442'])"
    loaded(program, tmp_path)
    assert not loaded(program, tmp_path) & HEAVY


def test_a_code_looked_up_again_is_told_without_click(tmp_path: Path) -> None:
    program = (
        "from proveout.cli import entry; sys.argv = ['proveout', 'code', 'P0442']; entry.leave = sys.exit\n"
        "try: entry.entry()\nexcept SystemExit: pass"
    )
    if "click" in loaded(program, tmp_path) and "click" in loaded(program, tmp_path):
        time.sleep(2.5)  # files that were changed just now are not yet noted
        loaded(program, tmp_path)
    assert not loaded(program, tmp_path) & (HEAVY | {"click", "msgspec", "pathlib", "typing", "shutil"})


def test_advice_is_made_by_the_rooms_by_which_first_looks_are_kept(tmp_path: Path) -> None:
    found = loaded("import proveout.plan.advice, proveout.intake.document", tmp_path)
    rooms = {name.split(".")[1] for name in found if name.startswith("proveout.")}
    assert rooms <= set(ADVISING)


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the library itself is asked")
@pytest.mark.parametrize("value", ["", "/tmp/some where", None])
def test_directories_are_where_the_library_says(value: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    import platformdirs

    from proveout.app import places

    for name in ("XDG_CACHE_HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False) if value is None else monkeypatch.setenv(name, value)
    assert places.cache_dir() == platformdirs.user_cache_path("proveout", appauthor=False)
    assert places.data_dir() == platformdirs.user_data_path("proveout", appauthor=False)
