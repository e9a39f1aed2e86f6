"""What a tendon does to the connection at the heel: by the stick that its anchor bears on."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import trussio

SAMPLE = Path(__file__).parents[2] / "samples" / "hall" / "hall-truss-2-repaired.json"
RUN = "D+S"


def demand(folder: Path, bears_on: str | None) -> float:
    """The largest end force at the left heel in one run; without the tendon where it bears on nothing."""
    document = json.loads(SAMPLE.read_text(encoding="utf-8"))
    del document["stages"], document["members"]["w6n"], document["members"]["sister"]
    document["loads"]["combinations"] = {RUN: {"D": 1, "S": 1, "PT": 1}}
    tendon = document["tendons"]["t1"] | {"acts": "force", "loss": 0, "slip": 0}
    tendon["path"] = [{"joint": joint} | ({"bears_on": bears_on} if bears_on else {}) for joint in ("B0", "B8")]
    document["tendons"]["t1"] = tendon
    if bears_on is None:
        del document["tendons"], document["loads"]["cases"]["PT"], document["loads"]["combinations"][RUN]["PT"]
    path = folder / "heel.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    ran = trussio("check", path, "--json", "--fail-on", "never")
    assert ran.code == 0, ran.err
    standings = json.loads(ran.out)["standings"]
    (heel,) = [one["governs"] for one in standings if one["element"] == "/joints/B0"]
    assert heel["run"] == RUN
    return float(heel["demand"])


def test_an_anchor_on_the_chord_does_not_relieve_the_heel(tmp_path: Path) -> None:
    """The chord hands the whole force on at the heel, its own and what the anchor presses into it."""
    assert demand(tmp_path, "bottom") == pytest.approx(demand(tmp_path, None), rel=0.02)


def test_an_anchor_on_the_end_of_the_top_chord_relieves_the_heel_by_its_force(tmp_path: Path) -> None:
    """9.0 k of the level part go past the connection."""
    bare, relieved = demand(tmp_path, None), demand(tmp_path, "top")
    assert relieved < 0.85 * bare
