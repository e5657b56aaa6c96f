"""Pure: the content of an adopter's box, its mass, and the care of its linens.

lines = packing_list(parts, sets=2, cloths={"liner": cloth})   # parts as a plan keeps them
missing(lines, {"plain panel": 12})                            # what is not in the box yet
"""

from builds.packing.care import days_at_home, enclosure_care
from builds.packing.linen_care import linen_care
from builds.packing.lines import Cloth, PackingLine, ShortLine, missing, packing_list
from builds.packing.mass import known_mass, mass_words

__all__ = [
    "Cloth",
    "PackingLine",
    "ShortLine",
    "days_at_home",
    "enclosure_care",
    "known_mass",
    "linen_care",
    "mass_words",
    "missing",
    "packing_list",
]
