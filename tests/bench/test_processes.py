"""What a whole command costs beside the bare call it cannot do without, as ratios of processor time in one run.

The least of several runs of each, taken in turn, so that a busy machine slows both sides alike. Measured: analyse
1.42, recheck 1.5, audit 1.42, help 2.1; alarm as in `ratios`.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

import pytest

from tests.bench.ratios import NUMPY, computing, hold
from tests.strategies import frame
from trussio.document.encode import write_truss

TRUSSIO: Final = str(Path(sys.executable).with_name("trussio"))
BARE: Final = {"pass": (sys.executable, "-c", "pass"), "numpy": NUMPY}


@pytest.fixture(scope="module")
def document(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("bench") / "frame.json"
    path.write_text(write_truss(frame(2, joints=40)), encoding="utf-8")
    return str(path)


@pytest.mark.parametrize(
    ("command", "against", "aim"),
    [("analyse", "numpy", 1.5), ("recheck", "numpy", 1.5), ("audit", "numpy", 3.0), ("help", "pass", 3.0)],
)
def test_a_command_costs_little_beyond_its_bare_call(
    document: str, command: str, against: str, aim: float
) -> None:
    called = (TRUSSIO, "--help") if command == "help" else (TRUSSIO, command, document)

    def ratio() -> float:
        times = computing({"bare": BARE[against], "whole": called})
        return times["whole"] / times["bare"]

    hold(f"{command} against {against}", ratio, aim)
