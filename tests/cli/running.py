"""The command line run in this process, with what it printed."""

from __future__ import annotations

from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from io import StringIO

from trussio.cli.main import main


@dataclass(frozen=True, kw_only=True)
class Ran:
    """What a command gave."""

    code: int
    out: str
    err: str


def trussio(*words: object) -> Ran:
    """Run one command; argparse's own exit counts as its exit code."""
    out, err = StringIO(), StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            code = main([str(word) for word in words])
        except SystemExit as ending:
            code = int(ending.code or 0)
    return Ran(code=code, out=out.getvalue(), err=err.getvalue())
