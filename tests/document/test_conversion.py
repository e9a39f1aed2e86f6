"""From one unit system into the other: every quantity by its factor, and back without loss.

Factors: NIST SP 811 (2008), appendix B.8, seven digits, from memory.
"""

from __future__ import annotations

import json
from math import ulp
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.document.documents import truss_documents
from tests.document.small import taken
from trussio.document import conversion
from trussio.document.conversion import Conversion, to_units
from trussio.document.decode import read_truss
from trussio.document.encode import encode_truss
from trussio.model.truss import JointId

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.document.json_values import Object
    from trussio.model.truss import Json
    from trussio.units import UnitSystem

LENGTH = 25.4
FORCE = 4.448222
STRESS = 6.894757e-3
LINE = 14.59390e-3
DENSITY = 16.01846
MOMENT = 112.9848
SPRING = 0.1751268

ONES: dict[str, Json] = {
    "format": "trussio/truss",
    "version": 1,
    "title": "Ones",
    "units": "us",
    "joints": {"A": {"x": 1, "y": 1}, "B": {"x": 3, "y": 1}},
    "members": {"s": {"through": ["A", "B"], "curve": {"radius": 1, "bows": "up"}, "label": "2x10"}},
    "supports": {"A": {"holds": [[1, 1]], "springs": {"x": 1, "y": 1, "turn": 1}}},
    "sections": {"r": dict.fromkeys(("width", "depth", "gap", "area", "inertia", "shear_area", "plies"), 1)},
    "materials": {"m": {"E": 1, "G": 1, "density": 1, "expansion": 1, "reference": {"Fb": 1}}},
    "loads": {
        "cases": {
            "C": {
                "loads": [
                    {"joint": "A", "fx": 1, "fy": 1, "moment": 1},
                    {"member": "s", "from": 0.5, "to": 1, "down": 1},
                    {"member": "s", "right": [1, 2]},
                    {"member": "s", "from": "A", "across": 1},
                    {"member": "s", "at": 1, "fx": 1, "fy": 1},
                    {"member": "s", "at": "B", "fy": 1},
                    {"weight_of": "all"},
                    {"support": "A", "moves": {"x": 1, "y": 1, "turn": 1}},
                    {"member": "s", "longer": 1},
                    {"role": "web", "warmer": 9},
                ]
            }
        },
        "combinations": {"K": {"C": 1}},
    },
    "source": {
        "drawing": "d.dxf",
        "digest": "sha256:" + "0" * 64,
        "scale": "1",
        "changes": [{"kind": "end-joined", "says": "1 in", "where": [1, 1], "distance": 1}],
    },
    "notes": {"one": 1},
}

IN_SI: dict[str, float | str] = {
    "/units": "si",
    **dict.fromkeys(("/joints/A/x", "/joints/A/y", "/joints/B/y"), LENGTH),
    "/joints/B/x": 3 * LENGTH,
    "/members/s/curve/radius": LENGTH,
    "/supports/A/springs/x": SPRING,
    "/supports/A/springs/y": SPRING,
    "/supports/A/springs/turn": MOMENT,
    **dict.fromkeys(("/sections/r/width", "/sections/r/depth", "/sections/r/gap"), LENGTH),
    **dict.fromkeys(("/sections/r/area", "/sections/r/shear_area"), LENGTH**2),
    "/sections/r/inertia": LENGTH**4,
    **dict.fromkeys(("/materials/m/E", "/materials/m/G", "/materials/m/reference/Fb"), STRESS),
    "/materials/m/density": DENSITY,
    "/materials/m/expansion": 1.8,
    "/loads/cases/C/loads/0/fx": FORCE,
    "/loads/cases/C/loads/0/fy": FORCE,
    "/loads/cases/C/loads/0/moment": MOMENT,
    "/loads/cases/C/loads/1/from": LENGTH / 2,
    "/loads/cases/C/loads/1/to": LENGTH,
    "/loads/cases/C/loads/1/down": LINE,
    "/loads/cases/C/loads/2/right/0": LINE,
    "/loads/cases/C/loads/2/right/1": 2 * LINE,
    "/loads/cases/C/loads/3/across": LINE,
    "/loads/cases/C/loads/4/at": LENGTH,
    "/loads/cases/C/loads/4/fx": FORCE,
    "/loads/cases/C/loads/4/fy": FORCE,
    "/loads/cases/C/loads/5/fy": FORCE,
    "/loads/cases/C/loads/7/moves/x": LENGTH,
    "/loads/cases/C/loads/7/moves/y": LENGTH,
    "/loads/cases/C/loads/8/longer": LENGTH,
    "/loads/cases/C/loads/9/warmer": 5.0,
    "/source/changes/0/where/0": LENGTH,
    "/source/changes/0/where/1": LENGTH,
    "/source/changes/0/distance": LENGTH,
}


