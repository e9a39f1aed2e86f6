"""Cases that cannot be evaluated at some moment of the work, and a truss without them.

A load may mean nothing on what stands at one moment and mean something at another: a moment at a joint where two
sticks run through has nothing that takes it. Such a case is lost, with every run that depends on it, and no other.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.errors import CannotAnalyseError
from trussio.model.history import after, beginning, structure
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.model.history import Moment
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Truss


def unreadable(truss: Truss, idealisation: Idealisation) -> dict[RunId, str]:
    """The cases that cannot be evaluated on what stands at some moment, each with the first reason."""
    found: dict[RunId, str] = {}
    for moment in _moments(truss):
        there = structure(truss, moment)
        for case in truss.loads.cases:
            if case not in found:
                try:
                    read(there, idealisation=idealisation, runs=[case])
                except CannotAnalyseError as error:
                    if error.code == "load":
                        found[case] = error.what
    return found


def without_cases(truss: Truss, lost: Mapping[RunId, str]) -> Truss:
    """A truss without some cases and the combinations that hold them."""
    cases = {name: case for name, case in truss.loads.cases.items() if name not in lost}
    runs = truss.loads.combinations.items()
    kept = {run: by for run, by in runs if not any(factor and case in lost for case, factor in by.items())}
    return replace(truss, loads=replace(truss.loads, cases=cases, combinations=kept))


def _moments(truss: Truss) -> Iterator[Moment]:
    moment = beginning(truss)
    for stage in truss.stages:
        for action in stage.actions:
            moment = after(moment, action)
            yield moment
    if not truss.stages:
        yield moment
