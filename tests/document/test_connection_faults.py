"""What no schema can say of connections, bracing and butts; sound ones are read, written and converted."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import TYPE_CHECKING

import pytest

from tests.document.small import SMALL, changed, only_fault, taken
from trussio.document.conversion import to_units
from trussio.document.encode import write_truss
from trussio.model.connection import Fasteners
from trussio.model.truss import MemberId

if TYPE_CHECKING:
    from trussio.model.truss import Json

FOOT: dict[str, Json] = {
    "joint": "B1",
    "pieces": [
        {"member": "bottom", "ply": 1, "upper_edge": 4.5, "lower_edge": 5},
        {"member": "w1", "end": 7, "edge": 4.75},
        {"member": "bottom", "ply": 2},
        {"plate": "steel", "thickness": 0.25, "depth": 5, "Fu": 58000, "Fy": 36000, "edge": 2.5},
    ],
    "fasteners": {"kind": "bolt", "diameter": 0.75, "count": 2, "rows": 2, "hole": 0.75, "gauge": 3},
    "evidence": "seen",
}
HEEL: dict[str, Json] = {
    "joint": "B0",
    "pieces": [{"member": "bottom"}, {"member": "top"}],
    "into": "bottom",
    "notch": {"depth": 9.49, "relish": 20},
    "wall": {"length": 6, "lost": 6, "hold_down": 500},
}
BUTT: dict[str, Json] = {
    "ply": 1,
    "at": "B1",
    "across": {"pieces": [{"member": "bottom", "ply": 1, "end": 6}, {"member": "bottom", "ply": 2}]},
}
SOUND = changed(changed(SMALL, "/connections", {"foot": FOOT, "heel": HEEL}), "/members/bottom/butts", [BUTT])
BRACED = changed(
    SOUND,
    "/members/bottom/braced",
    [{"plane": "out", "by": "bridging", "seen": False, "at": 84}, {"plane": "in", "by": "deck", "seen": True}],
)


def test_what_can_be_is_taken_and_written_back() -> None:
    document = changed(BRACED, "/members/bow/laminations", {"bent": True, "thickness": 1.5, "cuts": []})
    truss = taken(document)
    assert taken(json.loads(write_truss(truss))) == truss
    fasteners = truss.connections["foot"].fasteners
    assert fasteners == Fasteners(kind="bolt", diameter=0.75, count=2, rows=2, hole=0.75, gauge=3.0)


def test_every_quantity_of_a_connection_is_converted() -> None:
    truss = to_units(taken(BRACED), "si")
    foot, heel = truss.connections["foot"], truss.connections["heel"]
    assert foot.fasteners is not None
    assert (foot.fasteners.diameter, foot.fasteners.gauge, foot.fasteners.count) == (19.05, 76.2, 2)
    assert (foot.pieces[1].end, foot.pieces[0].upper_edge) == (177.8, 114.3)
    assert (foot.pieces[3].thickness, foot.pieces[3].depth) == (6.35, 127.0)
    assert foot.pieces[3].Fu == pytest.approx(58000 * 6.894757e-3, rel=1e-6)
    assert heel.wall is not None
    assert heel.wall.hold_down == pytest.approx(500 * 4.448222, rel=1e-6)
    assert (heel.wall.length, heel.wall.lost) == (152.4, 152.4)
    bottom = truss.members[MemberId("bottom")]
    assert bottom.butts is not None
    assert bottom.butts[0].across is not None
    assert bottom.butts[0].across.pieces[0].end == 152.4
    assert bottom.braced is not None
    assert bottom.braced[0].at == 2133.6


@pytest.mark.parametrize(
    ("pointer", "value", "where", "says"),
    [
        ("foot/joint", "B9", "", 'no joint is called "B9"'),
        ("foot/pieces/1/member", "w2", "", 'no member is called "w2"'),
        ("foot/pieces/1/member", "top", "", '"top" does not come to joint "B1"'),
        ("foot/pieces/1/meets", "bottom", "", '"bottom" runs through joint "B1"'),
        ("foot/pieces/2/ply", 1, "/connections/foot/pieces", "is named 2 times here"),
        ("foot/pieces/2/ply", 3, "", "the stick has 2 plies"),
        ("foot/pieces/1/thickness", 2, "", "this belongs to a plate"),
        ("foot/pieces/1/edge", 4.76, "", "the nearer edge lies 4.76 away in a depth of 9.5"),
        ("foot/pieces/0/upper_edge", 4.51, "", "take 9.51, the piece is 9.5 deep"),
        ("foot/pieces/3/edge", 2.6, "", "in a depth of 5"),
        ("foot/pieces/3/ply", 1, "/connections/foot/pieces/3", "a plate has no plies"),
        ("foot/pieces/3/material", "oak", "", 'no material is called "oak"'),
        ("foot/into", "top", "", '"top" is none of the pieces'),
        ("foot/fasteners/rows", 3, "", "2 fasteners make no 3 rows"),
        ("foot/fasteners/hole", 0.74, "", "does not take a diameter of 0.75"),
        ("foot/fasteners/connector", 2.5, "", "a bolt is no ring or plate"),
        ("foot/fasteners/kind", "split ring", "/connections/foot/fasteners", "has a diameter of its own"),
        ("foot/wall", {"length": 4}, "", 'no support holds joint "B1"'),
        ("heel/wall/lost", 6.01, "", "6.01 is lost of a seat 6 long"),
        ("heel/notch/depth", 9.5, "", "a notch of 9.5 goes through every piece"),
    ],
)
def test_what_cannot_be_is_named(pointer: str, value: Json, where: str, says: str) -> None:
    fault = only_fault(changed(SOUND, f"/connections/{pointer}", value))
    assert fault.where == (where or f"/connections/{pointer}")
    assert says in fault.what


@pytest.mark.parametrize(
    ("pointer", "value", "where", "says"),
    [
        ("braced/0/at", 169, "", "so nothing lies 169 along it"),
        ("braced/0/at", "T1", "", 'joint "T1" is not on "bottom"'),
        (
            "braced/1",
            {"plane": "out", "by": "deck", "seen": True, "from": "B1", "to": 84},
            "/members/bottom/braced/1/from",
            "does not run forward",
        ),
        ("butts/0/at", 200, "", "so nothing lies 200 along it"),
        ("butts/1", {"ply": 1, "at": 84}, "", "ply 1 is cut there twice"),
        ("butts/1", {"ply": 3, "at": 84}, "/members/bottom/butts/1/ply", '"bottom" has 2 plies'),
        ("butts/0/across/into", "bottom", "", "belongs to a connection at a joint"),
        ("butts/0/across/pieces", [{"member": "bottom", "ply": 1}], "", "nothing takes up the cut ply's force"),
        (
            "butts/0/across/pieces/1",
            {"member": "top"},
            "/members/bottom/butts/0/across/pieces/1/member",
            "is another stick",
        ),
        ("butts/0/across/pieces/1", {"member": "bottom"}, "", "does not say which ply"),
        ("butts/0/ply", 2, "", ""),
    ],
)
def test_what_cannot_be_along_a_stick_is_named(pointer: str, value: Json, where: str, says: str) -> None:
    document = changed(deepcopy(BRACED), f"/members/bottom/{pointer}", value)
    if not says:
        assert taken(document)
        return
    fault = only_fault(document)
    assert fault.where == (where or f"/members/bottom/{pointer}")
    assert says in fault.what


@pytest.mark.parametrize(
    ("pointer", "value"),
    [
        ("/connections/foot/pieces", []),
        ("/connections/foot/pieces/1", {}),
        ("/connections/foot/pieces/1", {"member": "w1", "plate": "steel"}),
        ("/connections/foot/pieces/1/end", -0.1),
        ("/connections/foot/fasteners/diameter", 0),
        ("/connections/foot/fasteners/spacing", 0),
        ("/connections/foot/evidence", "guessed"),
        ("/members/bottom/braced/0/from", "B0"),
        ("/members/bottom/braced/0/seen", "yes"),
    ],
)
def test_what_the_schema_refuses_is_refused(pointer: str, value: Json) -> None:
    assert only_fault(changed(BRACED, pointer, value)).where.startswith(pointer.rsplit("/", 1)[0])


STITCHED: dict[str, Json] = {
    "kind": "bolt",
    "diameter": 0.5,
    "spacing": 9,
    "seen": True,
    "rows": 2,
    "gauge": 4,
    "end": 4,
    "edge": 2.75,
    "washers": True,
    "tight": True,
    "Fu": 60000,
}
SPACED: dict[str, Json] = {
    "seen": True,
    "blocks": 1,
    "end": 4,
    "between": 40,
    "length": 12,
    "fasteners": {"kind": "split ring", "diameter": 0.5, "connector": 2.5, "count": 1},
}


def joined_plies(key: str, said: Json) -> dict[str, Json]:
    return changed(SMALL, f"/members/bottom/{key}", said)


@pytest.mark.parametrize(("key", "said"), [("stitched", STITCHED), ("spaced", SPACED)])
def test_what_joins_plies_is_taken_written_and_converted(key: str, said: Json) -> None:
    truss = taken(joined_plies(key, said))
    assert taken(json.loads(write_truss(truss))) == truss
    assert json.loads(write_truss(truss))["members"]["bottom"][key] == said
    bottom = to_units(truss, "si").members[MemberId("bottom")]
    if bottom.stitched is not None:
        one = bottom.stitched
        lengths = (one.diameter, one.spacing, one.gauge, one.end, one.edge)
        assert lengths == pytest.approx((12.7, 228.6, 101.6, 101.6, 69.85))
        assert one.Fu == pytest.approx(60000 * 6.894757e-3, rel=1e-6)
        assert (one.rows, one.washers) == (2, True)
    else:
        assert bottom.spaced is not None
        assert bottom.spaced.fasteners is not None
        assert (bottom.spaced.end, bottom.spaced.between, bottom.spaced.length) == (101.6, 1016.0, 304.8)
        assert bottom.spaced.fasteners.connector == 63.5


@pytest.mark.parametrize(
    ("document", "where", "says"),
    [
        pytest.param(
            changed(joined_plies("stitched", STITCHED), "/members/bottom/spaced", SPACED),
            "spaced",
            "touch and stand apart at once",
            id="both",
        ),
        pytest.param(
            changed(joined_plies("spaced", SPACED), "/sections/bc/plies", 1), "spaced", "has one ply", id="one ply"
        ),
        pytest.param(
            changed(joined_plies("stitched", STITCHED), "/sections/bc/joined", "glued"),
            "stitched",
            "its plies are glued",
            id="glued",
        ),
        pytest.param(
            joined_plies("stitched", {**STITCHED, "edge": 4.76}),
            "stitched/edge",
            "4.76 away in a depth of 9.5",
            id="edge",
        ),
        pytest.param(
            joined_plies("stitched", {**STITCHED, "length": 4}),
            "stitched/length",
            "belongs to a nail",
            id="nail's",
        ),
        pytest.param(
            joined_plies("spaced", changed({"x": SPACED}, "/x/fasteners/rows", 2)["x"]),
            "spaced/fasteners/rows",
            "1 fasteners make no 2 rows",
            id="rows",
        ),
    ],
)
def test_what_cannot_join_plies_is_named(document: dict[str, Json], where: str, says: str) -> None:
    fault = only_fault(document)
    assert fault.where == f"/members/bottom/{where}"
    assert says in fault.what


def test_an_edge_in_the_middle_of_a_ply_can_be() -> None:
    assert taken(joined_plies("stitched", {**STITCHED, "edge": 4.75}))


@pytest.mark.parametrize("kind", ["nail", "lag screw", "wood screw"])
def test_a_pilot_hole_may_be_smaller_than_what_goes_through_it(kind: str) -> None:
    pilot: dict[str, Json] = {"kind": kind, "diameter": 0.25, "count": 4, "hole": 0.2, "length": 4}
    assert taken(changed(SOUND, "/connections/foot/fasteners", pilot))
