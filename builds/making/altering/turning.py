"""Connectors of what stays that are turned, and the ties round it that go or come."""

from collections.abc import Sequence

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.altering import words as say
from builds.making.altering.alteration import Alteration
from builds.making.facts import spot_facts, turn_facts
from builds.making.part_names import TIE
from builds.making.step import Added, Step, Task
from builds.making.ties import TieSpot
from habitats.structure.connectors import Turn
from habitats.structure.lattice import Face, joints_of

TURN = "turn-connectors"


def turning_step(
    alteration: Alteration, turned: Sequence[Turn], tied: Sequence[TieSpot], cut: int
) -> Step:
    ties = sum(spot.count for spot in tied)
    carries = _carries(alteration, turned)
    counts = (Added(TIE, ties),) if ties else ()
    cutting = (tools.EYES, tools.TIE_CUTTERS) if ties or cut else ()
    cautions = [warn.CONNECTOR_OFF] if turned else []
    cautions += [warn.TIE_TAILS] if ties or cut else []
    words = say.turn_words(turned, ties, cut, carries=carries)
    return Step(
        id=TURN,
        title=words.title,
        instructions=words.instructions,
        adds=counts,
        removes=(Added(TIE, cut),) if cut else (),
        turns=tuple(turned),
        tools=(tools.GLOVES, *cutting),
        cautions=tuple(one.sentence for one in cautions),
        minutes=times.minutes((len(turned), times.TURNED_CONNECTOR), (ties + cut, times.TIE)),
        people=2 if carries else 1,
        facts=(Task.TURN, turn_facts(turned), spot_facts(tied), cut, int(carries)),
    )


def _carries(alteration: Alteration, turned: Sequence[Turn]) -> bool:
    """Whether a floor or lid that stays rests on a connector that is turned."""
    flats = (place for place in alteration.staying.places if place.face is Face.FLAT)
    return not joints_of(flats).isdisjoint(turn.joint for turn in turned)
