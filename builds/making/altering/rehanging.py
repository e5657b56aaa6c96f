"""Wall panels that stay where they are and become front doors, and doors that become walls."""

from collections.abc import Collection, Iterable

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.altering.alteration import Alteration
from builds.making.kinds import KINDS
from builds.making.part_names import CLIP
from builds.making.step import Added, Step, Task
from builds.making.ties import hung_panels
from habitats.structure.kinds import Role
from habitats.structure.lattice import PanelPlace, wall_place
from habitats.structure.standing import named_edges
from habitats.structure.structure import Structure
from habitats.wording import message

REHANG = "rehang-doors"


def rehung(alteration: Alteration) -> frozenset[PanelPlace]:
    """Panels that stay and swing from now on, or swing no more."""
    changed = _swinging(alteration.stands) ^ _swinging(alteration.target)
    return alteration.staying.places & changed


def rehanging_step(alteration: Alteration, needs: tuple[str, ...]) -> Step | None:
    """The step that makes doors of them, and walls; None where there is nothing to do."""
    places = rehung(alteration)
    if not places:
        return None
    to_hang = places & _swinging(alteration.target)
    to_close = places - to_hang
    on, off = _clips(alteration.target, to_hang), _clips(alteration.stands, to_close)
    return Step(
        id=REHANG,
        title=message("Change which wall panels open"),
        instructions=(
            *(_hang_words(_where(alteration.target, to_hang)) if to_hang else ()),
            *(_close_words(_where(alteration.stands, to_close)) if to_close else ()),
        ),
        needs=needs,
        adds=(Added(CLIP, on),) if on else (),
        removes=(Added(CLIP, off),) if off else (),
        tools=(tools.GLOVES,),
        cautions=(warn.CATCH_PANELS.sentence, warn.DOOR_GAP.sentence, warn.PINCH.sentence),
        minutes=times.minutes((len(places), times.TAKEN_PANEL + times.PANEL)),
        people=2,
        facts=(Task.REHANG, tuple(sorted(to_hang)), tuple(sorted(to_close))),
    )


def _where(structure: Structure, places: Collection[PanelPlace]) -> str:
    """The walls by cell and side."""
    return named_edges(
        [
            one.edge
            for one in structure.fittings
            if one.kind == Role.DOOR and wall_place(*one.edge, one.z) in places
        ]
    )


def _hang_words(where: str) -> tuple[str, ...]:
    return (
        message(
            "Becomes a front door: %(where)s. Free the panel's corners from the connectors and "
            "leave it flush in its wall: it hangs from the new ties of its hinge and swings "
            "outward.",
            where=where,
        ),
        message("Close each front door with 2 clips on the side across from its hinge."),
    )


def _close_words(where: str) -> tuple[str, ...]:
    return (
        message(
            "Becomes a fixed wall: %(where)s. Take the clips off the front door and press its "
            "corners into the connectors.",
            where=where,
        ),
    )


def _swinging(structure: Structure) -> frozenset[PanelPlace]:
    return frozenset(panel.place for panel in structure.panels if KINDS[panel.role].swings)


def _clips(structure: Structure, places: Iterable[PanelPlace]) -> int:
    chosen = set(places)
    return sum(
        KINDS[one.panel.role].clips
        for one in hung_panels(structure)
        if one.clips is not None and one.panel.place in chosen
    )
