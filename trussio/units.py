"""The two unit systems of a document and the exact factors between them.

`us`: in, lbf, psi; line loads plf, area loads psf, density pcf, temperature degrees F.
`si`: mm, N, MPa; line loads kN/m, area loads kPa, density kg/m3, temperature degrees C.
The base pairs in/lbf and mm/N are consistent, so statics runs in the document's own numbers; line loads and
densities alone convert on their way into statics (`line_load`, `weight_density`).

Factors: 1 in = 25.4 mm and 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959);
standard gravity 9.80665 m/s2 exactly (3rd CGPM, 1901).
"""

from __future__ import annotations

from typing import Final, Literal

UnitSystem = Literal["us", "si"]

MM_PER_INCH: Final = 25.4
KG_PER_POUND: Final = 0.45359237
GRAVITY: Final = 9.80665
NEWTON_PER_POUND: Final = KG_PER_POUND * GRAVITY

LINE_LOAD: Final[dict[UnitSystem, float]] = {"us": 1 / 12, "si": 1.0}
"""Force per base length that one document unit of line load is: plf to lbf/in, kN/m to N/mm."""

WEIGHT_DENSITY: Final[dict[UnitSystem, float]] = {"us": 1 / 1728, "si": GRAVITY * 1e-9}
"""Force per base volume that one document unit of density weighs: pcf to lbf/in3, kg/m3 to N/mm3."""
