"""What benches share: processes of their own, the least of several times, and a ratio held against its aim.

Terms: the *aim* is what a bench is held to; *measured* is what its docstring and DEVELOPERS.md say that a quiet
machine showed; the *alarm* is where it fails. A bench prints its ratio beside the aim. A ratio over its aim is
measured again, a few times at most, and the least counts; it fails only where that is 1.5 times the aim or more,
so that a machine with other work does not stop a sound change, while a step backwards still shows.

Seconds are those of the processor, not on the wall. Child processes keep bytecode on the disk, as on a user's
machine, even where the tests themselves must not.
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
ALARM: Final = 1.5
"""Times the aim at which a bench fails."""
TRIES: Final = 6
THREADS: Final = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
NUMPY: Final = (sys.executable, "-c", "import numpy")
LOADING: Final = """
from time import process_time
start = process_time()
import numpy
print(process_time() - start)
"""


def hold(says: str, measure: Callable[[], float], aim: float, *, tries: int = TRIES) -> None:
    """Show a ratio beside its aim, and fail where the least of some measurements raises the alarm.

    The first that keeps the aim ends them.
    """
    ratio = measure()
    for _ in range(tries - 1):
        if ratio <= aim:
            break
        ratio = min(ratio, measure())
    alarm = ALARM * aim
    print(f"{says}: {ratio:.3g}, aim {aim:.3g}, alarm {alarm:.3g}")  # noqa: T201 - a bench shows its figure
    assert ratio < alarm, f"{says}: {ratio:.3g}, where the aim is {aim:.3g} and the alarm {alarm:.3g}"


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


def computing(commands: Mapping[str, Sequence[str]], rounds: int = 8) -> dict[str, float]:
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


def figures(program: str) -> list[float]:
    """What a program prints in a process of its own with one thread."""
    alone = environment() | dict.fromkeys(THREADS, "1")
    command = [sys.executable, "-c", program]
    run = subprocess.run(command, env=alone, cwd=ROOT, capture_output=True, text=True, check=True)
    return [float(part) for part in run.stdout.split()]


def loading() -> float:
    """Seconds that loading numpy takes once python runs, the least of five processes: the first fill caches."""
    return min(figures(LOADING)[0] for _ in range(5))
