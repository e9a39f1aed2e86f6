"""Buckling loads and amplified moments by closed forms, through `trussio analyse --second-order`.

Sources: L. Euler's columns and the beam-column of S. P. Timoshenko and J. M. Gere, Theory of elastic stability,
from memory; each characteristic equation was derived again and is solved here by bisection.
"""

from __future__ import annotations

import json
from math import cos, pi, sin, sqrt, tan
from typing import TYPE_CHECKING, Final, NamedTuple

import pytest

from tests.cli.running import trussio
from tests.published.paper import CLAMP, EI, INERTIA, PIN, ROLLER, Json, beam, document, stick

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

L: Final = 4000.0
P: Final = 20_000.0
STIFF: Final[Json] = {"area": 1e8, "inertia": INERTIA}
PUSH: Final[Json] = {"joint": "B", "fy": -P}


def root(of: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that changes its sign once between two places is nothing."""
    sign = of(low) > 0
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if (of(middle) > 0) == sign else (low, middle)
    return low


def post(foot: Json, head: Json | None = None) -> Json:
    """A post pressed by P on its head."""
    return document(
        joints={"A": (0, 0), "B": (0, L)},
        members={"b": beam("A", "B")},
        supports={"A": foot} if head is None else {"A": foot, "B": head},
        cases={"P": [PUSH]},
        sections={"s": STIFF},
    )


def portal(foot: Json) -> Json:
    """Two posts and a beam, all of one length and section, P on either post."""
    return document(
        joints={"A": (0, 0), "B": (0, L), "C": (L, L), "D": (L, 0)},
        members={"f": beam("A", "B", "C", "D")},
        supports={"A": foot, "D": foot},
        cases={"P": [PUSH, {"joint": "C", "fy": -P}]},
        sections={"s": STIFF},
    )


def panels(at: str) -> Json:
    """A stick of two panels, held across at its middle, pressed at the middle or at its end."""
    return document(
        joints={"A": (0, 0), "M": (0, L), "B": (0, 2 * L)},
        members={"b": stick("A", "M", "B")},
        supports={"A": PIN, "M": {"holds": ["x"]}, "B": {"holds": ["x"]}},
        cases={"P": [{"joint": at, "fy": -P}]},
        sections={"s": STIFF},
    )


def _u(u: float) -> float:
    """The factor on P that belongs to u = L sqrt(P/EI)."""
    return u * u * EI / L**2 / P


_side = 10 * EI / L**3
_turn = 2 * EI / L
BUCKLING: Final[dict[str, tuple[Json, float]]] = {
    "built in below, free above": (post(CLAMP), _u(pi / 2)),
    "built in below, held above": (
        post(CLAMP, {"holds": ["x"]}),
        _u(root(lambda u: sin(u) - u * cos(u), 4.0, 4.7)),
    ),
    "built in at both ends": (post(CLAMP, {"holds": ["x", "turn"]}), _u(2 * pi)),
    "built in, its head free to sway": (post(CLAMP, {"holds": ["turn"]}), _u(pi)),
    "a post that tilts against a spring": (post(PIN, {"springs": {"x": EI / L**3}}), EI / L**2 / P),
    "built in below, sprung above": (
        post(CLAMP, {"springs": {"x": _side}}),
        _u(root(lambda u: sin(u) - (u - u**3 * EI / (_side * L**3)) * cos(u), pi / 2 + 1e-3, 4.49)),
    ),
    "on a spring against turning": (
        post({"holds": ["x", "y"], "springs": {"turn": _turn}}),
        _u(root(lambda u: u * tan(u) - _turn * L / EI, 1e-3, pi / 2 - 1e-6)),
    ),
    "a portal on pins that sways": (portal(PIN), _u(root(lambda u: u * tan(u) - 6, 1e-3, pi / 2 - 1e-6))),
    "a portal built in that sways": (portal(CLAMP), _u(root(lambda u: tan(u) + u / 6, pi / 2 + 1e-6, pi))),
    "two panels alike": (panels("B"), _u(pi)),
    "one panel of two pressed": (
        panels("M"),
        _u(root(lambda u: u * u / (1 - u / tan(u)) + 3, pi + 1e-6, 4.49)),
    ),
}


class Strut(NamedTuple):
    """A strut of 4 m and what its largest moment is of first and of second order."""

    document: Json
    first: float
    second: float


def strut(force: float, loads: list[Json], *, more: Json | None = None, condition: Json | None = None) -> Json:
    """A level strut under an axial force and what else there is."""
    return document(
        joints={"A": (0, 0), "B": (L, 0)},
        members={"b": stick("A", "B", more=more)},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": [{"joint": "B", "fx": -force}, *loads]},
        sections={"s": {"width": 100, "depth": 200}},
        more={} if condition is None else {"condition": {"c": {"member": "b", "seen": "seen", **condition}}},
    )


def _of(inertia: float, force: float) -> float:
    return sqrt(force * L * L / (1e4 * inertia)) / 2


_whole, _left = 100 * 200**3 / 12, 100 * 160**3 / 12
_force = 0.5 * pi**2 * 1e4 * _whole / L**2
_v, _w = _of(_whole, _force), _of(_left, 20_000)
AMPLIFIED: Final[dict[str, Strut]] = {
    "under a uniform load": Strut(
        strut(_force, [{"member": "b", "down": 1}]), L**2 / 8, L**2 / 8 * 2 * (1 / cos(_v) - 1) / _v**2
    ),
    "bowed": Strut(
        strut(_force, [], condition={"kind": "bow", "by": -20}),
        _force * 20,
        _force * 20 * 2 * (1 / cos(_v) - 1) / _v**2,
    ),
    "pressed off its axis: the secant": Strut(
        strut(
            _force,
            [{"joint": "B", "moment": _force * 30}, {"joint": "A", "moment": -_force * 30}],
            more={"fixed": ["first", "last"]},
        ),
        _force * 30,
        _force * 30 / cos(_v),
    ),
    "worn on its upper face, which shifts its axis": Strut(
        strut(20_000, [], condition={"kind": "lost-section", "lost": {"plus_y": 40}}),
        20_000 * 20,
        20_000 * 20 / cos(_w),
    ),
}


def second_order(truss: Json, folder: Path) -> dict[str, object]:
    """What the command line says of run P."""
    path = folder / "truss.json"
    path.write_text(json.dumps(truss), encoding="utf-8")
    ran = trussio("analyse", path, "--second-order", "--json")
    assert (ran.code, ran.err) == (0, "")
    run = json.loads(ran.out)["runs"]["P"]
    assert isinstance(run, dict)
    return run


@pytest.mark.parametrize("name", BUCKLING)
def test_the_buckling_load_is_that_of_its_equation(name: str, tmp_path: Path) -> None:
    truss, factor = BUCKLING[name]
    found = second_order(truss, tmp_path)["factor"]
    assert found == pytest.approx(factor, rel=1e-6)
    assert found != pytest.approx(1.001 * factor, rel=1e-6)


@pytest.mark.parametrize("name", AMPLIFIED)
def test_the_amplified_moment_is_that_on_paper(name: str, tmp_path: Path) -> None:
    known = AMPLIFIED[name]
    segments = second_order(known.document, tmp_path)["segments"]
    assert isinstance(segments, dict)
    figures = segments["b:A-B"]
    assert abs(figures["moment_first"]) == pytest.approx(known.first, rel=1e-9)
    assert abs(figures["moment"]) == pytest.approx(known.second, rel=1e-7)
