"""Generators of sites, surfaces and of what is told of generated loads, as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st

from tests.document.json_values import (
    digests,
    just,
    keyed,
    nonnegatives,
    noted,
    numbers,
    objects,
    pairs,
    positives,
    roles,
    some,
    texts,
)
from trussio.document.site_decode import NAME

if TYPE_CHECKING:
    from tests.document.json_values import Object, Values

shares = st.sampled_from([0, 0.0, 0.25, 1]) | st.floats(0, 1)
flags = st.booleans()
editions = st.sampled_from(["asce7-10", "asce7-16", "asce7-22", "en1991"])
sides = st.sampled_from(["left", "right"])
seen = st.sampled_from(["none", "in-model", "not-seen"])
area_loads = keyed(
    objects({"value": nonnegatives}, {"per": st.sampled_from(["slope", "plan"]), "source": texts}), NAME
)
steps = objects(
    {"side": sides, "kind": st.sampled_from(["taller-roof", "parapet"]), "height": positives},
    {
        "length": positives,
        "slope": st.floats(0, 90) | st.integers(0, 90),
        "run": nonnegatives,
        "slippery": st.booleans(),
    },
)
lines = objects(dict.fromkeys(("symbol", "unit", "formula", "clause", "source"), texts) | {"value": numbers}, {})
generated = objects(
    {
        "pattern": st.sampled_from(
            ["dead", "live", "panel-load", "roof-live", "uniform", "unbalanced", "partial", "drift", "combination"]
        ),
        "digest": digests,
        **dict.fromkeys(("says", "clause", "mark"), texts),
    },
    {"lines": some(lines), "diagram": some(pairs(numbers))},
)
load_bases = objects(
    {
        "edition": editions,
        "spread": st.sampled_from(["as-stated", "chord", "panel-points", "purlins"]),
        "inputs": digests,
        "cases": keyed(generated),
        "combinations": keyed(generated),
    },
    {"not_evaluated": some(texts)},
)


def sites(joints: list[str], members: Object) -> Values:
    """Sites of a truss."""
    places: list[Values] = [objects({"joint": st.sampled_from(joints)}, {})]
    for name, member in members.items():
        assert isinstance(member, dict)
        through = member["through"]
        assert isinstance(through, list)
        places.append(objects({"member": just(name), "at": st.sampled_from([0, 1.5, *through])}, {}))
    more = objects({"weight": nonnegatives}, {"kind": st.sampled_from(["dead", "live"]), "source": texts})
    hung = st.builds(lambda where, what: where | what, st.one_of(places), more)
    return objects(
        {"edition": editions, "spacing": positives},
        {
            "ground_snow": nonnegatives,
            "flat_roof_snow": nonnegatives,
            "terrain": st.sampled_from(["B", "C", "D", "above-tree-line", "alaska"]),
            "exposure": st.sampled_from(["fully", "partially", "sheltered", "windswept", "normal"]),
            "exposure_factor": positives,
            "thermal": st.sampled_from(
                ["heated", "just-above-freezing", "cold-ventilated", "unheated", "freezer", "greenhouse"]
            ),
            "thermal_factor": positives,
            "risk": st.sampled_from(["I", "II", "III", "IV"]),
            "importance_factor": positives,
            "slippery": flags,
            "obstructed": flags,
            "multiple_vaults": flags,
            "near_eave": st.sampled_from([[], ["left"], ["right", "left"]]),
            "shape": st.sampled_from(["curved", "pitched"]),
            "steps": some(steps),
            "winter_wind": shares,
            "roof_live": nonnegatives,
            "exceptional": positives,
            "psi0_snow": shares,
            "psi0_live": shares,
            "self_weight": flags,
            "hung": keyed(hung, NAME),
            "panel_load": nonnegatives,
            "knee_braces": seen,
            "columns": seen,
            **noted,
        },
    )


def surfaces(joints: list[str], members: Object) -> Values:
    """Surfaces of a truss."""
    more = objects(
        {"kind": st.sampled_from(["roof", "ceiling"])},
        {
            "snow": flags,
            "dead": area_loads,
            "live": area_loads,
            "purlins": some(st.sampled_from(joints) | numbers),
            **noted,
        },
    )
    on = objects({"role": roles}, {})
    if members:
        on |= objects({"member": st.sampled_from([*members])}, {})
    return keyed(st.builds(lambda where, what: where | what, on, more))
