"""Tendons and stages of work by closed forms: eccentric stress, a draped tendon, props, sisters, jacks.

Derived on paper for each from the deflections of a simple beam. mm and N.
"""

from __future__ import annotations

from math import atan2, cos, exp, sin, sqrt
from typing import TYPE_CHECKING, Final

from tests.published.paper import CLAMP, EA, EI, INERTIA, PIN, ROLLER, A, Case, Json, Path, beam, document, stick

if TYPE_CHECKING:
    from collections.abc import Mapping

L: Final = 8000.0
W: Final = 2.0
F: Final = 40_000.0
DRAPE: Final = 400.0
SIMPLE: Final = W * L**2 / 8
SURE: Final[Json] = {"friction": 0, "slip": 0, "loss": 0}


def N(name: str, run: str = "PT") -> Path:  # noqa: N802 - the symbol of the trade
    """Path of an axial force."""
    return (run, "axial", name, 0)


def M(name: str, end: int, run: str = "PT") -> Path:  # noqa: N802 - the symbol of the trade
    """Path of a moment."""
    return (run, "moment", name, end)


def stressed(says: str, tendon: Json, figures: Mapping[Path, float], *, post: bool = False) -> Case:
    """A beam of two halves under load W and a tendon stressed to F."""
    members: dict[str, Json] = {"b": stick("A", "M", "B")}
    joints = {"A": (0.0, 0.0), "M": (L / 2, 0.0), "B": (L, 0.0)}
    if post:
        joints["U"] = (L / 2, -DRAPE)
        members["post"] = stick("M", "U", more={"fixed": ["first"]})
    return Case(
        says=says,
        source="closed form",
        document=document(
            joints=joints,
            members=members,
            supports={"A": PIN, "B": ROLLER},
            cases={"D": [{"member": "b", "down": W}], "PT": [{"tendon": "t", "force": F}]},
            kinds={"D": "dead", "PT": "post-tension"},
            combinations={"D+PT": {"D": 1, "PT": 1}},
            more={"tendons": {"t": tendon}},
        ),
        figures=figures,
    )


_e = -60.0
_leg = sqrt((L / 2) ** 2 + DRAPE**2)
_cos, _sin = L / 2 / _leg, DRAPE / _leg
_steel = 300.0 * 200_000.0
# of the draped tendon as a member: pushed up by X at the strut under W, its own share by compatibility
_X = (
    5
    * W
    * L**4
    / 384
    / EI
    / (L**3 / 48 / EI + DRAPE / EA + 2 * _leg / (4 * _sin**2) / _steel + 2 * (L / 2) * (_cos / 2 / _sin) ** 2 / EA)
)
S: Final = 3000.0
_bend = atan2(600, S)
_prop = 5 * W * L / 8

