"""Options that several verbs share, said once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from argparse import ArgumentParser

UNITS: Final = ("us", "si", "in", "ft", "mm", "cm", "m")


def add_file(parser: ArgumentParser) -> None:
    """The file to read, and what a drawing cannot say."""
    parser.add_argument(
        "file", metavar="FILE", help="truss document (.json) or drawing (.dxf); - reads a document"
    )
    add_drawing(parser)


def add_drawing(parser: ArgumentParser) -> None:
    """What settles the questions that a drawing leaves open."""
    group = parser.add_argument_group("when FILE is a drawing")
    group.add_argument("--basis", metavar="FILE", help="what a drawing cannot say: materials, sections, loads")
    group.add_argument(
        "--units", choices=UNITS, help="one drawing unit is an in, ft, mm, cm or m; or the document's system"
    )
    group.add_argument(
        "--scale", metavar="FACTOR", type=float, help="real length of one drawn length (48 for 1:48)"
    )
    group.add_argument("--part", metavar="N", type=int, help="the N-th truss of a sheet, from the left")
    group.add_argument(
        "--layer",
        metavar="NAME=WHAT",
        action="append",
        default=[],
        help="what lies on a layer: member, ignore, top-chord, bottom-chord, web, other; may be given again",
    )
    group.add_argument("--answers", metavar="FILE", help="answers to the questions that reading asked")


def add_idealisation(parser: ArgumentParser) -> None:
    """How the sticks are taken to act, and in which state."""
    parser.add_argument(
        "--idealisation",
        choices=("pinned", "continuous"),
        help="continuous: sticks bend, their ends pinned (default); pinned: every segment a two-force bar",
    )
    parser.add_argument(
        "--state", choices=("found", "built"), help="as found in the survey (default), or as built"
    )


def add_despite(parser: ArgumentParser) -> None:
    """The way past a stop."""
    parser.add_argument(
        "--despite-stops",
        action="store_true",
        help="go on over a stop with the runs that it leaves; the output says so on its face",
    )


def add_output(parser: ArgumentParser, *, kinds: str) -> None:
    """Where the output goes."""
    parser.add_argument("-o", "--output", metavar="OUT", help=f"write to a file ({kinds}) instead of stdout")
    add_force(parser)


def add_force(parser: ArgumentParser) -> None:
    """Leave to overwrite."""
    parser.add_argument("--force", action="store_true", help="replace a file that exists")


def add_json(parser: ArgumentParser) -> None:
    """The document of the verb instead of text."""
    parser.add_argument("--json", action="store_true", help="the verb's JSON document on stdout")


def add_variations(parser: ArgumentParser) -> None:
    """How far off the survey may be, and by how much sticks differ."""
    group = parser.add_argument_group("how far off the survey may be")
    group.add_argument(
        "--survey-tolerance",
        metavar="LENGTH",
        help="joints may lie so far off in x and in y, all alike likely: 0.5in, 12mm, or a number of base units",
    )
    group.add_argument(
        "--stiffness-spread", metavar="PART", help="every stick may be stiffer or softer by so much: 10%% or 0.1"
    )
    group.add_argument("--samples", metavar="N", type=int, help="so many variations are calculated (1000)")
