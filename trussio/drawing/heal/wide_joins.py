"""Ends that stop further from a joint than may be joined unasked: the likeliest reading, and a question.

Terms: a *loose end* is one at which nothing else ends and that lies on no axis; a *target* is a joint or an axis
that it may have been meant to reach. An end that stops short along its own line by no more than half the depth of
the member that it would meet was trimmed at that member's edge: it is extended and told, not asked about. A
line that hangs on nothing is joined only where both its ends find a target.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.answers import chosen, question
from trussio.drawing.heal.axes import headings, stations, tangents
from trussio.drawing.heal.cells import near_axes, near_points
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.near_joins import extended, on_axes
from trussio.drawing.heal.net import Contacts, Net, end_index, net_parts
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.axes import Flags, Floats, Ints
    from trussio.drawing.heal.reach import Reach
    from trussio.model.change import Question

OPTIONS = ("join", "leave")
LEAST_SINE = 0.4
"""An end trimmed at another member's edge meets it at no less than some 24 degrees."""


@dataclass(frozen=True, kw_only=True)
class Aim:
    """Where a loose end would go: onto a node, or onto an axis.

    `along` is the travel on its own line, `cut` the travel expected of an end trimmed at the other's edge.
    """

    end: int
    goal: tuple[float, float]
    distance: float
    along: float
    cut: float = 0.0
    node: int = -1
    axis: int = -1


def joined_wide(
    net: Net, contacts: Contacts, depths: Floats, reach: Reach, answers: Answers
) -> tuple[Net, Contacts, list[Change], list[Question]]:
    """Loose ends joined over more than the report distance; `depths` are those known of each axis, or nan."""
    loose = _loose(net, contacts, reach)
    if not loose.size:
        return net, contacts, [], []
    aims = _allowed(net, contacts, _aims(net, loose, depths, reach), loose, reach)
    changes: list[Change] = []
    questions: list[Question] = []
    joined: list[Aim] = []
    for aim in aims:
        if aim.distance <= reach.silent:
            continue
        said = _told(net, aim, reach)
        if isinstance(said, Change):
            changes.append(said)
            joined.append(aim)
            continue
        questions.append(said)
        if chosen(said, answers, OPTIONS) == "join":
            joined.append(aim)
    net, contacts = _moved(net, contacts, joined, reach)
    return net, contacts, changes, questions


