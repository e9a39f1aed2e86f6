"""Generators of connections, bracing, butts, laminations and what joins plies as JSON values.

Distances to edges stand only where no depth could gainsay them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st

from tests.document.json_values import just, nonnegatives, noted, objects, positives, some, texts

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hypothesis.strategies import DrawFn

    from tests.document.json_values import Object, Values
    from trussio.model.truss import Json

flags = st.booleans()
along: dict[str, Values] = {"end": nonnegatives, "end_grain": flags}
edges: dict[str, Values] = {"edge": nonnegatives, "upper_edge": nonnegatives, "lower_edge": nonnegatives}


def plates(material_ids: list[str]) -> Values:
    """Plates of steel or wood."""
    wood: dict[str, Values] = {"material": st.sampled_from(material_ids)} if material_ids else {}
    of = st.sampled_from(["steel", "wood"])
    deep = {"thickness": positives, "depth": positives, "Fy": positives, "Fu": positives, **along, **wood}
    return objects({"plate": of}, deep) | objects({"plate": of}, along | edges | wood)


@st.composite
def fasteners(draw: DrawFn) -> Object:
    """A group of fasteners that can be."""
    count, diameter = draw(st.integers(1, 999)), draw(positives)
    ring = draw(flags)
    kind = ["split ring", "shear plate"] if ring else ["bolt", "lag screw", "wood screw", "nail"]
    required = {"kind": st.sampled_from(kind), "diameter": just(diameter), "count": just(count)}
    optional: dict[str, Values] = {
        "rows": st.integers(1, count) | just(1.0),
        "hole": just(diameter),
        "gap": nonnegatives,
        **dict.fromkeys(("spacing", "gauge", "length", "washer", "Fyb", "Fu"), positives),
        **dict.fromkeys(("threads_bear", "separate_plates"), flags),
    }
    (required if ring else {})["connector"] = positives
    return draw(objects(required, optional))


joined: dict[str, Values] = {
    "fasteners": fasteners(),
    "butt": objects({}, {"tight": flags, "plate": flags}),
    "evidence": st.sampled_from(["seen", "joint opened", "detected", "inferred"]),
    "wet_when_made": flags,
    **noted,
}
walls = objects({"length": just(6)}, {"lost": just(0) | just(6), "width": positives, "to_end": nonnegatives})
seats = objects({"length": positives, "width": positives}, {"washer": flags})
notches = objects({"depth": just(1e-30), "relish": positives}, {})


@st.composite
def connections(draw: DrawFn, members: Mapping[str, Json], materials: list[str], held: list[str]) -> Object:
    """A connection at a joint of the sticks given; notches only where no section could be cut through."""
    meeting: dict[str, list[str]] = {}
    plain = True
    for name, member in members.items():
        assert isinstance(member, dict)
        assert isinstance(member["through"], list)
        plain = plain and "section" not in member
        for joint in member["through"]:
            meeting.setdefault(str(joint), []).append(name)
    joint = draw(st.sampled_from(sorted(meeting)))
    names = draw(st.lists(st.sampled_from(meeting[joint]), min_size=1, unique=True))
    pieces: list[Json] = [draw(objects({"member": just(name)}, {"ply": just(1), **along})) for name in names]
    pieces += draw(st.lists(plates(materials), max_size=2))
    optional: dict[str, Values] = {**joined, "into": st.sampled_from(names), "seat": seats}
    if plain:
        optional["notch"] = notches
    if joint in held:
        optional["wall"] = walls
    return draw(objects({"joint": just(joint), "pieces": just([*draw(st.permutations(pieces))])}, optional))


def stitches() -> Values:
    """Nails or bolts through all plies."""
    required: dict[str, Values] = {**dict.fromkeys(("diameter", "spacing"), positives), "seen": flags}
    common: dict[str, Values] = {
        "rows": st.integers(1, 999),
        **dict.fromkeys(("gauge", "Fu"), positives),
        **dict.fromkeys(("end", "edge"), nonnegatives),
        "staggered": flags,
        **noted,
    }
    nails = objects({"kind": just("nail"), **required}, {"length": positives, "opposite": flags, **common})
    bolts = objects({"kind": just("bolt"), **required}, {"washers": flags, "tight": flags, **common})
    return nails | bolts


blocks = objects(
    {"seen": flags},
    {
        "blocks": st.integers(0, 999),
        "end": nonnegatives,
        **dict.fromkeys(("between", "length"), positives),
        **dict.fromkeys(("gussets", "glued"), flags),
        "fasteners": fasteners(),
        **noted,
    },
)


@st.composite
def of_stick(draw: DrawFn, name: str, through: Json, materials: list[str], *, loose: bool) -> Object:
    """What a stick says of its length; what joins its plies where it is `loose`: no section gainsays them."""
    assert isinstance(through, list)
    places = st.sampled_from(through) | just(0) | just(0.5)
    stretches = st.sampled_from(
        [{}, {"from": through[0]}, {"to": through[-1]}, {"from": 0, "to": 0.5}, {"from": through[0], "to": 0.25}]
    )
    plain = objects({"plane": st.sampled_from(["out", "in"]), "by": texts, "seen": flags}, noted)
    at = st.builds(lambda brace, place: brace | {"at": place}, plain, places)
    held = st.builds(lambda brace, stretch: brace | stretch, plain, stretches)
    butts = some(butt(name, places, materials), 1)
    laminated: dict[str, Values] = {"thickness": positives, "cuts": butts, "reach": positives, **noted}
    optional: dict[str, Values] = {
        "braced": some(at | held),
        "butts": butts,
        "laminations": objects({"bent": flags}, laminated),
    }
    if loose:
        optional |= draw(st.sampled_from([{}, {"stitched": stitches()}, {"spaced": blocks}]))
    return draw(objects({}, optional))


@st.composite
def butt(draw: DrawFn, name: str, places: Values, materials: list[str]) -> Object:
    """A butt of the one ply that every stick has, with plates that bridge it or without."""
    pieces: list[Json] = [{"member": name, "ply": 1}, draw(plates(materials))]
    across = objects({"pieces": just([*draw(st.permutations(pieces))])}, joined)
    return draw(objects({"ply": just(1), "at": places}, {"tight": flags, "across": across, **noted}))
