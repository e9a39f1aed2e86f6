"""Healing, its steps in order: from axes as drawn to sticks that meet at joints.

Each step takes what the one before gave and tells what it changed. Healing what is healed changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.drawing.heal.arcs import with_arcs
from trussio.drawing.heal.ends import without_duplicates, without_points
from trussio.drawing.heal.near_joins import joined_near
from trussio.drawing.heal.net import contacts_within
from trussio.drawing.heal.overlaps import without_overlaps

if TYPE_CHECKING:
    from trussio.drawing.heal.net import Contacts, Net
    from trussio.drawing.heal.reach import Reach
    from trussio.model.change import Change


@dataclass(frozen=True, kw_only=True, eq=False)
class Healed:
    """A net whose contacts lie on their axes, and what was done to it."""

    net: Net
    contacts: Contacts
    changes: tuple[Change, ...]


def healed(net: Net, reach: Reach) -> Healed:
    """Everything that needs no question: ends within the report distance, duplicates, overlaps, curves."""
    changes: list[Change] = []
    for step in (without_points, without_duplicates, with_arcs):
        net, more = step(net, reach)
        changes += more
    contacts = contacts_within(net, reach.report)
    for _ in range(4):
        net, more = without_overlaps(net, contacts, reach)
        if not more:
            break
        changes += more
        net, more = without_duplicates(net, reach)
        changes += more
        contacts = contacts_within(net, reach.report)
    drawn = net.axes.lengths
    net, contacts, more = joined_near(net, contacts, reach)
    changes += more
    before = len(net.axes)
    net, more = without_points(net, reach, drawn)
    changes += more
    net, more = without_duplicates(net, reach)
    changes += more
    if len(net.axes) != before:
        contacts = contacts_within(net, reach.silent)
    return Healed(net=net, contacts=contacts, changes=tuple(changes))
