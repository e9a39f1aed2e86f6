"""The rule that sets a grade of its day against what counts now: its stamp or name, and how it would stand.

The values of its day are bending and tension of a stamp, and of Douglas fir what the list of the 1950s gives to it
or to the name, compression too. The real checks are made again with them. Only values that the governing check
uses and that differ are told. A name that today's tables know for the piece may be today's and is no old grade.
Source: `reference`, with its marks.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.model.check import ratio_words
from trussio.timber.reference import STAMP, STATED_VALUES, values_of_its_day
from trussio.timber.review import checks_of
from trussio.timber.stock import PSI, Stock

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.material import Material
    from trussio.timber.cause_facts import Facts

WORDS: Final = {"Ft": "tension", "Fb": "bending", "Fc": "compression"}
SAME: Final = 0.005
"""Part of a value within which two are the same."""


def old_grade(facts: Facts) -> str:
    """Raised where a grade of its day counted otherwise, in what the governing check uses, than it counts now."""
    segment, check = facts.segment, facts.check
    material = None if segment is None else facts.truss.material_of(segment.member)
    if material is None or material.grade is None or check.ratio is None:
        return ""
    then = _then(facts, material)
    now = {symbol: facts.figure(symbol) for symbol in then}
    told = {
        symbol: (value, known)
        for symbol, (value, _) in then.items()
        if (known := now[symbol]) is not None and abs(value - known) > SAME * known
    }
    before = _by_its_day(facts, {symbol: value for symbol, (value, _) in told.items()}) if told else None
    if before is None:
        return ""
    listed = any(then[symbol][1] for symbol in told)
    kind = "stamp" if STAMP.fullmatch(material.grade) else "grade"
    counted = _together(f"{value:.0f} psi in {WORDS[symbol]}" for symbol, (value, _) in told.items())
    since, stated = _now(material, {symbol: known for symbol, (_, known) in told.items()})
    counts = " and ".join(
        f"{_together(parts)} {how}" for parts, how in ((since, "since"), (stated, "as stated")) if parts
    )
    source = " (list of the 1950s, from memory)" if listed else ""
    values = "values" if len(told) > 1 else "value"
    stands = ratio_words(before, interaction=check.interaction)
    return (
        f"Its {kind} {material.grade.strip()} counted {counted} in its day{source} and counts {counts}: "
        f"by the {values} of its day it would stand at {stands}."
    )


def _now(material: Material, values: Mapping[str, float]) -> tuple[list[str], list[str]]:
    """What counts now by later practice, and what is stated of this very piece, in words."""
    own = material.reference or {}
    since = [f"{value:.0f} psi" for symbol, value in values.items() if symbol not in own]
    return since, [f"{value:.0f} psi" for symbol, value in values.items() if symbol in own]


def _then(facts: Facts, material: Material) -> Mapping[str, tuple[float, bool]]:
    """The values of its day (psi) and whether they are of the list; none where the grade may be today's."""
    grade = material.grade or ""
    if STAMP.fullmatch(grade) is None and facts.segment is not None:
        stock = facts.bench.stock(facts.segment.member)
        if not isinstance(stock, Stock) or stock.values.table != STATED_VALUES:
            return {}
    return values_of_its_day(grade, material.species or "")


def _by_its_day(facts: Facts, day: Mapping[str, float]) -> float | None:
    """The ratio of the governing check with other reference values (psi)."""
    truss, segment = facts.truss, facts.segment
    name = None if segment is None else truss.members[segment.member].material
    if segment is None or name is None:
        return None
    own = {symbol: value / PSI[truss.units] for symbol, value in day.items()}
    material = truss.materials[name]
    changed = replace(material, reference={**(material.reference or {}), **own})
    other = replace(truss, materials={**truss.materials, name: changed})
    bench = facts.bench.under(facts.bench.results, (facts.state,)).changed(other, facts.bench.given)
    for one in checks_of(bench, segment.id):
        if (one.what, one.clause, one.run) == (facts.check.what, facts.check.clause, facts.check.run):
            return one.ratio
    return None


def _together(parts: Iterable[str]) -> str:
    """Parts as one enumeration: `a`, `a and b`, `a, b and c`."""
    *first, last = parts
    return f"{', '.join(first)} and {last}" if first else last
