"""What every rule of the audit looks at: the truss, and its statics in both idealisations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trussio.audit.compatibility import compatibility
from trussio.audit.rank import decompose, statics_of
from trussio.model.idealised import idealise

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.audit.compatibility import Compatibility
    from trussio.audit.rank import Rank
    from trussio.model.finding import Statics
    from trussio.model.idealised import Idealised
    from trussio.model.truss import Idealisation, JointId, Truss


@dataclass(frozen=True, kw_only=True)
class View:
    """A truss under one idealisation."""

    idealised: Idealised
    compat: Compatibility
    rank: Rank
    statics: Statics


@dataclass(frozen=True, kw_only=True)
class Subject:
    """A truss, the idealisation asked for, and the views of both.

    `document` is the truss as its document says it, where `truss` is that of another state of it. `extent` is the
    longer side of the box around the joints, `panel` the mean length of segments joint to joint, `snap` the
    distance within which two points are taken for one: 1/500 of the extent, at most 1/20 of a panel.
    """

    truss: Truss
    document: Truss
    asked: Idealisation
    views: Mapping[Idealisation, View]
    extent: float
    panel: float
    snap: float

    @property
    def view(self) -> View:
        """The view asked for."""
        return self.views[self.asked]

    @property
    def other(self) -> Idealisation:
        """The idealisation not asked for."""
        return "pinned" if self.asked == "continuous" else "continuous"

    @property
    def names(self) -> list[JointId]:
        """The joints in document order, as the arrays count them."""
        return list(self.truss.joints)


def subject_of(truss: Truss, asked: Idealisation, document: Truss | None = None) -> Subject:
    """The subject of an audit."""
    views: dict[Idealisation, View] = {"pinned": _view(truss, "pinned"), "continuous": _view(truss, "continuous")}
    compat = views["continuous"].compat
    extent = float(np.ptp(compat.xy, axis=0).max()) if len(compat.xy) else 0.0
    across = compat.xy[compat.ends[:, 1]] - compat.xy[compat.ends[:, 0]]
    panel = float(np.hypot(across[:, 0], across[:, 1]).mean()) if len(across) else extent
    return Subject(
        truss=truss,
        document=document or truss,
        asked=asked,
        views=views,
        extent=extent,
        panel=panel,
        snap=min(extent / 500, panel / 20),
    )


def _view(truss: Truss, idealisation: Idealisation) -> View:
    idealised = idealise(truss, idealisation)
    compat = compatibility(truss, idealised)
    rank = decompose(compat.matrix)
    return View(idealised=idealised, compat=compat, rank=rank, statics=statics_of(truss, compat, rank))
