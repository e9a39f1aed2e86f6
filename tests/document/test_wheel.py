"""The schemas reach whoever installs the package: beside it in a checkout, inside it in a wheel."""

from __future__ import annotations

import json
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path
from zipfile import ZipFile

import pytest

from tests.document.small import SMALL
from trussio.document.schema import NAMES, schema_folder

ROOT = Path(__file__).parents[2]

ASK = """
import json, sys
from pathlib import Path
import trussio
from trussio.document.decode import read_truss
from trussio.document.schema import schema_faults, schema_folder
document = json.loads(Path(sys.argv[1]).read_text("utf-8"))
print(json.dumps({
    "package": str(Path(trussio.__file__).parent),
    "schemas": str(schema_folder()),
    "sound": len(schema_faults(document, "trussio/truss")),
    "spoilt": len(schema_faults({**document, "units": "inch"}, "trussio/truss")),
    "title": read_truss(Path(sys.argv[1]).read_bytes(), name="sample.json").title,
}))
"""


def run(*arguments: str | Path, cwd: Path) -> str:
    """Run a command and give what it prints."""
    return subprocess.run(arguments, cwd=cwd, check=True, capture_output=True, text=True).stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=ROOT)
    (found,) = folder.glob("*.whl")
    return found


def test_a_checkout_has_them_beside_the_package() -> None:
    assert schema_folder() == ROOT / "schema"
    assert {path.stem for path in schema_folder().iterdir()} == set(NAMES)


def test_a_wheel_holds_them_byte_for_byte(wheel: Path) -> None:
    with ZipFile(wheel) as archive:
        for name in NAMES:
            assert archive.read(f"trussio/schema/{name}.json") == (ROOT / "schema" / f"{name}.json").read_bytes()
        assert "trussio/py.typed" in archive.namelist()
        assert not [name for name in archive.namelist() if name.startswith("tests/")]


def test_an_installed_wheel_validates_a_document(wheel: Path, tmp_path: Path) -> None:
    """In an environment with nothing in it but the wheel; what it depends on is lent by this one."""
    environment = tmp_path / "environment"
    venv.create(environment, with_pip=False)
    python = environment / ("Scripts" if sys.platform == "win32" else "bin") / "python"
    packages = Path(
        run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=tmp_path).strip()
    )
    options = ("--quiet", "--no-deps", "--no-index", "--no-compile", "--disable-pip-version-check")
    run(sys.executable, "-m", "pip", "install", *options, "--target", packages, wheel, cwd=tmp_path)
    (packages / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    sample = tmp_path / "sample.json"
    sample.write_text(json.dumps(SMALL), encoding="utf-8")
    said = json.loads(run(python, "-I", "-c", ASK, sample, cwd=tmp_path))
    assert said == {
        "package": str(packages / "trussio"),
        "schemas": str(packages / "trussio" / "schema"),
        "sound": 0,
        "spoilt": 1,
        "title": "Invented lean-to",
    }
