"""A table of axial forces that somebody claims, read: CSV typed from anywhere, or a results document.

Rounding: of the column of forces, the fewest decimals and the fewest significant figures that reproduce it are
taken, and for each force the looser of the two; trailing zeros prove nothing. Half a unit of the last place that
counts is what rounding can hide. Tension is positive.
"""

from __future__ import annotations

from decimal import Decimal
from hashlib import sha256
from typing import TYPE_CHECKING

from trussio.document.forces_csv import DIGITS, TableInCsv
from trussio.document.reading import text_of_file
from trussio.document.results import read_results
from trussio.model.check_record import ForcesTable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.document.forces_csv import Column
    from trussio.model.loading import RunId
    from trussio.model.truss import SegmentId, Truss

    Forces = dict[RunId, dict[SegmentId, float]]


def read_forces_table(data: bytes, *, name: str, truss: Truss) -> ForcesTable:
    """The forces claimed for a truss in the bytes of a file; `name` is what messages call the file.

    A segment of the truss has its id in whichever order its joints stand; one that the truss does not have is
    kept under the id as written. The digest is that of the file's bytes. Raises UnreadableError: with `bad-table`
    and every line at fault for CSV, as `read_results` does for a results document, which begins with a brace.
    """
    text = text_of_file(data, name=name)
    digest = "sha256:" + sha256(data).hexdigest()
    if not text.lstrip().startswith("{"):
        runs, rounding = _in_base(*TableInCsv(text, name=name, truss=truss).read())
        return ForcesTable(name=name, digest=digest, runs=runs, rounding=rounding)
    results = read_results(data, name=name)
    column: Column = {
        run: {segment: Decimal(repr(forces.axial)) for segment, forces in of.segments.items()}
        for run, of in results.runs.items()
    }
    runs, rounding = _in_base(column, Decimal(1))
    return ForcesTable(
        name=name,
        digest=digest,
        runs=runs,
        rounding=rounding,
        idealisation=results.idealisation,
        model=results.model,
        state=results.state,
    )


def half_units(column: Sequence[Decimal]) -> list[Decimal]:
    """Half of the last place that counts, for each number of a column; 0 in a column of zeros."""
    plain = [number.normalize(DIGITS) for number in column]
    written = [number.as_tuple() for number in plain if number]
    place = min((int(number.exponent) for number in written), default=0)
    figures = max((len(number.digits) for number in written), default=0)
    halves = []
    for number in plain:
        power = max(place, number.adjusted() - figures + 1) if number else place
        halves.append(Decimal(5).scaleb(power - 1) if written else Decimal(0))
    return halves


def _in_base(column: Column, factor: Decimal) -> tuple[Forces, Forces]:
    """Forces, and what their rounding can hide, in base forces."""
    halves = iter(half_units([number for of in column.values() for number in of.values()]))
    forces = {run: {segment: _scaled(n, factor) for segment, n in of.items()} for run, of in column.items()}
    rounding = {run: {segment: _scaled(next(halves), factor) for segment in of} for run, of in column.items()}
    return forces, rounding


def _scaled(number: Decimal, factor: Decimal) -> float:
    return float(DIGITS.multiply(number, factor))
