"""Planted errors in typed tables of other families of trusses, through the command line.

`TRUSSIO_FAMILIES=200 pytest tests/recheck/test_other_families.py` takes so many trusses instead of a few.
"""

from __future__ import annotations

import json
from math import ceil, floor, log10
from os import environ
from typing import TYPE_CHECKING, Final

import pytest

from tests.cli.running import trussio
from tests.recheck.families import FAMILIES
from tests.strategies import seeded
from trussio.document.encode import write_truss
from trussio.recheck.naming import mirror_images

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path
    from random import Random

    from trussio.model.truss import SegmentId, Truss

Run = dict[str, float]
TRUSSES: Final = range(int(environ.get("TRUSSIO_FAMILIES", "12")))


def three(force: float) -> str:
    """Three figures, as a person types them."""
    place = 0 if not force else floor(log10(abs(force))) - 2
    return f"{round(force, -place):.{max(0, -place)}f}"


def typed(runs: Mapping[str, Run], form: Callable[[float], str] = three, header: str = "axial") -> str:
    rows = [f"{run},{name},{form(force)}" for run, of in runs.items() for name, force in of.items()]
    return "\n".join([f"run,segment,{header}", *rows]) + "\n"


def planted(forces: Run, truss: Truss, rng: Random) -> Iterator[tuple[str, Run]]:
    """Every kind of error once, with the name that it must get."""
    largest = max(abs(force) for force in forces.values())
    names = list(forces)
    name = rng.choice([name for name in names if abs(forces[name]) > 0.02 * largest])
    place = floor(log10(abs(forces[name]))) - 2
    more = ceil(1.01 * abs(float(three(forces[name]))) / 10.0**place) * 10.0**place
    yield "one-force", {**forces, name: more if forces[name] > 0 else -more}
    yield "one-sign", {**forces, name: -forces[name]}
    one, other = rng.choice([(a, b) for a in names for b in names if abs(forces[a] - forces[b]) > 0.02 * largest])
    yield "swapped", {**forces, one: forces[other], other: forces[one]}
    yield "missing", {key: force for key, force in forces.items() if key != name}
    for factor in (1000.0, 4.4482216152605, 12.0):
        by = factor if rng.random() < 0.5 else 1 / factor
        yield "units", {key: by * force for key, force in forces.items()}
    yield "signs-flipped", {key: -force for key, force in forces.items()}
    shift = rng.choice([1, -1, 2])
    shifted = {key: forces[names[(row - shift) % len(names)]] for row, key in enumerate(names)}
    for kind, moved in (("shifted", shifted), ("mirrored", _mirrored(forces, mirror_images(truss)))):
        if sum(abs(moved[key] - forces[key]) > 0.01 * abs(forces[key]) + 1e-3 * largest for key in names) > 3:
            yield kind, moved


def _mirrored(forces: Run, image: Mapping[SegmentId, SegmentId]) -> Run:
    by_name = {str(key): str(value) for key, value in image.items()}
    if not all(by_name.get(key) in forces for key in forces):
        return dict(forces)
    return {key: forces[by_name[key]] for key in forces}


@pytest.mark.parametrize("seed", TRUSSES)
def test_planted_errors_are_named_and_clean_tables_pass(seed: int, tmp_path: Path) -> None:
    rng = seeded(seed)
    truss, idealisation = FAMILIES[seed % len(FAMILIES)](rng)
    path, table = tmp_path / "truss.json", tmp_path / "typed.csv"
    path.write_text(write_truss(truss), encoding="utf-8")
    how = ("--idealisation", idealisation, "--json")
    results = json.loads(trussio("analyse", path, *how).out)["runs"]
    runs = {run: {s: one["axial"] for s, one in of["segments"].items()} for run, of in results.items()}

    def told(text: str) -> tuple[int, dict[str, dict[str, object]]]:
        table.write_text(text, encoding="utf-8")
        ran = trussio("recheck", path, "--against", table, *how)
        return ran.code, json.loads(ran.out)["runs"]

    thousands = ("axial_kip", 1000.0) if truss.units == "us" else ("axial [kN]", 1000.0)
    clean = (
        typed(runs),
        typed(
            {run: {k: f / thousands[1] for k, f in of.items()} for run, of in runs.items()}, header=thousands[0]
        ),
        typed(runs, form="{:.0f}".format),
    )
    for text in clean:
        code, checks = told(text)
        assert code == 0, [check["says"] for check in checks.values() if check["verdict"] != "agrees"]
    run = rng.choice([run for run, of in runs.items() if sum(abs(force) > 1.0 for force in of.values()) > 4])
    for kind, wrong in planted(runs[run], truss, rng):
        code, checks = told(typed({**runs, run: wrong}))
        assert (code, checks[run]["slips"]) == (5, [kind]), checks[run]["says"]
        assert all(check["verdict"] == "agrees" for other, check in checks.items() if other != run)


@pytest.mark.parametrize("seed", range(6))
def test_an_error_is_pinned_to_its_member_after_stages_too(seed: int, tmp_path: Path) -> None:
    """Full figures: one force off by 3 % is what balance at the joints alone would change, where it is pinned."""
    rng = seeded(seed)
    truss, _ = FAMILIES[4 + seed % 2](rng)
    path, table = tmp_path / "truss.json", tmp_path / "typed.csv"
    path.write_text(write_truss(truss), encoding="utf-8")
    how = ("--idealisation", "pinned", "--json")
    results = json.loads(trussio("analyse", path, *how).out)["runs"]
    run = list(results)[-1]
    forces = {s: one["axial"] for s, one in results[run]["segments"].items()}
    name = max((s for s in forces if s.startswith(("v", "d", "left"))), key=lambda s: abs(forces[s]))
    table.write_text(typed({run: {**forces, name: 1.03 * forces[name]}}, form=repr), encoding="utf-8")
    ran = trussio("recheck", path, "--against", table, *how)
    check = json.loads(ran.out)["runs"][run]
    assert check["slips"] == ["one-force"]
    assert f"A change of {name} by " in check["says"]
    assert check["residual"] > check["residual_allowed"]
