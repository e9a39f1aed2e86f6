"""A run of many variations: what the options for how far a survey may be off say, and bands written."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TextIO

from trussio.cli.bands_text import bands_text
from trussio.cli.streams import wants_json
from trussio.document.bands import write_bands
from trussio.drawing.feet_inches import feet_inches
from trussio.errors import UsageError
from trussio.uncertainty import SAMPLES, bands, long_wait
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from argparse import Namespace

    from trussio.formats import Opened
    from trussio.model.bands import Bands
    from trussio.units import UnitSystem

MILLIMETRES: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0}


def bands_asked(args: Namespace, opened: Opened, err: TextIO) -> tuple[Bands, str]:
    """The bands that the options ask for, and as they are to be written; a long wait is told on stderr first."""
    wait = long_wait(
        opened.truss,
        samples=SAMPLES if args.samples is None else args.samples,
        idealisation=args.idealisation or "continuous",
        state=args.state or "found",
    )
    if wait is not None:
        err.write(f"{wait}\n")
        err.flush()
    found = bands(
        opened.truss,
        digest=opened.digest,
        tolerance=tolerance_of(args.survey_tolerance, opened.truss.units),
        stiffness=spread_of(args.stiffness_spread),
        samples=SAMPLES if args.samples is None else args.samples,
        idealisation=args.idealisation or "continuous",
        state=args.state or "found",
        despite_stops=args.despite_stops,
    )
    return found, write_bands(found) if wants_json(args) else bands_text(opened.truss, found)


def tolerance_of(text: str | None, units: UnitSystem) -> float:
    """A length in base units. Raises UsageError `bad-tolerance`, or `no-tolerance` where there is none."""
    if text is None:
        raise UsageError(
            "no-tolerance",
            where="--survey-tolerance",
            what="--stiffness-spread and --samples go with --survey-tolerance, which is not given.",
            do="Add --survey-tolerance 0.5in, or 0 where joints lie exactly where they were surveyed.",
        )
    word = text.strip().lower()
    metric = next((unit for unit in MILLIMETRES if word.endswith(unit)), None)
    number = _number(word if metric is None else word.removesuffix(metric))
    if metric is not None and number is not None:
        millimetres = number * MILLIMETRES[metric]
        return millimetres / MM_PER_INCH if units == "us" else millimetres
    if number is not None:
        return number
    inches = feet_inches(word)
    if inches is None:
        raise UsageError(
            "bad-tolerance",
            where=text,
            what="--survey-tolerance takes a length.",
            do="Write 0.5in, 1/2 in, 12mm, or a number in inches or millimetres as the document has them.",
        )
    return float(inches) if units == "us" else float(inches) * MM_PER_INCH


def spread_of(text: str | None) -> float:
    """A part of one. Raises UsageError `bad-spread`."""
    if text is None:
        return 0.0
    word = text.strip()
    number = _number(word.removesuffix("%"))
    if number is None:
        raise UsageError(
            "bad-spread", where=text, what="--stiffness-spread takes a part.", do="Write 10% or 0.1, say."
        )
    return number / 100 if word.endswith("%") else number


def _number(word: str) -> float | None:
    try:
        number = float(word)
    except ValueError:
        return None
    return number if abs(number) < float("inf") else None
