"""Generators of tendons and stages, as JSON values: histories that can be done, step by step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st

from tests.document.json_values import ids, just, nonnegatives, noted, numbers, objects, positives, texts

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn

    from tests.document.json_values import Object, Values
    from trussio.model.truss import Json


@st.composite
def staged(draw: DrawFn, document: Object, joints: list[str], held: list[str]) -> Object:
    """The document with tendons, a case that stresses them, and stages."""
    members = document["members"]
    assert isinstance(members, dict)
    tendons = draw(st.dictionaries(ids(), _tendon(joints, members), max_size=2))
    loads = document.get("loads", {})
    assert isinstance(loads, dict)
    cases, combinations = loads.get("cases", {}), loads.get("combinations", {})
    assert isinstance(cases, dict)
    assert isinstance(combinations, dict)
    name = next(f"PT{n}" for n in range(9) if f"PT{n}" not in {*cases, *combinations})
    stressed = draw(st.lists(st.sampled_from([*tendons]), unique=True)) if tendons else []
    case: Json = {"kind": "post-tension", "loads": [draw(_stressing(one, tendons[one])) for one in stressed]}
    runs = [*cases, name]
    put_on = [*cases] if stressed else runs
    site = _Site(members, joints=joints, held=held, cases=put_on, tendons=[])
    site.tendons += [one for one in stressed if site.touched.issuperset(_joints_of(tendons[one]))]
    every: Json = {**cases, name: case}
    made: Object = {**document, "stages": draw(_stages(site, [*runs, *combinations]))}
    made["loads"] = {**loads, "cases": every}
    if tendons:
        made["tendons"] = {**tendons}
    return made


@st.composite
def _tendon(draw: DrawFn, joints: list[str], members: Object) -> Object:
    path = draw(st.lists(st.sampled_from(joints), min_size=2, max_size=3, unique=True))
    points = [draw(_point(joint, members)) for joint in path]
    steel: dict[str, Values] = {"area": positives, "E": positives, "slip": nonnegatives}
    loose: dict[str, Values] = {"area": positives, "E": positives}
    optional: dict[str, Values] = {
        "strands": st.sampled_from([1, 1.0, 2, 999]),
        "stressed": st.sampled_from(["first", "last"]),
        "friction": nonnegatives,
        "wobble": nonnegatives,
        "loss": st.sampled_from([0, 0.1, 1]),
        "steel": st.sampled_from(["strand", "bar"]),
        "fu": positives,
        "acts": st.sampled_from(["member", "force"]),
        "label": texts,
        **noted,
    }
    required: dict[str, Values] = {"path": just([*points])}
    if draw(st.booleans()):
        return draw(objects({**required, **steel}, optional))
    return draw(objects(required, {**optional, **loose}))


def _point(joint: str, members: Object) -> Values:
    sticks = [name for name, one in members.items() if isinstance(one, dict) and joint in _through(one)]
    plain = objects({"joint": just(joint)}, {"offset": just(0), "bearing": positives})
    if not sticks:
        return plain
    return plain | objects({"joint": just(joint), "bears_on": st.sampled_from(sticks)}, {"offset": numbers})


def _joints_of(tendon: Object) -> list[str]:
    path = tendon["path"]
    assert isinstance(path, list)
    return [str(point["joint"]) for point in path if isinstance(point, dict)]


def _through(member: Object) -> list[Json]:
    through = member["through"]
    assert isinstance(through, list)
    return through


def _stressing(name: str, tendon: Object) -> Values:
    by_force = objects({"tendon": just(name), "force": nonnegatives}, noted)
    if "area" not in tendon:
        return by_force
    return by_force | objects({"tendon": just(name), "stress": nonnegatives}, noted)


class _Site:
    """What is there while stages are made up."""

    def __init__(
        self, members: Object, *, joints: list[str], held: list[str], cases: list[str], tendons: list[str]
    ) -> None:
        self.members, self.joints, self.held = members, joints, held
        self.cases, self.tendons = cases, tendons
        self.there = [*members]
        self.gone: list[str] = []
        self.on: list[str] = []
        self.shores: list[str] = []
        self.leaning: list[str] = []
        self.touched = {str(joint) for one in members.values() if isinstance(one, dict) for joint in _through(one)}


@st.composite
def _stages(draw: DrawFn, site: _Site, runs: list[str]) -> list[Json]:
    names = draw(st.lists(ids(), max_size=3, unique=True))
    made: list[Json] = []
    for name in names:
        actions = [action for _ in range(draw(st.integers(0, 3))) if (action := draw(_action(site))) is not None]
        wanted: dict[str, Values] = {"runs": st.lists(st.sampled_from(runs), max_size=2, unique=True).map(_json)}
        made.append(draw(objects({"id": just(name), "actions": just([*actions])}, {**wanted, **noted})))
    return made


def _json(names: list[str]) -> Json:
    return [*names]


@st.composite
def _action(draw: DrawFn, site: _Site) -> Object | None:
    kind = draw(st.sampled_from(["load", "unload", "shore", "jack", "release", "remove", "add", "tension"]))
    if kind in {"load", "unload"}:
        return _case(draw, site, kind)
    if kind in {"jack", "release"}:
        return _shored(draw, site, kind)
    if kind == "shore":
        free = [j for j in site.joints if j in site.touched and j not in site.held + site.shores]
        return None if not free or site.gone else _shore(draw, site, draw(st.sampled_from(free)))
    if kind == "tension":
        if not site.tendons or site.gone:
            return None
        said = {"to": st.sampled_from([0, 0.5, 1.0, 1.05]), **noted}
        return draw(objects({"tension": just([draw(st.sampled_from(site.tendons))])}, said))
    return _stick(draw, site, kind)


def _case(draw: DrawFn, site: _Site, kind: str) -> Object | None:
    among = [case for case in site.cases if (case in site.on) == (kind == "unload")]
    if not among:
        return None
    case = draw(st.sampled_from(among))
    (site.on.append if kind == "load" else site.on.remove)(case)
    return draw(objects({kind: just([case])}, noted))


def _shore(draw: DrawFn, site: _Site, joint: str) -> Object:
    site.shores.append(joint)
    ways: list[Json] = [["y"], ["x", "y"], [[0.6, 0.8]], ["y", "turn"]]
    holds = st.sampled_from(ways)
    made = draw(objects({"shore": just([joint])}, {"holds": holds, "both_ways": st.booleans(), **noted}))
    if made.get("holds", ["y"]) == ways[2]:
        site.leaning.append(joint)
    return made


def _shored(draw: DrawFn, site: _Site, kind: str) -> Object | None:
    if not site.shores:
        return None
    joint = draw(st.sampled_from(site.shores))
    if kind == "jack" and joint in site.leaning:
        return None
    if kind == "release":
        site.shores.remove(joint)
        site.leaning = [one for one in site.leaning if one != joint]
        return draw(objects({"release": just([joint])}, noted))
    moves = objects({"jack": just([joint]), "by": numbers}, noted)
    return draw(moves | objects({"jack": just([joint]), "force": nonnegatives}, noted))


def _stick(draw: DrawFn, site: _Site, kind: str) -> Object | None:
    """A stick goes where nothing leans on it, or one that went comes back."""
    if kind == "remove":
        if not site.there or site.tendons or site.shores or len(site.there) < 2:
            return None
        name = draw(st.sampled_from(site.there))
        site.there.remove(name)
        site.gone.append(name)
        return draw(objects({"remove": just([name])}, noted))
    if not site.gone:
        return None
    name = site.gone.pop()
    site.there.append(name)
    beside = [old for old in site.there if old != name and _runs_along(site.members, name, old)]
    if not beside or draw(st.booleans()):
        return draw(objects({"add": just([name])}, noted))
    ties: list[dict[str, Values]] = [{}, {"glued": st.booleans()}]
    member = site.members[name]
    assert isinstance(member, dict)
    if "curve" not in member:
        ties += [{"slip": positives, "glued": just(value=False)}, {"slip_along": positives}]
    tied = draw(st.sampled_from(ties))
    site.there.clear()
    return draw(objects({"add": just([name]), "beside": st.sampled_from(beside)}, {**tied, **noted}))


def _runs_along(members: Object, name: str, old: str) -> bool:
    one, other = members[name], members[old]
    assert isinstance(one, dict)
    assert isinstance(other, dict)
    return set(map(str, _through(one))) <= set(map(str, _through(other)))
