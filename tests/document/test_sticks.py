"""Sticks must have segments of some length, curves that fit, and loads that lie on them."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import pytest

from tests.document.small import SMALL, changed, only_fault, taken
from trussio.document.sticks import distances
from trussio.model.truss import MemberId

if TYPE_CHECKING:
    from trussio.model.truss import Json


def stick(through: list[Json], joints: dict[str, list[float]], **more: Json) -> dict[str, Json]:
    """A document with one stick."""
    return {
        "format": "trussio/truss",
        "version": 1,
        "title": "One stick",
        "units": "si",
        "joints": {name: {"x": x, "y": y} for name, (x, y) in joints.items()},
        "members": {"s": {"through": through, **more}},
    }


def curve(radius: float, bows: str = "up") -> dict[str, Json]:
    """The curve of a stick."""
    return {"curve": {"radius": radius, "bows": bows}}


@pytest.mark.parametrize(
    ("document", "where", "says"),
    [
        (stick(["A", "B"], {"A": [5, 5], "B": [5, 5]}), "through/1", "lie on the same place, so the segment"),
        (
            stick(["A", "B"], {"A": [1000, 0], "B": [1000.000001, 0]}),
            "through/1",
            '"A" and "B" lie on the same place',
        ),
        (
            stick(["A", "B", "C"], {"A": [0, 0], "B": [9, 0], "C": [4, 0]}),
            "through/2",
            'from "B" the stick goes straight back to "C"',
        ),
        (stick(["A", "B", "C"], {"A": [0, 0], "B": [9, 0], "C": [0, 8.9e-4]}), "through/2", "straight back"),
        (stick(["A", "B", "C"], {"A": [0, 0], "B": [0, 9], "C": [0, -9]}), "through/2", "straight back"),
        (
            stick(["A", "B"], {"A": [0, 0], "B": [8, 0]}, **curve(3.9999)),
            "curve/radius",
            "the radius 3.9999 is under half of segment A-B, which is 8 long.",
        ),
        (
            stick(["A", "B"], {"A": [0, 0], "B": [0, 8]}, **curve(9)),
            "curve/bows",
            'segment A-B is vertical, where "up" does not say to which side it bows.',
        ),
        (
            stick(["A", "B", "C"], {"A": [0, 0], "B": [8, 8], "C": [8, 0]}, **curve(20, "down")),
            "curve/bows",
            "segment B-C is vertical",
        ),
        (stick(["A", "B", "A"], {"A": [0, 0], "B": [9, 0]}), "through/2", '"A" stands twice in this list.'),
        (stick(["A", "A"], {"A": [0, 0]}), "through/1", '"A" stands twice in this list.'),
    ],
)
def test_a_stick_that_no_roof_holds_is_refused(document: dict[str, Json], where: str, says: str) -> None:
    fault = only_fault(document)
    assert fault.where == f"/members/s/{where}"
    assert says in fault.what
    assert fault.do


@pytest.mark.parametrize(
    "document",
    [
        stick(["A", "B"], {"A": [1000, 0], "B": [1000.00001, 0]}),
        stick(["A", "B", "C"], {"A": [0, 0], "B": [9, 0], "C": [0, 9.1e-4]}),
        stick(["A", "B", "C"], {"A": [0, 0], "B": [9, 0], "C": [18, 0]}),
        stick(["A", "B"], {"A": [0, 0], "B": [8, 0]}, **curve(4)),
        stick(["A", "B"], {"A": [0, 0], "B": [1e-3, 8]}, **curve(9)),
        stick(["A", "B", "C", "D"], {"A": [0, 0], "B": [9, 0], "C": [9, 9], "D": [0, 9]}),
    ],
    ids=["short", "almost back", "straight on", "half a circle", "almost vertical", "round a corner"],
)
def test_what_only_just_holds_is_taken(document: dict[str, Json]) -> None:
    assert taken(document).members[MemberId("s")].through


def test_coincident_joints_without_a_segment_between_them_are_no_fault() -> None:
    joints = {"A": [0.0, 0.0], "B": [9.0, 0.0], "C": [9.0, 0.0]}
    assert len(taken(stick(["A", "B"], joints)).joints) == 3


def test_distances_run_along_the_arcs() -> None:
    """Two half circles of radius 4: pi r each."""
    truss = taken(stick(["A", "B", "C"], {"A": [0, 0], "B": [8, 0], "C": [16, 0]}, **curve(4)))
    found = distances(truss, truss.members[MemberId("s")])
    assert list(found.values()) == pytest.approx([0, 4 * pi, 8 * pi])


def test_a_loaded_curved_stick_that_passes_a_joint_twice_running_is_one_fault() -> None:
    """Its arc from a joint to itself has no length, and nothing asks for it."""
    load: Json = {"member": "s", "down": 1}
    loads: dict[str, Json] = {"loads": {"cases": {"D": {"kind": "dead", "loads": [load]}}}}
    document = stick(["A", "A", "B"], {"A": [0, 0], "B": [9, 0]}, **curve(20)) | loads
    assert only_fault(document).where == "/members/s/through/1"


LONG = 105.0
"""The length of `top` in the small truss: 84 across, 63 up."""


@pytest.mark.parametrize(
    ("load", "where", "says"),
    [
        ({"member": "top", "at": LONG * (1 + 1e-8)}, "at", '"top" is 105 long, so nothing lies 105 along it.'),
        ({"member": "top", "at": 106}, "at", '"top" is 105 long, so nothing lies 106 along it.'),
        ({"member": "top", "down": 1, "to": 106}, "to", '"top" is 105 long, so nothing lies 106 along it.'),
        ({"member": "top", "down": 1, "from": 106}, "from", '"top" is 105 long, so nothing lies 106 along it.'),
        ({"member": "top", "down": 1, "from": 60, "to": 60}, "from", 'the load does not run forward along "top".'),
        ({"member": "top", "down": 1, "from": 60, "to": 50}, "from", 'the load does not run forward along "top".'),
        ({"member": "top", "down": 1, "from": LONG}, "from", 'the load does not run forward along "top".'),
        ({"member": "top", "down": 1, "to": 0}, "to", 'the load does not run forward along "top".'),
        (
            {"member": "top", "down": 1, "from": "T1", "to": "B0"},
            "from",
            'the load does not run forward along "top".',
        ),
        (
            {"member": "bottom", "down": 1, "from": "B1", "to": 84},
            "from",
            'the load does not run forward along "bottom".',
        ),
        ({"role": "web", "down": 1, "to": 64}, "to", '"w1" is 63 long, so nothing lies 64 along it.'),
        ({"role": "top-chord", "down": 1, "from": 105.1}, "from", '"top" is 105 long'),
    ],
)
def test_a_load_off_its_stick_is_refused(load: Json, where: str, says: str) -> None:
    fault = only_fault(changed(SMALL, "/loads/cases/D/loads/1", load))
    assert fault.where == f"/loads/cases/D/loads/1/{where}"
    assert says in fault.what
    assert fault.do


@pytest.mark.parametrize(
    "load",
    [
        {"member": "top", "at": LONG},
        {"member": "top", "at": LONG * (1 + 1e-10)},
        {"member": "top", "at": 0},
        {"member": "bottom", "at": "B1", "fy": -1},
        {"member": "bottom", "down": 1, "from": "B1", "to": "B2"},
        {"member": "bottom", "down": 1, "from": 83.9, "to": "B1"},
        {"member": "bottom", "down": [1, 2], "from": "B1"},
        {"role": "web", "down": 1, "from": 0, "to": 63},
    ],
)
def test_a_load_that_just_reaches_is_taken(load: Json) -> None:
    assert taken(changed(SMALL, "/loads/cases/D/loads/1", load)).loads


def test_a_load_on_a_stick_at_fault_brings_no_second_fault() -> None:
    document = changed(SMALL, "/loads/cases/D/loads/1", {"member": "top", "down": 1, "from": 500})
    fault = only_fault(changed(document, "/joints/T1", {"x": 84, "y": "63"}))
    assert fault.where == "/joints/T1/y"
