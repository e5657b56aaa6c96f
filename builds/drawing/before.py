"""The former structure in the pictures of an alteration: parts that stay, parts taken off.

It is a structure of its own, told in the same lattice as the one that it becomes, and may reach
past that one's drawing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from builds.drawing.facets import Facet
from builds.drawing.standing import doubled_by, facets_of, panel_facet
from builds.making.step import Parts
from habitats.structure.connectors import Stance
from habitats.structure.kinds import Role
from habitats.structure.lattice import Joint, PanelPlace
from habitats.structure.structure import Panel, Structure
from habitats.wording import message

FRAME_ONLY = 1  # squares of mesh
NOTHING = Parts()


@dataclass(frozen=True, slots=True)
class Before:
    """``stand`` is left of the structure, ``taken`` is what this step takes off.

    ``turned`` connectors are shown as they sit afterwards. ``borrowed`` panels stand for the time
    of the work only.
    """

    structure: Structure
    stand: Parts
    taken: Parts = NOTHING
    turned: Mapping[Joint, Stance] = field(default_factory=dict)
    borrowed: frozenset[PanelPlace] = frozenset()
    borrowed_now: bool = False

    @property
    def facets(self) -> list[Facet]:
        """Without mesh but for doubled walls: all is there to be found again, or to go."""
        full = self.structure.design.panel.squares
        stand = facets_of(
            self.structure, self.stand, NOTHING, squares=FRAME_ONLY, doubled_squares=full
        )
        taken = facets_of(self.structure, self.taken, NOTHING, squares=FRAME_ONLY)
        taken += self._second_layer()
        across = [
            panel_facet(
                self.structure, Panel(place, Role.WALL, 0), FRAME_ONLY, new=self.borrowed_now
            )
            for place in sorted(self.borrowed)
        ]
        return [*stand, *(replace(one, taken=True) for one in taken), *across]

    def _second_layer(self) -> list[Facet]:
        """Panels of the pup set that come off, with their mesh: the wall behind them has none."""
        doubled = Parts(places=doubled_by(self.taken))
        squares = self.structure.design.panel.squares
        return facets_of(self.structure, doubled, NOTHING, squares=squares)

    @property
    def sentences(self) -> list[str]:
        """What a picture's description says of it."""
        taken = [message("What is taken off is dashed.")] if self.taken else []
        turned = [message("Connectors to turn have a ring.")] if self.turned else []
        return [*taken, *turned]
