"""What `trussio` alone and `trussio --help` show."""

from __future__ import annotations

from argparse import ArgumentParser, RawDescriptionHelpFormatter

from trussio.version import __version__

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

DESCRIPTION = """\
From the drawing of an old timber roof truss to a model that can be trusted,
with the forces proved twice."""

EPILOG = """\
first steps:
  trussio review drawing.dxf --basis basis.json -o out     everything, with a page to look at
  trussio audit truss.json                                 can this model be trusted?
  trussio recheck truss.json --against forces.csv          are these forces right?

Results hold only for the model as entered. They support an engineer's own judgement and are no engineering
opinion; local codes and the licensed engineer decide.
"""


class Help(RawDescriptionHelpFormatter):
    """Help of one width: asking the terminal for its own loads a compression library with every option."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=100)


def overview(verbs: Mapping[str, str], words: Sequence[str]) -> int:
    """Show the verbs, or the version."""
    listed = "\n".join(f"  {verb:<8} {does}" for verb, does in verbs.items())
    parser = ArgumentParser(
        prog="trussio",
        usage="trussio VERB [options] FILE",
        description=f"{DESCRIPTION}\n\nverbs (each has its own --help):\n{listed}",
        epilog=EPILOG,
        formatter_class=Help,
    )
    parser.add_argument("--version", action="version", version=f"trussio {__version__}")
    parser.parse_args(words)
    parser.print_help()
    return 0
