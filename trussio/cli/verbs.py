"""A verb run: its own arguments, and errors turned into exit codes.

Exit codes: 0 done; 1 findings or open questions; 2 usage; 3 input unreadable or not valid; 4 valid input that
cannot be analysed; 5 forces disagree; 6 output could not be written; 70 internal error; 130 interrupted.
"""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from errno import EDQUOT, EFBIG, ENOSPC, EPIPE
from importlib import import_module
from typing import Final

from trussio.cli.overview import Help
from trussio.errors import CannotAnalyseError, CannotWriteError, TrussioError, UnreadableError, UsageError

EXIT_CODES: Final[tuple[tuple[type[TrussioError], int], ...]] = (
    (UsageError, 2),
    (UnreadableError, 3),
    (CannotAnalyseError, 4),
    (CannotWriteError, 6),
)
INTERNAL: Final = 70
STDOUT_REFUSES: Final = frozenset({EPIPE, ENOSPC, EDQUOT, EFBIG})
"""What the system says where stdout takes no more; files are written elsewhere."""


def run_verb(verb: str, words: list[str]) -> int:
    """Run one verb and return its exit code."""
    try:
        return _run(verb, words)
    except TrussioError as error:
        if "--debug" in words:
            raise
        sys.stderr.write(_message(verb, error))
        return next((code for kind, code in EXIT_CODES if isinstance(error, kind)), INTERNAL)
    except Exception as error:  # whatever else it is, a fault of trussio is told in words and not as a traceback
        if "--debug" in words or (isinstance(error, OSError) and error.errno in STDOUT_REFUSES):
            raise
        sys.stderr.write(
            f"trussio {verb}: internal error ({type(error).__name__}: {error}).\nThis is a fault of trussio, "
            "not of your file. Please report it with what the same command prints with --debug.\n"
        )
        return INTERNAL


def _run(verb: str, words: list[str]) -> int:
    module = import_module(f"trussio.cli.{verb}")
    parser = ArgumentParser(
        prog=f"trussio {verb}",
        description=str(module.__doc__).partition("\n")[0],
        epilog=module.EXAMPLES,
        formatter_class=Help,
        allow_abbrev=False,
    )
    module.add_arguments(parser)
    parser.add_argument("--debug", action="store_true", help="show where an error was raised")
    return int(module.run(parser.parse_args(words), sys.stdout, sys.stderr))


def _message(verb: str, error: TrussioError) -> str:
    """The error and every fault that it carries, one a line."""
    lines = [f"trussio {verb}: {error.code}"] + [f"  {fault}" for fault in error.faults]
    return "\n".join(lines) + "\n"