def _loose(net: Net, contacts: Contacts, reach: Reach) -> Ints:
    """Ends (2 i + side) that are loose, of axes long enough to be members."""
    lone = net.degree == 1
    lone[contacts.node] = False
    ends = np.flatnonzero(lone[net.ends.ravel()])
    loose: Ints = ends[net.axes.lengths[ends // 2] > 2 * reach.ask]
    return loose


@dataclass(frozen=True, kw_only=True, eq=False)
class Meetings:
    """Where the lines of loose ends meet axes near them, by columns.

    Those of the k-th end are `start[k]:start[k + 1]`: axis `row`, place `goal`, `travel` on the end's own line,
    and the travel `cut` expected of an end trimmed at the other's edge. `inside` tells that the axis is there, or
    nearly; `beyond` is how far past its end it would have to run.
    """

    start: Ints
    row: Ints
    goal: Floats
    travel: Floats
    cut: Floats
    inside: Flags
    beyond: Floats


def _aims(net: Net, loose: Ints, depths: Floats, reach: Reach) -> list[Aim]:
    deepest = float(np.nanmax(depths, initial=0.0))
    widest = max(reach.ask, deepest * 0.55 / LEAST_SINE + reach.report)
    spots = net.nodes[net.ends.ravel()[loose]]
    used = np.unique(net.ends)
    beside = near_points(spots, net.nodes[used], 2 * widest)
    across = near_axes(spots, net.axes, widest)
    index = end_index(net)
    nodes, rows = [], []
    for number, end in enumerate(loose.tolist()):
        own = net.ends[end // 2]
        near = used[beside.of(number)]
        near = near[(near != own[0]) & (near != own[1])]
        ending = [axis for node in near.tolist() for axis, _ in index.at(node)]
        nodes.append(near)
        rows.append(sorted({*across.of(number).tolist(), *ending} - {end // 2}))
    met = _meetings(net, loose, rows, depths, reach)
    aims = [
        _aim(net, end, number=number, nodes=nodes[number], met=met, reach=reach)
        for number, end in enumerate(loose.tolist())
    ]
    return [aim for aim in aims if aim is not None]


def _meetings(net: Net, loose: Ints, rows: list[list[int]], depths: Floats, reach: Reach) -> Meetings:
    count = np.array([len(some) for some in rows], dtype=np.intp)
    row = np.array([one for some in rows for one in some], dtype=np.intp)
    end = np.repeat(loose, count)
    ahead = headings(net.axes, end // 2, end % 2 == 1)
    goal, travel = extended(net.axes, row, net.nodes[net.ends.ravel()[end]], ahead)
    at, _ = stations(net.axes, row, goal)
    other = tangents(net.axes, row, at)
    sine = np.maximum(np.abs(ahead[:, 0] * other[:, 1] - ahead[:, 1] * other[:, 0]), LEAST_SINE)
    return Meetings(
        start=np.concatenate(([0], np.cumsum(count))),
        row=row,
        goal=goal,
        travel=travel,
        cut=np.nan_to_num(depths[row], nan=0.0) / 2 / sine,
        inside=(at >= -reach.ask) & (at <= net.axes.lengths[row] + reach.ask),
        beyond=np.maximum(np.maximum(-at, at - net.axes.lengths[row]), 0.0),
    )


def _aim(net: Net, end: int, *, number: int, nodes: Ints, met: Meetings, reach: Reach) -> Aim | None:
    """The likeliest target of one loose end, among nodes and axes near it."""
    mine = slice(int(met.start[number]), int(met.start[number + 1]))
    if mine.start == mine.stop and not nodes.size:
        return None
    away = np.hypot(*(net.nodes[nodes] - net.nodes[net.ends[end // 2, end % 2]]).T)
    node = _first(away, away <= reach.ask)
    travel, cut, inside = met.travel[mine], met.cut[mine], met.inside[mine]
    trimmed = inside & (travel > 0) & (travel <= cut * 1.1 + reach.report)
    # Of two lines that meet an end at one place it was meant for the one that runs there.
    beyond = met.beyond[mine]
    best = _first(np.abs(travel - cut) + beyond, trimmed)
    if best is None:
        best = _first(np.abs(travel) + beyond, inside & (np.abs(travel) <= reach.ask))
    if best is not None and (trimmed[best] or node is None or abs(travel[best]) <= away[node]):
        goal = met.goal[mine][best]
        apart = np.hypot(*(net.nodes[nodes] - goal).T)
        beside = _first(apart, apart <= reach.report)
        return Aim(
            end=end,
            goal=place(goal if beside is None else net.nodes[nodes[beside]]),
            distance=abs(float(travel[best])) if beside is None else float(away[beside]),
            along=float(travel[best]),
            cut=float(cut[best]),
            node=-1 if beside is None else int(nodes[beside]),
            axis=int(met.row[mine][best]),
        )
    if node is None:
        return None
    return Aim(
        end=end,
        goal=place(net.nodes[nodes[node]]),
        distance=float(away[node]),
        along=np.nan,
        node=int(nodes[node]),
    )


def _first(size: Floats, near: Flags) -> int | None:
    """The smallest of those that are near."""
    found = np.flatnonzero(near)
    return int(found[np.argmin(size[found])]) if found.size else None


def _allowed(net: Net, contacts: Contacts, aims: list[Aim], loose: Ints, reach: Reach) -> list[Aim]:
    """Aims of lines that hang on something, of which every end finds a target, or that lie within their target."""
    label = net_parts(net, contacts)
    size = np.bincount(label, minlength=len(net.axes))
    at_node = np.full(len(net.nodes), -1)
    at_node[net.ends[:, 0]] = at_node[net.ends[:, 1]] = label
    open_ends = np.bincount(label[loose // 2], minlength=len(net.axes))
    aimed = np.bincount(label[[aim.end // 2 for aim in aims]], minlength=len(net.axes)) if aims else open_ends
    low, high = _boxes(net, label)
    biggest = int(size.max(initial=0))
    kept = []
    for aim in aims:
        mine = int(label[aim.end // 2])
        target = int(label[aim.axis] if aim.axis >= 0 else at_node[aim.node])
        hangs = size[mine] >= 3 and size[mine] * 4 >= biggest
        within = (low[mine] >= low[target] - reach.report).all() and (
            high[mine] <= high[target] + reach.report
        ).all()
        floats = size[mine] <= 2 and (aimed[mine] == open_ends[mine] or bool(within))
        if (hangs and target == mine) or (floats and size[target] >= 3):
            kept.append(aim)
    return kept


def _boxes(net: Net, label: Ints) -> tuple[Floats, Floats]:
    """Lower left and upper right corner of each part."""
    low, high = np.full((len(net.axes), 2), np.inf), np.full((len(net.axes), 2), -np.inf)
    for spots in (net.axes.first, net.axes.last):
        np.minimum.at(low, label, spots)
        np.maximum.at(high, label, spots)
    return low, high


def _told(net: Net, aim: Aim, reach: Reach) -> Change | Question:
    axis = aim.end // 2
    here = place(net.nodes[net.ends[axis, aim.end % 2]])
    handles = net.axes.handles[axis]
    length = reach.told(aim.distance)
    sideways = np.sqrt(max(aim.distance**2 - aim.along**2, 0.0)) if np.isfinite(aim.along) else aim.distance
    if aim.axis >= 0 and 0 < aim.along <= aim.cut * 1.1 + reach.report and aim.cut and sideways <= reach.report:
        says = f"An end stopped {length} short, at the edge of the member that it meets, and was extended."
        return Change(kind="end-extended", says=says, where=here, distance=aim.distance, handles=handles)
    if aim.along < 0:
        asks = f"An end runs {length} past the line that it meets. Is it meant to end there?"
        return question("overshoot-wide", asks, taken="join", options=OPTIONS, where=here, handles=handles)
    asks = f"An end stops {length} from the joint or line beside it. Do they meet?"
    return question("gap-wide", asks, taken="join", options=OPTIONS, where=here, handles=handles)


def _moved(net: Net, contacts: Contacts, aims: list[Aim], reach: Reach) -> tuple[Net, Contacts]:
    if not aims:
        return net, contacts
    nodes, ends = net.nodes.copy(), net.ends.copy()
    fresh: list[tuple[int, int]] = []
    for aim in aims:
        axis, side = divmod(aim.end, 2)
        node = int(ends[axis, side])
        if aim.node >= 0:
            if ends[axis, 1 - side] != aim.node:
                ends[axis, side] = aim.node
            continue
        twin = next(
            (n for n, row in fresh if row == aim.axis and np.hypot(*(nodes[n] - aim.goal)) <= reach.report), None
        )
        if twin is not None:
            if ends[axis, 1 - side] != twin:
                ends[axis, side] = twin
            continue
        nodes[node] = aim.goal
        length = float(net.axes.lengths[aim.axis])
        at = float(stations(net.axes, np.array([aim.axis]), nodes[node][None])[0][0])
        if 0 <= at <= length:
            fresh.append((node, aim.axis))
        else:
            # Both ends fall short of each other: the host is lengthened to the meeting point.
            grown = 0 if at < 0 else 1
            if ends[aim.axis, 1 - grown] != node:
                ends[aim.axis, grown] = node
    more = contacts.with_more([node for node, _ in fresh], [axis for _, axis in fresh])
    return on_axes(replace(net, nodes=nodes, ends=ends), more, reach)
