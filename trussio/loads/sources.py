"""How each rule and value is known, in words that stand beside it wherever a person sees it.

A rule is *read* where the source named was opened for it, *from memory* where not; then the licensed text must be
looked at before the value is used. *Stated* values come from the document, *assumed* ones from nobody.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.model.check import Line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.model.site import Edition

MEMORY: Final = "from memory, check against the licensed text"
STATED: Final = "stated in the document"
SURVEYED: Final = "from the surveyed joints"
ASSUMED: Final = "assumed, nobody stated it"
STATICS: Final = "own derivation from statics"

GUIDE: Final = "read in O'Rourke, guide to the snow load provisions of ASCE 7-10"
METAL_2006: Final = "read in Metal Building Systems Manual, 2006, pp. 154-157"
METAL_2012: Final = "read in Metal Building Systems Manual, 2012, pp. 150-151"
METAL_IBC: Final = "read in Metal Building Systems Manual, section 1.3.2"
DRIFTS: Final = "read in Crandall, Same roof, different snow drift loads"
FACTORS: Final = "read in Ochshorn, Structural elements, companion page on snow"
SLIPPERY_11: Final = "read in a published discussion of ASCE 7-05 figure 7-2b"
NEW_YORK: Final = "read in New York City Building Code 1605.3.1; numbering from memory"
STRENGTH_LEVEL: Final = "read in Structure magazine on ASCE 7-22 snow"
STEEL_EUROPE: Final = "read in Steel Buildings in Europe, Single-storey buildings, part 3"
LIVE_COURSE: Final = "read in a university course on wood design, problem 2.5"

WEAKEST: Final = (MEMORY, ASSUMED)
"""Marks that a case carries on its face where any of its lines has them, the first before the second."""

ASCE: Final[dict[Edition, str]] = {"asce7-10": "ASCE 7-10", "asce7-16": "ASCE 7-16", "asce7-22": "ASCE 7-22"}
SNOW_CODE: Final = "EN 1991-1-3:2003"


def weakest(lines: Iterable[Line], otherwise: str) -> str:
    """The mark of a whole case: the weakest of its lines, or that of its own rule."""
    marks = [otherwise, *(line.source for line in lines)]
    return next((weak for weak in WEAKEST if any(mark.startswith(weak) for mark in marks)), otherwise)
