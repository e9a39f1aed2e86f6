"""What benches share: processes of their own, the least of several times, and a ratio held against its aim.

A bench prints its ratio beside the aim. It fails only at half more than the aim, so that a machine with other work
does not stop a sound change, while a step backwards still shows.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from time import process_time
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

ROOT: Final = Path(__file__).parents[2]
ROOM: Final = 1.5
THREADS: Final = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
NUMPY: Final = (sys.executable, "-c", "import numpy")
LOADING: Final = "import time; start = time.perf_counter(); import numpy; print(time.perf_counter() - start)"


def hold(says: str, ratio: float, aim: float) -> None:
    """Show a ratio beside its aim, and fail where it is half more than that."""
    print(f"{says}: {ratio:.3g}, aim {aim:.3g}")  # noqa: T201 - a bench shows its figure
    assert ratio <= ROOM * aim, f"{says}: {ratio:.3g}, where the aim is {aim:.3g}"


def environment() -> dict[str, str]:
    """That of this process, with bytecode kept on the disk as on a user's machine."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def quickest(*jobs: Callable[[], object], rounds: int = 5) -> list[float]:
    """The least of several durations of each job, in seconds of computing, the jobs taking turns."""
    least = [float("inf")] * len(jobs)
    for _ in range(rounds):
        for number, job in enumerate(jobs):
            start = process_time()
            job()
            least[number] = min(least[number], process_time() - start)
    return least


def computing(commands: Mapping[str, Sequence[str]], rounds: int = 15) -> dict[str, float]:
    """Processor time of whole processes, the least of several of each, taking turns; the first fill the caches."""
    times = dict.fromkeys(commands, float("inf"))
    for _ in range(rounds):
        for name, command in commands.items():
            with subprocess.Popen(
                command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment(), cwd=ROOT
            ) as running:
                _, status, used = os.wait4(running.pid, 0)
                running.returncode = os.waitstatus_to_exitcode(status)
            assert running.returncode == 0, command
            times[name] = min(times[name], used.ru_utime + used.ru_stime)
    return times


def figures(program: str, rounds: int = 3) -> list[float]:
    """What a program prints in a process of its own with one thread, the least of several by the first figure."""
    command, alone = [sys.executable, "-c", program], environment() | dict.fromkeys(THREADS, "1")
    runs = [
        subprocess.run(command, env=alone, cwd=ROOT, capture_output=True, text=True, check=True)
        for _ in range(rounds)
    ]
    return min([float(part) for part in run.stdout.split()] for run in runs)
