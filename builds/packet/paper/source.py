"""Sources of a packet: a design to build from new parts, or an alteration."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

from builds.drawing.corner import corner_picture
from builds.drawing.dimension import Lengths
from builds.drawing.steps import step_picture, step_views
from builds.making.blank import Blank, BlankSet, SheetSize
from builds.making.parts import PartList
from builds.making.reckoning import Reckoning
from builds.making.step import Step
from builds.packet.paper.values import AlterationSheet
from builds.sheets import InPlan
from habitats.structure.structure import Structure


@dataclass(frozen=True, slots=True)
class PacketSource:
    """What will stand, how it is come to, and the two drawings that hang on where one begins.

    ``parts`` are listed; ``blanks`` are all that will lie in it, ``to_cut`` those that come from
    new ``sheet``, and ``shown`` the names of those with a card. ``ramps`` are the numbers of those
    to make, from 0. ``overview()`` draws the cover, ``draw_step(index, lengths)`` a step.
    ``change`` is None for a design that is built from nothing. ``in_plan``: the sheet plan of a
    batch that cuts its sheet; None: it has a plan of its own.
    """

    structure: Structure
    steps: Sequence[Step]
    parts: PartList
    blanks: BlankSet
    to_cut: tuple[Blank, ...]
    sheet: SheetSize
    shown: frozenset[str]
    ramps: Sequence[int]
    overview: Callable[[], str]
    draw_step: Callable[[int, Lengths], str]
    change: AlterationSheet | None = None
    in_plan: InPlan | None = None


def source_of(reckoning: Reckoning) -> PacketSource:
    """All of a design: everything in it is made."""
    structure, blanks = reckoning.structure, reckoning.blanks
    views = cache(lambda: step_views(structure, reckoning.steps))

    def draw_step(index: int, lengths: Lengths) -> str:
        return step_picture(
            structure,
            blanks,
            reckoning.steps,
            index,
            lengths=lengths,
            views=views(),
        )

    def overview() -> str:
        """From where the last step is seen."""
        *_before, last = views().values()
        return corner_picture(structure, corner=last.view.corner)

    return PacketSource(
        structure=structure,
        steps=reckoning.steps,
        parts=reckoning.parts,
        blanks=blanks,
        to_cut=blanks.blanks,
        sheet=reckoning.sheet,
        shown=frozenset(one.code for one in blanks.blanks),
        ramps=range(len(structure.ramps)),
        overview=overview,
        draw_step=draw_step,
    )
