"""The command line: finds the verb, runs it, and turns errors into exit codes.

Exit codes: 0 done; 1 findings or open questions; 2 usage; 3 input unreadable or not valid; 4 valid input that
cannot be analysed; 5 forces disagree; 6 output could not be written; 70 internal error; 130 interrupted.
"""

from __future__ import annotations

import argparse
import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING, Final

from trussio.errors import CannotAnalyseError, CannotWriteError, TrussioError, UnreadableError, UsageError
from trussio.version import __version__

if TYPE_CHECKING:
    from collections.abc import Sequence

VERBS: Final = {
    "convert": "a drawing into a truss document, a document into a drawing, one unit system into the other",
    "audit": "what the model is, what was guessed, what would fall down: before any force",
    "analyse": "forces, reactions and movements in every run",
    "recheck": "forces a second time by another principle, or somebody's table against it",
    "report": "the page: drawing, findings, forces, recheck, assumptions, cautions",
    "review": "all of it, from one or more drawings or documents, into a folder",
    "explain": "what the code of a finding means, why it matters on a truss, how to cure it",
}

EXIT_CODES: Final[tuple[tuple[type[TrussioError], int], ...]] = (
    (UsageError, 2),
    (UnreadableError, 3),
    (CannotAnalyseError, 4),
    (CannotWriteError, 6),
)
INTERNAL: Final = 70
INTERRUPTED: Final = 130

DESCRIPTION: Final = """\
From the drawing of an old timber roof truss to a model that can be trusted,
with the forces proved twice."""

EPILOG: Final = """\
first steps:
  trussio review drawing.dxf --basis basis.json -o out     everything, with a page to look at
  trussio audit truss.json                                 can this model be trusted?
  trussio recheck truss.json --against forces.csv          are these forces right?

Results hold only for the model as entered. They support an engineer's own judgement and are no engineering
opinion; local codes and the licensed engineer decide.
"""


class _Help(argparse.RawDescriptionHelpFormatter):
    """Help of one width: asking the terminal for its own loads a compression library with every option."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=100)


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line and return the exit code."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    words = list(sys.argv[1:] if argv is None else argv)
    try:
        code = _run(words)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return code


def _run(words: list[str]) -> int:
    if not words or words[0].startswith("-"):
        return _without_verb(words)
    verb = words[0]
    if verb not in VERBS:
        return _unknown_verb(verb)
    try:
        return _run_verb(verb, words[1:])
    except TrussioError as error:
        if "--debug" in words:
            raise
        sys.stderr.write(_message(verb, error))
        return next((code for kind, code in EXIT_CODES if isinstance(error, kind)), INTERNAL)
    except BrokenPipeError:
        raise
    except Exception as error:
        if "--debug" in words:
            raise
        sys.stderr.write(
            f"trussio {verb}: internal error ({type(error).__name__}: {error}).\nThis is a fault of trussio, "
            "not of your file. Please report it with what the same command prints with --debug.\n"
        )
        return INTERNAL


def _run_verb(verb: str, words: list[str]) -> int:
    module = import_module(f"trussio.cli.{verb}")
    parser = argparse.ArgumentParser(
        prog=f"trussio {verb}",
        description=str(module.__doc__).partition("\n")[0],
        epilog=module.EXAMPLES,
        formatter_class=_Help,
        allow_abbrev=False,
    )
    module.add_arguments(parser)
    parser.add_argument("--debug", action="store_true", help="show where an error was raised")
    return int(module.run(parser.parse_args(words), sys.stdout, sys.stderr))


def _without_verb(words: list[str]) -> int:
    verbs = "\n".join(f"  {verb:<8} {does}" for verb, does in VERBS.items())
    parser = argparse.ArgumentParser(
        prog="trussio",
        usage="trussio VERB [options] FILE",
        description=f"{DESCRIPTION}\n\nverbs (each has its own --help):\n{verbs}",
        epilog=EPILOG,
        formatter_class=_Help,
    )
    parser.add_argument("--version", action="version", version=f"trussio {__version__}")
    parser.parse_args(words)
    parser.print_help()
    return 0


def _unknown_verb(verb: str) -> int:
    near = [name for name in VERBS if name[:3] == verb[:3] or sorted(name) == sorted(verb)]
    hint = f"Did you mean `{near[0]}`?" if near else f"The verbs are {', '.join(VERBS)}."
    sys.stderr.write(f"trussio: there is no verb `{verb}`. {hint}\n")
    return 2


def _message(verb: str, error: TrussioError) -> str:
    """The error and every fault that it carries, one a line."""
    lines = [f"trussio {verb}: {error.code}"] + [f"  {fault}" for fault in error.faults]
    return "\n".join(lines) + "\n"
