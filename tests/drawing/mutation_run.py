"""A long run of mutated drawings through the whole reading: one figure at the end, and every failure named.

Run by hand: `python -m tests.drawing.mutation_run 20000` (a quarter of an hour; a first number and a count do a
slice of it). Each mutant has a number that makes it again. Whatever it holds, the reading must end in trusses or
in a refusal in words, within `SECONDS`, and the process must stay within `MEMORY` bytes.
"""

from __future__ import annotations

import resource
import signal
import sys
import traceback
from collections import Counter
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING, Final

import numpy as np

from tests.drawing.test_mutations import FIXTURES, mutated
from tests.drawings import drawn, faults_of
from trussio.drawing.reading import read_drawing
from trussio.errors import TrussioError

if TYPE_CHECKING:
    from types import FrameType

    from tests.faulty.sheets import Style

SECONDS: Final = 20
MEMORY: Final = 1_500_000_000
SAMPLES: Final = Path(__file__).parents[2] / "samples"
STYLES: Final[tuple[Style, ...]] = ("single", "double")


def fixtures() -> list[bytes]:
    """The fixtures of the mutation tests, the samples, and one drawing of every fault in either style."""
    found = [FIXTURES[name] for name in sorted(FIXTURES)]
    found += [path.read_bytes() for path in sorted(SAMPLES.glob("*/*.dxf"))]
    for style in STYLES:
        made = (drawn(0, style, fault) for fault in (None, *faults_of(style)))
        found += [one.data for one in made if one is not None]
    return found


def mutant(held: list[bytes], number: int) -> bytes:
    """The mutant of one number."""
    return mutated(held[number % len(held)], np.random.default_rng(number))


def answer(data: bytes) -> str:
    """What the reading of one mutant came to: `read`, the code of its refusal, or how it failed."""
    try:
        reading = read_drawing(data)
    except TrussioError as refusal:
        return f"refused: {refusal.code}" if refusal.what and refusal.do else "FAILED: a refusal without words"
    except TimeoutError:
        return "FAILED: no answer in time"
    except MemoryError:
        return "FAILED: out of memory"
    except Exception:  # noqa: BLE001  # whatever comes is what this run is looking for
        return f"FAILED: {traceback.format_exc(limit=-2)}"
    return "read" if reading.trusses else "FAILED: no truss and no refusal"


def run(first: int, count: int) -> int:
    """Mutants `first` up to `first + count`; the number of failures."""
    signal.signal(signal.SIGALRM, _too_long)
    held = fixtures()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    answers: Counter[str] = Counter()
    slowest = (0.0, first)
    for number in range(first, first + count):
        data = mutant(held, number)
        start = perf_counter()
        signal.alarm(SECONDS)
        said = answer(data)
        signal.alarm(0)
        slowest = max(slowest, (perf_counter() - start, number))
        answers[said if said.startswith("FAILED") else said.split(" at ")[0]] += 1
        if said.startswith("FAILED"):
            sys.stdout.write(f"{number}: {said}\n")
            sys.stdout.flush()
    failed = sum(times for said, times in answers.items() if said.startswith("FAILED"))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    refused = count - answers["read"] - failed
    sys.stdout.write(
        f"{count} mutants from {first}: {answers['read']} read, {refused} refused in words, "
        f"{failed} failed; slowest {slowest[0]:.1f} s (number {slowest[1]}); peak {peak} MB\n"
    )
    return failed


def _too_long(_signal: int, _frame: FrameType | None) -> None:
    raise TimeoutError


if __name__ == "__main__":
    numbers = [int(text) for text in sys.argv[1:]] or [1000]
    sys.exit(1 if run(*(numbers if len(numbers) > 1 else (0, numbers[0]))) else 0)
