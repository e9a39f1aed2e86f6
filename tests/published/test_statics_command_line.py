"""Published problems of superposition, stages, arches and trussed beams, through the command line.

Each goes out as a truss document, through `trussio analyse --json`, and what that prints is read and held against
the printed values. Sources stand with each entry in `statics.json`; strength `memory` means written from memory,
and derived again.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import trussio
from tests.published.statics import ENTRIES, Published, measured
from tests.published.test_statics_staged import RAW, staged
from trussio.document.encode import write_truss
from trussio.document.results import read_results
from trussio.model.loading import RunId

if TYPE_CHECKING:
    from pathlib import Path

    from trussio.model.forces import RunForces
    from trussio.model.truss import Truss

BY_ID = {entry.id: entry for entry in ENTRIES}
NAMED = ("SP01", "SP02", "SP03", "SP04", "DT06", "FR10", "FR11")
"""Superposition four times, SP03 in stages; a tied arch of bars; a trussed beam; an arch with two hinges."""


def through_the_command_line(truss: Truss, folder: Path) -> dict[RunId, RunForces]:
    path = folder / "truss.json"
    path.write_text(write_truss(truss), encoding="utf-8")
    ran = trussio("analyse", path, "--json")
    assert ran.code == 0, ran.err
    return dict(read_results(ran.out.encode(), name="results").runs)


@pytest.mark.parametrize("name", NAMED)
def test_printed_values_are_met(name: str, tmp_path: Path) -> None:
    entry = BY_ID[name]
    runs = through_the_command_line(entry.truss, tmp_path)
    compared = [path for path in entry.published if path not in entry.wrong]
    assert compared
    for path in compared:
        found = measured(entry, runs, path)
        assert entry.agrees(found, entry.published[path]), (entry.source, path, found)


@pytest.mark.parametrize("name", NAMED)
def test_a_value_that_is_off_by_a_tenth_is_not(name: str, tmp_path: Path) -> None:
    """The tolerances of the sources are narrower than that."""
    entry = BY_ID[name]
    runs = through_the_command_line(entry.truss, tmp_path)
    off = [
        path
        for path in entry.published
        if path not in entry.wrong
        and abs(entry.published[path]) > 10 * entry.tol_abs
        and entry.agrees(1.1 * measured(entry, runs, path), entry.published[path])
    ]
    assert off == []


@pytest.mark.parametrize(("stage", "run"), [("stage1", "one/now"), ("cumulative", "two/now")])
def test_stages_of_the_document_meet_the_printed_values(stage: str, run: str, tmp_path: Path) -> None:
    """SP03: a cantilever that is propped after its first load."""
    entry: Published = BY_ID["SP03"]
    found = through_the_command_line(staged(), tmp_path)
    runs = {RunId("run"): found[RunId(run)]}
    for joint, reactions in RAW["SP03"]["published"]["cases"][stage]["reactions"].items():
        for part, figure in reactions.items():
            assert entry.agrees(measured(entry, runs, f"run.reactions.{joint}.{part}"), figure), (joint, part)


def test_the_stages_in_another_order_do_not_meet_them(tmp_path: Path) -> None:
    """Propped from the start, the prop takes of both loads."""
    truss = staged()
    one, two = truss.stages
    shore, load = two.actions
    early = replace(truss, stages=(one._replace(actions=(shore, *one.actions)), two._replace(actions=(load,))))
    found = through_the_command_line(early, tmp_path)
    runs = {RunId("run"): found[RunId("two/now")]}
    entry = BY_ID["SP03"]
    prop = RAW["SP03"]["published"]["cases"]["cumulative"]["reactions"]["b"]["y"]
    assert not entry.agrees(measured(entry, runs, "run.reactions.b.y"), prop)
