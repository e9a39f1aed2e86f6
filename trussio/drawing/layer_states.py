"""What the layers of a drawing say: which are off or frozen, and which line type they lend.

Names of layers mean the same in capitals and small letters; the spelling of the layer table stands, or the
first one met. A layer that the table lacks is visible, as every drawing program shows it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.records import HIDDEN

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from numpy.typing import NDArray

    from trussio.drawing.content import Names

LENT: Final = "0"
"""Inside a block, what lies on this layer takes the layer of the block reference."""
OFF: Final = HIDDEN.index("layer off")
FROZEN: Final = HIDDEN.index("layer frozen")
INVISIBLE: Final = HIDDEN.index("invisible")
PLAIN: Final = "CONTINUOUS"


@dataclass(frozen=True, kw_only=True, eq=False)
class LayerStates:
    """By the number of a layer in `Names`: `same` the number of its first spelling, `state` a number into HIDDEN.

    `linetype` is the number of the line type that it lends, `lent` whether it is layer 0, `missing` the layers in
    use that the table lacks, `unplotted` those that no plot shows.
    """

    same: NDArray[np.int32]
    state: NDArray[np.int32]
    linetype: NDArray[np.int32]
    lent: NDArray[np.bool_]
    by_layer: int
    by_block: int
    plain: int
    missing: tuple[str, ...]
    unplotted: tuple[str, ...]

    def linetypes(
        self, written: NDArray[np.int32], layer: NDArray[np.int32], block: NDArray[np.int32] | int
    ) -> NDArray[np.int32]:
        """Line types resolved: through the layer, through the block reference, or as written."""
        through_layer = np.where(written == self.by_layer, self.linetype[layer], written)
        return np.where(written == self.by_block, block, through_layer).astype(np.int32)

    def hidden(
        self, layer: NDArray[np.int32], invisible: NDArray[np.bool_], above: NDArray[np.int32] | int
    ) -> NDArray[np.int32]:
        """Why each thing does not show, as a number into HIDDEN; `above` is that of its block reference."""
        own = np.where(invisible, INVISIBLE, self.state[layer])
        return np.where(np.asarray(above) > 0, above, own).astype(np.int32)

    def hidden_inside(
        self, layer: NDArray[np.int32], above: NDArray[np.int32], *, invisible: bool
    ) -> NDArray[np.int32]:
        """Why nothing inside a block reference shows: a frozen layer hides it, one that is off does not."""
        frozen = np.where(self.state[layer] == FROZEN, FROZEN, 0)
        own = np.full_like(frozen, INVISIBLE) if invisible else frozen
        return np.where(above > 0, above, own).astype(np.int32)


def read_layers(drawing: Drawing, names: Names) -> LayerStates:
    """The states of all layers in use; adds the line types that they lend to the names."""
    first: dict[str, int] = {}
    same, state, lends = [], [], []
    missing, unplotted = [], []
    for name, number in names.layers.items():
        same.append(first.setdefault(name.casefold(), number))
        if name in drawing.layers:
            layer = drawing.layers.get(name)
            state.append(FROZEN if layer.is_frozen() else OFF if layer.is_off() else 0)
            lends.append(names.linetypes[str(layer.dxf.get("linetype", PLAIN)).upper()])
            if not layer.dxf.get("plot", 1):
                unplotted.append(name)
        else:
            state.append(0)
            lends.append(names.linetypes[PLAIN])
            if same[-1] == number and name != LENT:
                missing.append(name)
    return LayerStates(
        same=np.array(same, dtype=np.int32),
        state=np.array(state, dtype=np.int32),
        linetype=np.array(lends, dtype=np.int32),
        lent=np.array([name == LENT for name in names.layers], dtype=bool),
        by_layer=names.linetypes["BYLAYER"],
        by_block=names.linetypes["BYBLOCK"],
        plain=names.linetypes[PLAIN],
        missing=tuple(missing),
        unplotted=tuple(unplotted),
    )
