"""Tendons and stages from one unit system into the other."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.model.staging import Add, Jack, Shore
from trussio.model.tendon import TendonLoad

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from decimal import Decimal

    from trussio.document.conversion import Conversion
    from trussio.model.loading import Load
    from trussio.model.staging import Action, Stage
    from trussio.model.tendon import Tendon


class Factors(NamedTuple):
    """What one unit of `us` is in `si`; `per_length` is that of what counts per length without another unit."""

    length: Decimal
    per_length: Decimal
    area: Decimal
    force: Decimal
    stress: Decimal
    spring: Decimal
    turning: Decimal


def converted_tendons(tendons: Mapping[str, Tendon], convert: Conversion, by: Factors) -> dict[str, Tendon]:
    """Every tendon."""
    return {name: _tendon(tendon, convert, by) for name, tendon in tendons.items()}


def converted_stages(stages: Sequence[Stage], convert: Conversion, by: Factors) -> tuple[Stage, ...]:
    """Every stage."""
    return tuple(
        stage._replace(actions=tuple(_action(action, convert, by) for action in stage.actions)) for stage in stages
    )


def converted_tendon_load(load: Load, convert: Conversion, by: Factors) -> Load:
    """What a case does to a tendon; any other load as it is."""
    if not isinstance(load, TendonLoad):
        return load
    return load._replace(force=convert.maybe(load.force, by.force), stress=convert.maybe(load.stress, by.stress))


def _tendon(tendon: Tendon, convert: Conversion, by: Factors) -> Tendon:
    return tendon._replace(
        path=tuple(
            point._replace(offset=convert(point.offset, by.length), bearing=convert.maybe(point.bearing, by.area))
            for point in tendon.path
        ),
        area=convert.maybe(tendon.area, by.area),
        E=convert.maybe(tendon.E, by.stress),
        wobble=convert(tendon.wobble, by.per_length),
        slip=convert.maybe(tendon.slip, by.length),
        fu=convert.maybe(tendon.fu, by.stress),
    )


def _action(action: Action, convert: Conversion, by: Factors) -> Action:
    changed: Action = action
    match action:
        case Shore():
            if action.springs is not None:
                springs = {
                    way: convert(stiffness, by.turning if way == "turn" else by.spring)
                    for way, stiffness in action.springs.items()
                }
                changed = action._replace(springs=springs)
        case Jack():
            force, lift = convert.maybe(action.force, by.force), convert.maybe(action.by, by.length)
            changed = action._replace(force=force, by=lift)
        case Add():
            along = convert.maybe(action.along, by.stress)
            changed = action._replace(slip=convert.maybe(action.slip, by.spring), along=along)
        case _:
            pass
    return changed
