"""Tables as people type them, through the command line: what is wrong is said in the words of the trade."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Final

import pytest

from tests.cli.running import trussio
from tests.published.paper import PIN, ROLLER, Json, document, stick
from trussio.document.results import read_results

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

ROOF: Final[Json] = document(
    units="us",
    joints={
        **{f"B{i}": (60.0 * i, 0.0) for i in range(7)},
        **{f"T{i}": (60.0 * i, 30.0 * min(i, 6 - i)) for i in range(1, 6)},
    },
    members={
        "bottom": stick(*(f"B{i}" for i in range(7))),
        "left": stick("B0", "T1", "T2", "T3"),
        "right": stick("T3", "T4", "T5", "B6"),
        **{f"v{i}": stick(f"B{i}", f"T{i}") for i in range(1, 6)},
        **{name: stick(*name.split()) for name in ("T1 B2", "T2 B3", "B3 T4", "B4 T5")},
    },
    supports={"B0": PIN, "B6": ROLLER},
    cases={
        "S": [{"joint": f"T{i}", "fy": -1000 - 137 * i} for i in range(1, 6)],
        "D": [{"joint": f"B{i}", "fy": -300 - 20 * i} for i in range(1, 6)],
    },
    combinations={"D+S": {"D": 1, "S": 1}},
    sections={"s": {"width": 3.5, "depth": 7.25}},
    materials={"m": {"E": 1.6e6, "kind": "sawn"}},
)
"""Invented: six panels under a pitched top chord, loads that grow to the right."""


def told(folder: Path, change: Callable[[dict[str, float]], Mapping[str, float]], form: str = "{:.4f}") -> str:
    """What the recheck says of our own forces in D+S, typed after a change."""
    path, table = folder / "roof.json", folder / "typed.csv"
    path.write_text(json.dumps(ROOF), encoding="utf-8")
    results = read_results(trussio("analyse", path, "--json").out.encode(), name="results")
    forces = {
        str(s): of.axial for s, of in next(f for r, f in results.runs.items() if r == "D+S").segments.items()
    }
    rows = [f"D+S,{name},{form.format(value)}" for name, value in change(forces).items()]
    table.write_text("\n".join(["run,segment,axial", *rows]), encoding="utf-8")
    ran = trussio("recheck", path, "--against", table)
    assert ran.code == 5
    return ran.out


def times(by: float) -> Callable[[dict[str, float]], Mapping[str, float]]:
    return lambda forces: {name: by * force for name, force in forces.items()}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (times(0.001), "all figures are 1000 times too small (kN as N, or kips as lb, the other way?). "),
        (times(1000.0), "all figures are 1000 times too large (kN as N, or kips as lb?). "),
        (times(1 / 12), "all figures are 12 times too small (feet as inches, the other way?). "),
        (times(1.15), "all figures are 1.15 times those found: a load factor, or other loads? At "),
        (
            lambda forces: {name: abs(force) for name, force in forces.items()},
            "10 of 21 segments disagree: no figure has a sign: write compression as negative. ",
        ),
        (
            lambda forces: {**forces, "v9:B9-T9": 12.0},
            "D+S: disagrees. All 21 segments agree, but the model has no v9:B9-T9.\n",
        ),
    ],
    ids=["too small", "too large", "twelfths", "a factor", "no signs", "one too many"],
)
def test_a_slip_is_told(
    change: Callable[[dict[str, float]], Mapping[str, float]], words: str, tmp_path: Path
) -> None:
    assert words in told(tmp_path, change)


def test_a_run_that_the_table_lacks_is_told_once(tmp_path: Path) -> None:
    assert "\n  S: not compared. The table has no such run.\n" in told(tmp_path, times(2.0))
