"""Generated loads as text: a line for each case with clause, total and source mark, and what is not covered."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Final

from trussio.drawing.quantities import force_scale
from trussio.loads.pencil import pencil_checks
from trussio.model.generated import edited

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.quantities import Scale
    from trussio.model.check import Line
    from trussio.model.site import Generated, PencilCheck
    from trussio.model.truss import Truss

WIDTH: Final = 110
AGREES: Final = 1e-6
EDITED: Final = "EDITED since it was generated; the rule below no longer describes it"


def load_text(truss: Truss, *, derivation: bool) -> str:
    """Every generated case, the combinations by name, and what none of them covers."""
    basis = truss.loads.basis
    if basis is None:
        return "No loads were generated.\n"
    checks, changed = pencil_checks(truss), set(edited(truss.loads))
    scale = force_scale(truss.units, max((c.by_loads or 0.0 for c in checks.values()), default=0.0))
    told_already: set[Line] = set()
    lines = [f"{truss.title}: {len(basis.cases)} cases, {len(basis.combinations)} combinations, {basis.edition}"]
    for run, told in basis.cases.items():
        words = _taken_out() if run not in checks else _totals(checks[run], scale)
        lines.append(f"  {run}: {told.says} {told.clause}; {words}; {told.mark}")
        lines += [f"    {EDITED}"] if run in changed else []
        lines += _derivation(told, told_already) if derivation else ()
    lines.append(f"  combinations: {', '.join(basis.combinations) or 'none'}")
    by_clause = sorted({f"{told.clause}: {told.mark}" for told in basis.combinations.values()})
    lines += [f"    {words}" for words in by_clause] if derivation else []
    lines += [f"    {run}: {EDITED}" for run in basis.combinations if run in changed]
    for words in basis.not_evaluated:
        lines += wrap(f"not evaluated: {words}", WIDTH, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines) + "\n"


def _taken_out() -> str:
    return "taken out since it was generated"


def _totals(check: PencilCheck, scale: Scale) -> str:
    """The total, and the pencil check beside it."""
    if check.by_loads is None:
        return "total not evaluated, a section or a density is missing"
    if check.by_area is None:
        return f"{scale.text(check.by_loads)} down"
    by_area = scale.text(check.by_area)
    if abs(check.by_area - check.by_loads) <= AGREES * max(abs(check.by_area), abs(check.by_loads)):
        return f"{scale.text(check.by_loads)} down, the same by area"
    return f"{scale.text(check.by_loads)} down, BY AREA {by_area}"


def _derivation(told: Generated, already: set[Line]) -> Iterator[str]:
    """The numbers behind a case, each once, and its diagram."""
    for line in (line for line in told.lines if line not in already):
        already.add(line)
        formula = f" = {line.formula}" if line.formula else ""
        unit = f" {line.unit}" if line.unit else ""
        yield f"    {line.symbol}{formula} = {line.value:.5g}{unit}  [{line.clause}; {line.source}]"
    if told.diagram:
        points = ", ".join(f"({x:.6g}, {load:.4g})" for x, load in told.diagram)
        yield f"    diagram (x, load on plan): {points}"
