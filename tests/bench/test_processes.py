"""What a whole command costs beside the bare call it cannot do without, as ratios of processor time in one run.

The least of several runs of each, taken in turn, so that a busy machine slows both sides alike.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from tests.strategies import frame
from trussio.document.encode import write_truss

RUNS: Final = 15
PYTHON: Final = sys.executable
TRUSSIO: Final = str(Path(sys.executable).with_name("trussio"))


def least(commands: dict[str, list[str]]) -> dict[str, float]:
    """Processor time of each command, the least of several runs in turn, bytecode on the disk."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    times = dict.fromkeys(commands, float("inf"))
    for _ in range(RUNS):
        for name, command in commands.items():
            with subprocess.Popen(
                command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=env
            ) as running:
                _, status, used = os.wait4(running.pid, 0)
                running.returncode = os.waitstatus_to_exitcode(status)
            assert running.returncode == 0, command
            times[name] = min(times[name], used.ru_utime + used.ru_stime)
    return times


@pytest.fixture(scope="module")
def times(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    document = tmp_path_factory.mktemp("bench") / "frame.json"
    document.write_text(write_truss(frame(2, joints=40)), encoding="utf-8")
    return least(
        {
            "pass": [PYTHON, "-c", "pass"],
            "numpy": [PYTHON, "-c", "import numpy"],
            "analyse": [TRUSSIO, "analyse", str(document)],
            "recheck": [TRUSSIO, "recheck", str(document)],
            "audit": [TRUSSIO, "audit", str(document)],
            "help": [TRUSSIO, "--help"],
        }
    )


@pytest.mark.parametrize(
    ("command", "against", "most"),
    [("analyse", "numpy", 1.5), ("recheck", "numpy", 1.5), ("audit", "numpy", 3.0), ("help", "pass", 3.0)],
)
def test_a_command_costs_little_beyond_its_bare_call(
    times: dict[str, float], command: str, against: str, most: float
) -> None:
    ratio = times[command] / times[against]
    print(f"{command}: {ratio:.2f} x {against}")  # noqa: T201 - a bench shows its figure
    assert ratio <= most