CASES: Final = (
    stressed(
        "a straight tendon below the axis: F along, F e all along",
        {
            "path": [{"joint": "A", "bears_on": "b", "offset": _e}, {"joint": "B", "bears_on": "b", "offset": _e}],
            "acts": "force",
            **SURE,
        },
        {
            N("b:A-M"): -F,
            M("b:A-M", 0): F * _e,
            M("b:A-M", 1): F * _e,
            ("PT", "moves", "M", "dy"): -F * _e * L**2 / 8 / EI,
            M("b:A-M", 1, "D+PT"): SIMPLE + F * _e,
        },
    ),
    stressed(
        "a draped tendon over a strut, no more than its force",
        {"path": [{"joint": "A"}, {"joint": "U"}, {"joint": "B"}], "acts": "force", **SURE},
        {
            N("post:M-U"): -2 * F * _sin,
            N("b:A-M"): -F * _cos,
            M("b:A-M", 1): -F * _sin * L / 2,
            ("PT", "moves", "M", "dy"): 2 * F * _sin * L**3 / 48 / EI,
            M("b:A-M", 1, "D+PT"): SIMPLE - F * _sin * L / 2,
        },
        post=True,
    ),
    stressed(
        "the same as a member: later load stretches it",
        {
            "path": [{"joint": "A"}, {"joint": "U"}, {"joint": "B"}],
            "area": 300,
            "E": 200_000,
            **SURE,
        },
        {N("post:M-U"): -2 * F * _sin, N("post:M-U", "D+PT"): -2 * F * _sin - _X},
        post=True,
    ),
    Case(
        says="a tendon over two struts loses by friction where it turns",
        source="closed form: exp(-friction turn)",
        document=document(
            joints={
                "A": (0, 0),
                "C": (S, 0),
                "D": (2 * S, 0),
                "B": (3 * S, 0),
                "U": (S, -600),
                "V": (2 * S, -600),
            },
            members={
                "b": stick("A", "C", "D", "B"),
                "u": stick("C", "U", more={"fixed": ["first"]}),
                "v": stick("D", "V", more={"fixed": ["first"]}),
            },
            supports={"A": PIN, "B": ROLLER},
            cases={"D": [{"member": "b", "down": W}], "PT": [{"tendon": "t", "force": F}]},
            kinds={"PT": "post-tension"},
            more={
                "tendons": {
                    "t": {
                        "path": [{"joint": "A"}, {"joint": "U"}, {"joint": "V"}, {"joint": "B"}],
                        "acts": "force",
                        "friction": 0.2,
                        "slip": 0,
                        "loss": 0,
                    }
                }
            },
        ),
        figures={
            N("u:C-U"): -F * sin(_bend),
            N("v:D-V"): -F * exp(-0.4 * _bend) * sin(_bend),
            # what the turns hold back bends the struts, and with them the beam
            ("PT", "shear", "u:C-U", 1): F * (cos(_bend) - exp(-0.2 * _bend)),
            N("b:C-D"): -F * exp(-0.2 * _bend),
        },
    ),
    Case(
        says="a beam propped under load, loaded further: the prop takes of the second load alone",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "M": (L / 2, 0), "B": (L, 0)},
            members={"b": stick("A", "M", "B")},
            supports={"A": PIN, "B": ROLLER},
            cases={"D": [{"member": "b", "down": W}], "S": [{"member": "b", "down": 3 * W}]},
            kinds={"D": "dead", "S": "snow"},
            more={
                "stages": [
                    {"id": "one", "actions": [{"load": ["D"]}]},
                    {"id": "two", "actions": [{"shore": ["M"]}, {"load": ["S"]}]},
                    {"id": "three", "actions": [{"unload": ["S"]}, {"release": ["M"]}]},
                ]
            },
        ),
        figures={
            M("b:A-M", 1, "one/now"): SIMPLE,
            ("two/now", "reaction", "M", "y"): 3 * _prop,
            M("b:A-M", 1, "two/now"): SIMPLE - 3 * W * (L / 2) ** 2 / 8,
            M("b:A-M", 1, "three/now"): SIMPLE,
        },
    ),
    Case(
        says="a beam jacked up by its middle, by a force and by a way",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "M": (L / 2, 0), "B": (L, 0)},
            members={"b": stick("A", "M", "B")},
            supports={"A": PIN, "B": ROLLER},
            cases={"D": [{"member": "b", "down": W}]},
            kinds={"D": "dead"},
            more={
                "stages": [
                    {"id": "on", "actions": [{"load": ["D"]}]},
                    {"id": "force", "actions": [{"shore": ["M"]}, {"jack": ["M"], "force": 5000}]},
                    {"id": "way", "actions": [{"jack": ["M"], "by": 6}]},
                    {"id": "off", "actions": [{"release": ["M"]}]},
                ]
            },
        ),
        figures={
            ("force/now", "reaction", "M", "y"): 5000.0,
            M("b:A-M", 1, "force/now"): SIMPLE - 5000 * L / 4,
            ("force/now", "moves", "M", "dy"): -5 * W * L**4 / 384 / EI + 5000 * L**3 / 48 / EI,
            ("way/now", "reaction", "M", "y"): 5000 + 6 * 48 * EI / L**3,
            ("off/now", "moves", "M", "dy"): -5 * W * L**4 / 384 / EI,
        },
    ),
    Case(
        says="a sister of half the stiffness glued on under dead load: a third of snow, none of dead load",
        source="closed form: two layers that bend together about their own axes",
        document=document(
            joints={"A": (0, 0), "B": (L, 0)},
            members={"b": beam("A", "B"), "sister": beam("A", "B", s="half")},
            supports={"A": CLAMP},
            cases={"D": [{"joint": "B", "fy": -1000}], "S": [{"joint": "B", "fy": -3000}]},
            kinds={"D": "dead", "S": "snow"},
            sections={"half": {"area": A / 2, "inertia": INERTIA / 2}},
            combinations={"D+S": {"D": 1, "S": 1}},
            more={
                "stages": [
                    {"id": "old", "actions": [{"load": ["D"]}]},
                    {"id": "new", "actions": [{"add": ["sister"], "beside": "b", "glued": True}]},
                ]
            },
        ),
        figures={
            M("sister:A-B", 0, "new/now"): 0.0,
            M("b:A-B", 0, "new/now"): -1000 * L,
            M("b:A-B", 0, "new/D+S"): -1000 * L - 2000 * L,
            M("sister:A-B", 0, "new/D+S"): -1000 * L,
        },
    ),
    Case(
        says="a hanger replaced under load: the new one has what comes later alone",
        source="closed form",
        document=document(
            joints={"A": (0, 3000), "B": (1000, 3000), "C": (0, 0), "D": (1000, 0)},
            members={
                "old": stick("A", "C"),
                "new": stick("A", "C"),
                "far": stick("B", "D"),
                "bar": stick("C", "D"),
            },
            supports={"A": PIN, "B": PIN, "C": {"holds": ["x"]}},
            cases={"D": [{"joint": "C", "fy": -1000}], "S": [{"joint": "C", "fy": -500}]},
            kinds={"D": "dead", "S": "snow"},
            combinations={"D+S": {"D": 1, "S": 1}},
            more={
                "stages": [
                    {"id": "as it is", "actions": [{"load": ["D"]}]},
                    {"id": "prop", "actions": [{"shore": ["C"]}, {"replace": "old", "with": "new"}]},
                    {"id": "done", "actions": [{"release": ["C"]}]},
                ]
            },
        ),
        figures={
            N("old:A-C", "as it is/now"): 1000.0,
            ("prop/now", "reaction", "C", "y"): 1000.0,
            N("new:A-C", "prop/now"): 0.0,
            N("new:A-C", "done/now"): 1000.0,
            N("new:A-C", "done/D+S"): 1500.0,
        },
    ),
)
