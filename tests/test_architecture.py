"""The arrows between the parts hold, and the contracts that hold them can fail."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


def contracts_kept(folder: Path) -> tuple[bool, str]:
    """Whether the import contracts hold for the package in a folder, and what was printed."""
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "from importlinter.cli import lint_imports_command as run; run(['--no-cache'])",
        ],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode == 0, done.stdout + done.stderr


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the package that may be spoilt."""
    shutil.copytree(ROOT / "trussio", tmp_path / "trussio", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_the_contracts_hold() -> None:
    kept, printed = contracts_kept(ROOT)
    assert kept, printed


@pytest.mark.parametrize(
    ("module", "line", "contract"),
    [
        ("recheck/energy.py", "import trussio.analysis.run", "shares nothing"),
        ("recheck/energy.py", "import trussio.loads.generate", "shares nothing"),
        ("recheck/energy.py", "import trussio.geometry", "shares nothing"),
        ("audit/rules.py", "import trussio.document.encode", "one ladder"),
        ("model/truss.py", "import trussio.analysis.run", "one ladder"),
        ("audit/rules.py", "import networkx", "networkx is an outside peer"),
        ("audit/rules.py", "import ezdxf", "ezdxf stays"),
        ("analysis/run.py", "import jsonschema", "jsonschema stays"),
        ("recheck/energy.py", "import lxml.etree", "lxml stays"),
        ("report/page.py", "import trussio.analysis.run", "page knows"),
    ],
)
def test_a_forbidden_import_is_found(copy: Path, module: str, line: str, contract: str) -> None:
    path = copy / "trussio" / module
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{line}\n", encoding="utf-8")
    kept, printed = contracts_kept(copy)
    assert not kept
    broken = [row for row in printed.splitlines() if contract in row and "BROKEN" in row]
    assert broken, printed


def test_the_package_has_no_assert_and_never_prints_outside_the_command_line() -> None:
    for path in sorted((ROOT / "trussio").rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        lines = [line.strip() for line in text.splitlines()]
        assert not [line for line in lines if line.startswith("assert ")], path
        if "cli" not in path.parts and path.name != "__main__.py":
            assert not [line for line in lines if line.startswith(("print(", "sys.exit("))], path


def test_no_module_is_over_400_lines() -> None:
    long = {
        path.name: count
        for path in sorted((ROOT / "trussio").rglob("*.py"))
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert long == {}
