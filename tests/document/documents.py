"""Generators of documents as JSON values: everything a truss document can say, written in every way it may be.

Joints lie from left to right and sticks run through them in that order or back, so that no stick reverses, no
segment is vertical and none without length. Numbers come as integers, decimals and with exponents; defaults are
written out here and left out there; ids hold whatever an id may hold.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from tests.document.conditions import conditions
from tests.document.ends import ends
from tests.document.joined import connections, of_stick
from tests.document.json_values import (
    digests,
    ids,
    just,
    keyed,
    nonnegatives,
    noted,
    numbers,
    objects,
    pairs,
    pointers,
    positives,
    roles,
    some,
    texts,
)
from tests.document.sites import load_bases, sites, surfaces
from tests.document.stages import staged
from trussio.document.basis import LABEL
from trussio.document.values import ANY_ID, JOINT_ID

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hypothesis.strategies import DrawFn

    from tests.document.json_values import Object, Values

    Place = tuple[float, float]


sections = objects(
    {},
    {
        "width": positives,
        "depth": positives,
        "plies": st.sampled_from([1, 1.0, 2, 3, 99]),
        "arranged": st.sampled_from(["beside", "stacked"]),
        "gap": nonnegatives,
        "joined": st.sampled_from(["glued", "nailed", "bolted", "blocked", "none"]),
        "area": positives,
        "inertia": positives,
        "shear_area": positives,
        "label": texts,
        "sizing": st.sampled_from(["current", "before-1970", "full-sawn", "measured"]),
        **noted,
    },
)
materials = objects(
    {},
    {
        "species": texts,
        "grade": texts,
        "kind": st.sampled_from(["sawn", "glulam", "steel", "other"]),
        "size_class": texts,
        "E": positives,
        "G": positives,
        "density": nonnegatives,
        "expansion": numbers,
        "specific_gravity": positives,
        "reference": keyed(nonnegatives),
        "source": texts,
        **noted,
    },
)
bearings: list[tuple[Values, Values]] = [
    (
        objects({"holds": just(["x", "y"])}, {"springs": just({}) | just({"turn": 1e9}), **noted}),
        objects({}, {"x": numbers, "y": numbers}),
    ),
    (
        objects({"holds": just(["y", "turn"])}, {"springs": just({"x": 250.5}), **noted}),
        objects({"y": numbers}, {"turn": numbers}),
    ),
    (objects({"holds": just([[0.6, 0.8]])}, noted), just({"x": -0.3, "y": -0.4}) | just({"turn": 0})),
    (objects({"holds": just([[-3, 4.0], "x"])}, noted), objects({"x": numbers, "y": numbers}, {})),
    (
        objects({"springs": just({"y": 1e4, "x": 12})}, {"holds": just([]), **noted}),
        objects({}, {"x": numbers, "y": numbers}),
    ),
]
"""Supports, and the movements that each allows."""

assumptions = objects({"what": texts, "rests_on": texts}, {"touches": some(pointers), "confirmed": texts, **noted})
words = texts.filter(bool)
acceptances = objects(
    {"code": words, "where": st.lists(pointers, min_size=1, max_size=3), "by": words, "on": words, "why": words},
    noted,
)
handles = some(st.sampled_from(["1A", "2F", "B07"]))
changes = objects(
    {"kind": texts, "says": texts}, {"where": pairs(numbers), "distance": nonnegatives, "handles": handles}
)
sources = objects(
    {"drawing": texts, "digest": digests, "scale": texts},
    {
        "linework": digests,
        "joints": keyed(handles, JOINT_ID),
        "members": keyed(handles),
        "changes": some(changes),
        **noted,
    },
)


@st.composite
def sags(draw: DrawFn, joints: list[str]) -> Object:
    """A measurement of one joint beside a line from another."""
    start, end, at = draw(st.permutations(joints))[:3]
    by = draw(st.sampled_from([{"by": "string-line", "to": end}, {"by": "plumb"}]))
    said: dict[str, Values] = {"from": just(start), "at": just(at), "off": numbers, "date": texts}
    optional: dict[str, Values] = {"load": just({}), "camber": numbers, "creep": st.floats(1, 1e3), **noted}
    return {**by, **draw(objects(said, optional))}


@st.composite
def truss_documents(draw: DrawFn) -> Object:
    """Truss documents without a fault."""
    joints = draw(st.lists(ids(JOINT_ID), min_size=2, max_size=5, unique=True))
    xs = draw(
        st.lists(st.floats(-2e3, 2e3).map(lambda x: round(x, 3)), min_size=len(joints), max_size=len(joints))
    )
    ys = draw(st.lists(st.integers(-900, 900), min_size=len(joints), max_size=len(joints)))
    places = {joint: (5000 * index + xs[index], ys[index]) for index, joint in enumerate(joints)}
    drawn: Object = {joint: {"x": x, "y": y, **draw(objects({}, noted))} for joint, (x, y) in places.items()}
    section_ids, material_ids = (draw(st.lists(ids(), max_size=2, unique=True)) for _ in range(2))
    members: Object = {**draw(st.dictionaries(ids(), _members(joints, section_ids, material_ids), max_size=3))}
    for name, member in members.items():
        assert isinstance(member, dict)
        members[name] = member | draw(
            of_stick(name, member["through"], material_ids, loose="section" not in member)
        )
    bearing = draw(st.sampled_from(bearings))
    held = draw(st.lists(st.sampled_from(joints), max_size=2, unique=True))
    required: dict[str, Values] = {
        "format": just("trussio/truss"),
        "version": st.sampled_from([1, 1.0]),
        "title": texts,
        "units": st.sampled_from(["us", "si"]),
        "joints": just(drawn),
        "members": just(members),
        "loads": loads(joints, members, places, dict.fromkeys(held, bearing[1])),
    }
    optional: dict[str, Values] = {
        "site": sites(joints, members),
        "surfaces": surfaces(joints, members),
        "connections": _connections(members, material_ids, held),
        "source": sources,
        "assumptions": keyed(assumptions),
        "accepted": keyed(acceptances),
        **noted,
    }
    for key, names, item in (
        ("supports", held, bearing[0]),
        ("sections", section_ids, sections),
        ("materials", material_ids, materials),
    ):
        (required if names else optional)[key] = st.fixed_dictionaries(dict.fromkeys(names, item))
    if members:
        optional["condition"] = conditions(members)
    if len(joints) > 2:
        optional["sags"] = keyed(sags(joints))
    if not members and not held:
        optional["loads"] = required.pop("loads")
    made = draw(objects(required, optional))
    return draw(staged(made, joints, held)) if draw(st.booleans()) else made


def _connections(members: Object, material_ids: list[str], held: list[str]) -> Values:
    """Connections by id; none where there is no stick."""
    return keyed(connections(members, material_ids, held)) if members else just({})


@st.composite
def _members(draw: DrawFn, joints: list[str], section_ids: list[str], material_ids: list[str]) -> Object:
    chosen = draw(st.lists(st.sampled_from(joints), min_size=2, max_size=len(joints), unique=True))
    through = sorted(chosen, key=joints.index, reverse=draw(st.booleans()))
    optional: dict[str, Values] = {
        "role": roles,
        "curve": objects({"radius": st.floats(2e4, 1e6), "bows": st.sampled_from(["up", "down"])}, {}),
        "label": texts,
        **noted,
    }
    if section_ids:
        optional["section"] = st.sampled_from(section_ids)
    if material_ids:
        optional["material"] = st.sampled_from(material_ids)
    return draw(objects({"through": just([*through])}, optional)) | draw(ends)


def loads(
    joints: list[str],
    members: Object,
    places: Mapping[str, Place],
    moves: dict[str, Values],
) -> Values:
    """Loads on a truss."""
    kinds: list[Values] = [
        objects({"joint": st.sampled_from(joints)}, {"fx": numbers, "fy": numbers, "moment": numbers, **noted}),
        objects({"weight_of": just("all")}, noted),
        objects({"role": roles, "warmer": numbers}, noted),
        objects({"role": roles, "down": numbers | pairs(numbers)}, {"per": st.sampled_from(["slope", "plan"])}),
    ]
    for name, member in members.items():
        assert isinstance(member, dict)
        kinds += _loads_on(name, member, places)
    kinds += [objects({"support": just(joint), "moves": by}, noted) for joint, by in moves.items()]
    case = objects(
        {},
        {
            "kind": st.sampled_from(
                ["dead", "snow", "roof-live", "live", "wind", "post-tension", "imposed", "other"]
            ),
            "loads": some(st.one_of(kinds), 4),
            **noted,
        },
    )
    return _runs(case)


@st.composite
def _runs(draw: DrawFn, case: Values) -> Object:
    names = draw(st.lists(ids(), max_size=4, unique=True))
    empty = draw(st.sampled_from([(False, False), (True, False), (True, True)]))
    cases, combinations = names[:2], names[2:]
    factors = objects({}, dict.fromkeys(cases, numbers))
    found: Object = {}
    if cases or empty[0]:
        found["cases"] = draw(st.fixed_dictionaries(dict.fromkeys(cases, case)))
    if combinations or empty[1]:
        found["combinations"] = {**draw(st.fixed_dictionaries(dict.fromkeys(combinations, factors)))}
    return found | draw(objects({}, {"basis": load_bases, **noted}))


def _loads_on(name: str, member: Object, places: Mapping[str, Place]) -> list[Values]:
    """Every kind of load on one stick; distances lie on it since it is no shorter than its joints lie apart."""
    through = member["through"]
    assert isinstance(through, list)
    first, last = (places[str(end)] for end in (through[0], through[-1]))
    reach = hypot(last[0] - first[0], last[1] - first[1])
    stretches = st.one_of(
        st.fixed_dictionaries({}, optional={"from": just(through[0]), "to": just(through[-1])}),
        st.fixed_dictionaries(
            {"from": st.floats(0, 0.4 * reach), "to": st.floats(0.5 * reach, reach) | just(through[-1])}
        ),
    )
    on = {"member": just(name)}
    line = [
        objects({**on, "across": numbers | pairs(numbers)}, noted),
        objects({**on, "right": numbers | pairs(numbers)}, {"per": st.sampled_from(["slope", "plan"]), **noted}),
        objects({**on, "down": numbers | pairs(numbers)}, {"per": st.sampled_from(["slope", "plan"]), **noted}),
    ]
    return [
        *(st.builds(lambda load, stretch: load | stretch, load, stretches) for load in line),
        objects(
            {**on, "at": st.sampled_from(through) | st.floats(0, reach)}, {"fx": numbers, "fy": numbers, **noted}
        ),
        objects({**on, "longer": numbers}, noted),
        objects({**on, "warmer": numbers}, noted),
        objects({"weight_of": just([name])}, noted),
    ]


BOTTOM: Object = {"bottom": {"through": ["B0", "B1"]}}
"""A stick that a basis may name before any drawing is read."""


@st.composite
def basis_documents(draw: DrawFn) -> Object:
    """Bases without a fault."""
    section_ids, material_ids = (
        draw(st.lists(ids(rule), min_size=1, max_size=2, unique=True)) for rule in (LABEL, ANY_ID)
    )
    assigned = objects({}, {"section": st.sampled_from(section_ids), "material": st.sampled_from(material_ids)})
    return draw(
        objects(
            {
                "format": just("trussio/basis"),
                "version": just(1),
                "units": st.sampled_from(["us", "si"]),
                "sections": st.fixed_dictionaries(dict.fromkeys(section_ids, sections)),
                "materials": st.fixed_dictionaries(dict.fromkeys(material_ids, materials)),
            },
            {
                "title": texts,
                "drawing_unit": texts,
                "sizing": just("before-1970"),
                "labels": keyed(assigned, LABEL),
                "members": st.dictionaries(roles, assigned, max_size=2),
                "supports": keyed(st.sampled_from(bearings).flatmap(lambda b: b[0]), JOINT_ID),
                "loads": loads(["B0", "B1"], {}, {}, {}),
                "site": sites(["B0", "B1"], {}),
                "surfaces": surfaces(["B0", "B1"], {}),
                "connections": keyed(connections(BOTTOM, material_ids, ["B0"])),
                "sticks": st.fixed_dictionaries(
                    {"bottom": of_stick("bottom", ["B0", "B1"], material_ids, loose=True)}
                ),
                **noted,
            },
        )
    )
