"""What a whole command costs beside the bare call it cannot do without, as ratios of processor time in one run.

The least of several runs of each, taken in turn, so that a busy machine slows both sides alike.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

import pytest

from tests.bench.ratios import NUMPY, computing, hold
from tests.strategies import frame
from trussio.document.encode import write_truss

PYTHON: Final = sys.executable
TRUSSIO: Final = str(Path(sys.executable).with_name("trussio"))


@pytest.fixture(scope="module")
def times(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    document = tmp_path_factory.mktemp("bench") / "frame.json"
    document.write_text(write_truss(frame(2, joints=40)), encoding="utf-8")
    return computing(
        {
            "pass": [PYTHON, "-c", "pass"],
            "numpy": NUMPY,
            "analyse": [TRUSSIO, "analyse", str(document)],
            "recheck": [TRUSSIO, "recheck", str(document)],
            "audit": [TRUSSIO, "audit", str(document)],
            "help": [TRUSSIO, "--help"],
        }
    )


@pytest.mark.parametrize(
    ("command", "against", "aim"),
    [("analyse", "numpy", 1.5), ("recheck", "numpy", 1.5), ("audit", "numpy", 3.0), ("help", "pass", 3.0)],
)
def test_a_command_costs_little_beyond_its_bare_call(
    times: dict[str, float], command: str, against: str, aim: float
) -> None:
    hold(f"{command} against {against}", times[command] / times[against], aim)
