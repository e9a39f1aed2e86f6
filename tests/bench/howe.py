"""A Howe frame of forty joints: chords that run through, posts and diagonals pinned, in mm and N."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.frame import Frame
from trussio.model.loading import LineLoad, SelfWeight, Target

if TYPE_CHECKING:
    from trussio.model.truss import Truss

PANELS, PANEL, HEIGHT = 20, 1000.0, 1500.0
STRETCH, BEND = 1 / (1e4 * 2e4), 1 / (1e4 * 66e6)
"""1 / E A and 1 / E I of every stick: timber, 100 x 200."""


def howe_frame() -> Frame:
    """The frame, free but for a fixed and a rolling bearing at its ends."""
    bottom = [(panel * PANEL, 0.0) for panel in range(PANELS + 1)]
    joints = np.array([*bottom, *((panel * PANEL, HEIGHT) for panel in range(1, PANELS))])
    chords = [[*range(PANELS + 1)], [*range(PANELS + 1, 2 * PANELS)]]
    webs = [(panel, PANELS + panel) for panel in range(1, PANELS)]
    webs += [(0, PANELS + 1), (PANELS, 2 * PANELS - 1)]
    webs += [
        (PANELS + panel, panel + 1) if panel >= PANELS / 2 else (PANELS + panel + 1, panel)
        for panel in range(1, PANELS - 1)
    ]
    ends = [pair for chord in chords for pair in pairwise(chord)] + webs
    inner = [joint for chord in chords for joint in chord[1:-1]]
    total = 2 * len(joints) + len(inner)
    turn = {joint: 2 * len(joints) + index for index, joint in enumerate(inner)}
    chorded = len(ends) - len(webs)
    turns = [[turn.get(joint, total) for joint in pair] for pair in ends[:chorded]] + [[total, total]] * len(webs)
    across = joints[[last for _, last in ends]] - joints[[first for first, _ in ends]]
    length = np.hypot(across[:, 0], across[:, 1])
    flexibility = np.zeros((len(ends), 3, 3))
    flexibility[:, 0, 0] = STRETCH * length
    flexibility[:, 1, 1] = flexibility[:, 2, 2] = BEND * length / 3
    flexibility[:, 1, 2] = flexibility[:, 2, 1] = BEND * length / 6
    held = np.array([0, 1, 2 * PANELS + 1])
    return Frame(
        joints=joints,
        ends=np.array(ends),
        turns=np.array(turns),
        total=total,
        flexibility=flexibility,
        free=np.setdiff1d(np.arange(total), held),
        springs=np.zeros(total),
        watched=held,
    )


def howe_truss() -> Truss:
    """The same as records, with its weight, a drifted snow in plan, joint loads, and a combination of all."""
    bottom, top = [f"B{k}" for k in range(PANELS + 1)], [f"T{k}" for k in range(1, PANELS)]
    braces = [(f"T{k}", f"B{k + 1}") if k >= PANELS / 2 else (f"T{k + 1}", f"B{k}") for k in range(1, PANELS - 1)]
    snow = LineLoad(on=Target(role="top-chord"), direction="down", value=(1.0, 3.0), per="plan")
    return build(
        joints={
            **{name: (PANEL * k, 0.0) for k, name in enumerate(bottom)},
            **{name: (PANEL * k, HEIGHT) for k, name in enumerate(top, start=1)},
        },
        members={
            "bottom": stick(*bottom, role="bottom-chord"),
            "top": stick(*top, role="top-chord"),
            "left": stick("B0", "T1", role="top-chord"),
            "right": stick(f"T{PANELS - 1}", f"B{PANELS}", role="top-chord"),
            **{f"p{k}": stick(f"B{k}", f"T{k}", role="web") for k in range(1, PANELS)},
            **{f"d{k}": stick(*pair, role="web") for k, pair in enumerate(braces, start=1)},
        },
        supports={"B0": PIN, f"B{PANELS}": ROLLER},
        cases={
            "D": (SelfWeight(of="all"), along("bottom", 0.5)),
            "S": (snow,),
            "L": tuple(at_joint(joint, fy=-1000.0) for joint in bottom[1:-1]),
        },
        combinations={"D+S+L": {"D": 1.2, "S": 1.6, "L": 0.5}},
    )
