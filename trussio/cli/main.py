"""The command line: help, and the verb that was asked for.

Nothing is loaded here that `trussio --help` can do without; `trussio.cli.verbs` runs a verb and knows its exit
codes.
"""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

VERBS = {
    "convert": "a drawing into a truss document, a document into a drawing, one unit system into the other",
    "load": "load cases and combinations from site and surfaces, written into the document",
    "audit": "what the model is, what was guessed, what would fall down: before any force",
    "analyse": "forces, reactions and movements in every run",
    "check": "per cent of allowable of members and connections, worst first, and why",
    "recheck": "forces a second time by another principle, or somebody's table against it",
    "report": "the page: drawing, findings, forces, recheck, assumptions, cautions",
    "review": "all of it, from one or more drawings or documents, into a folder",
    "explain": "what the code of a finding means, why it matters on a truss, how to cure it",
}

CANNOT_WRITE = 6
INTERRUPTED = 130
SELDOM = 100_000
"""New objects between two collections: loading modules makes many that stay, and looking at them costs a fifth of
the time of a short command."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line and return the exit code."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    words = list(sys.argv[1:] if argv is None else argv)
    usual = gc.get_threshold()
    gc.set_threshold(SELDOM, *usual[1:])
    try:
        code = _run(words)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        _close_stdout()
        return 0
    except OSError as error:
        sys.stderr.write(
            f"trussio: cannot-write\n  stdout: The system refuses: {error.strerror}. Make room for it.\n"
        )
        _close_stdout()
        return CANNOT_WRITE
    finally:
        gc.set_threshold(*usual)
    return code


def _close_stdout() -> None:
    """Nothing more can be written there, at the end of the process neither."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _run(words: list[str]) -> int:
    if words and words[0] in VERBS:
        return int(import_module("trussio.cli.verbs").run_verb(words[0], words[1:]))
    if words and not words[0].startswith("-"):
        return _unknown_verb(words[0])
    return int(import_module("trussio.cli.overview").overview(VERBS, words))


def _unknown_verb(verb: str) -> int:
    near = [name for name in VERBS if name[:3] == verb[:3] or sorted(name) == sorted(verb)]
    hint = f"Did you mean `{near[0]}`?" if near else f"The verbs are {', '.join(VERBS)}."
    sys.stderr.write(f"trussio: there is no verb `{verb}`. {hint}\n")
    return 2
