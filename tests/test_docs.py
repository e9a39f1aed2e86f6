"""What the README says is so: its commands run, verbs and options stand in it, the test command is CI's."""

from __future__ import annotations

import argparse
import inspect
import json
import re
import shlex
import shutil
from importlib import import_module
from pathlib import Path

import pytest

import trussio as package
from tests.cli.running import trussio
from trussio.audit.rules import audit
from trussio.cli.main import VERBS
from trussio.document.decode import read_truss

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    """The fenced blocks of a language in the README."""
    return re.findall(rf"```{language}\n(.*?)```", README, flags=re.DOTALL)


def test_the_test_command_is_the_one_that_ci_runs() -> None:
    commands = [line for block in blocks("sh") for line in block.splitlines()]
    (tests,) = [line for line in commands if "pytest" in line]
    assert tests in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_commands_run_in_the_order_of_the_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    monkeypatch.chdir(tmp_path)
    for table in blocks("csv"):
        (tmp_path / "forces.csv").write_text(table, encoding="utf-8")
    ran = []
    for line in (line for block in blocks("sh") for line in block.splitlines()):
        command = line.rpartition("&& ")[2].removeprefix(".venv/bin/")
        if not command.startswith("trussio "):
            continue
        done = trussio(*shlex.split(command)[1:])
        partial = "--against" in command
        assert done.code == (5 if partial else 0), (command, done.err)
        ran.append(shlex.split(command)[1])
    assert set(ran) >= {"review", "convert", "audit", "analyse", "report", "recheck"}


def test_the_python_of_the_page_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    monkeypatch.chdir(tmp_path)
    shutil.copy(tmp_path / "samples" / "hall" / "hall-truss-2.json", tmp_path / "hall.json")
    for block in blocks("python"):
        exec(compile(block, "README.md", "exec"), {})  # noqa: S102 - the page's own words


def test_the_connection_of_the_page_is_checked_in_the_hall(tmp_path: Path) -> None:
    hall = json.loads((ROOT / "samples" / "hall" / "hall-truss-2.json").read_text(encoding="utf-8"))
    (block,) = blocks("json")
    stated = json.loads(block)
    hall["connections"] = stated["connections"]
    for member, fields in stated["members"].items():
        hall["members"][member] |= fields
    (tmp_path / "hall.json").write_text(json.dumps(hall), encoding="utf-8")
    told = trussio("check", tmp_path / "hall.json", "--element", "B4", "--fail-on", "never").out
    assert re.search(r"\nconnection post: \d+ %", told)


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_and_option_stands_in_the_readme(verb: str) -> None:
    module = import_module(f"trussio.cli.{verb}")
    parser = argparse.ArgumentParser()
    module.add_arguments(parser)
    options = {word for action in parser._actions for word in action.option_strings if word.startswith("--")}
    assert f"`{verb}" in README or f"trussio {verb}" in README
    missing = {option for option in options - {"--help", "--output"} if option not in README}
    assert missing == set()


def test_the_functions_of_single_checks_are_as_the_page_says() -> None:
    """Module, name and parameters: those before the bar are needed, those after it may be left out."""
    told = re.findall(r"`(\w+)\.(\w+)\(([^`]*)\)`", README.partition("### Single checks from Python")[2])
    assert len(told) > 100
    for module, name, words in told:
        function = getattr(import_module(f"trussio.timber.{module}"), name)
        needed, _, left_out = words.partition("\\|")
        parameters = inspect.signature(function).parameters
        must = [one.name for one in parameters.values() if one.default is inspect.Parameter.empty]
        assert [word for word in re.split(r"[,\s]+", needed) if word] == must, f"{module}.{name}"
        may = [word for word in re.split(r"[,\s]+", left_out) if word]
        assert may == ["..."] or may == [one for one in parameters if one not in must], f"{module}.{name}"


def test_every_public_name_is_served_and_documented() -> None:
    for name in package.__all__:
        served = getattr(package, name)
        assert isinstance(served, str) or served.__doc__, name


def test_every_public_function_stays_one_once_all_modules_are_loaded() -> None:
    """`audit` and `recheck` are packages too, and loading what they hold must not hide the functions."""
    for module in ("trussio.assess", "trussio.audit.stops", "trussio.recheck.energy"):
        import_module(module)
    for name in package.__all__:
        assert name == "__version__" or callable(getattr(package, name)), name
    truss = read_truss((ROOT / "samples/hall/hall-truss-2.json").read_bytes(), name="hall")
    digest = package.digest_of_truss(truss)
    assert package.audit(truss, digest=digest) == audit(truss, digest=digest)
    results = package.calculate(truss, digest=digest)
    assert package.recheck(truss, package.claims(results), digest=digest).verdict == "agrees"
    assert package.assess(truss, name="hall", digest=digest).name == "hall"


def test_nothing_that_a_person_reads_promises() -> None:
    for word in ("approved", "certified", "is safe", "OK to build"):
        assert word not in README
