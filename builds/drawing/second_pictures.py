"""The second picture of a step: what its first one cannot show, since it is seen otherwise."""

from builds.drawing.blanks import turned_picture
from builds.drawing.dimension import Lengths
from builds.drawing.ramps import ramp_picture
from builds.making.blank import BlankSet
from builds.making.lying import is_same_turned
from builds.making.step import Step, Work
from habitats.structure.structure import Structure


def second_picture(structure: Structure, blanks: BlankSet, step: Step, *, lengths: Lengths) -> str:
    """The piece that it cuts turned over, or the ramp that it sets from its side.

    Empty where there is neither, and where the piece looks the same turned over.
    """
    if step.subject and step.subject.work is Work.CUT_BLANK:
        blank = blanks.blanks[step.subject.index]
        return "" if is_same_turned(blank) else turned_picture(blank, lengths=lengths)
    if step.ramps:
        ramp = structure.ramps[step.ramps[0]]
        return ramp_picture(ramp, structure.design.panel, lengths=lengths)
    return ""