def leaves(value: Json, where: str = "") -> Iterator[tuple[str, Json]]:
    """Every value that is no object or list, by its place."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from leaves(item, f"{where}/{key}")
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from leaves(item, f"{where}/{index}")
    else:
        yield where, value


def test_every_quantity_goes_by_its_factor_and_nothing_else_moves() -> None:
    before = dict(leaves(ONES))
    for place, value in leaves(encode_truss(to_units(taken(ONES), "si"))):
        expected = IN_SI.get(place, before[place])
        if isinstance(expected, float):
            assert value == pytest.approx(expected, rel=3e-7), place
        else:
            assert value == expected, place
    assert IN_SI.keys() <= before.keys()


def test_the_same_units_change_nothing() -> None:
    truss = taken(ONES)
    assert to_units(truss, "us") is truss


@pytest.mark.parametrize("first", ["us", "si"])
def test_what_a_tape_reads_comes_back_to_the_last_digit(first: str) -> None:
    """Sixteenths of an inch, and tenths of a millimetre."""
    step = 1 / 16 if first == "us" else 0.1
    joints: dict[str, Json] = {f"J{n}": {"x": round(n * step, 4), "y": 0} for n in range(4000)}
    truss = taken({**ONES, "units": first, "joints": joints, "members": {}, "supports": {}, "loads": {}})
    there = to_units(truss, "si" if first == "us" else "us")
    assert to_units(there, truss.units).joints == truss.joints
    if first == "us":
        assert there.joints[JointId("J1344")].x == 2133.6


@settings(max_examples=60, deadline=None)
@given(truss_documents())
def test_there_and_back_stays_within_the_last_digit(document: Object) -> None:
    truss = read_truss(json.dumps(document).encode(), name="truss.json")
    there = to_units(truss, "si" if truss.units == "us" else "us")
    back = to_units(there, truss.units)
    before, after = dict(leaves(encode_truss(truss))), dict(leaves(encode_truss(back)))
    assert before.keys() == after.keys()
    for place, value in before.items():
        if isinstance(value, float) and not place.startswith("/notes"):
            # below the least normal double a number has no last digit to keep
            assert abs(float(str(after[place])) - value) <= max(4 * ulp(value), 1e-300), place
        else:
            assert after[place] == value
    assert back.joints.keys() == truss.joints.keys()


@settings(max_examples=300, deadline=None)
@given(st.integers(1, 10**12 - 1), st.integers(-16, 3), st.sampled_from(["us", "si"]))
def test_a_length_of_twelve_digits_comes_back_as_it_was(digits: int, power: int, units: UnitSystem) -> None:
    value = float(f"{digits}e{power}")
    there, back = Conversion("si" if units == "us" else "us"), Conversion(units)
    assert back(there(value, conversion.LENGTH), conversion.LENGTH) == value


@settings(max_examples=300, deadline=None)
@given(st.floats(1e-3, 1e12), st.sampled_from(["us", "si"]))
def test_any_other_number_comes_back_within_its_last_place(value: float, units: UnitSystem) -> None:
    there, back = Conversion("si" if units == "us" else "us"), Conversion(units)
    for factor in (conversion.INERTIA, conversion.STRESS, conversion.LINE_LOAD, conversion.DENSITY):
        assert abs(back(there(value, factor), factor) - value) <= 4 * ulp(value)
