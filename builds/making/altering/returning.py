"""What is taken off and put on again as it is: counted in the step that puts it on."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from builds.making.altering.alteration import Alteration
from builds.making.altering.trays import Fate
from builds.making.part_names import RAMP_PANEL
from builds.making.step import Added, Step

AGAIN = "again"  # the fact that what is put on was taken off before


def with_what_returns(alteration: Alteration, step: Step) -> Step:
    """A step that puts a tray or ramp on that serves again counts it: no bench step did."""
    back = (*_trays_back(alteration, step), *_ramps_back(alteration, step))
    if not back:
        return step
    return replace(step, adds=(*step.adds, *back), facts=(*step.facts, AGAIN))


def _trays_back(alteration: Alteration, step: Step) -> Iterator[Added]:
    folded = (Fate.NEW, Fate.CUT_DOWN)
    levels = {
        one.level for one in alteration.trays if one.level in step.trays and one.fate not in folded
    }
    yield from _blanks_of(alteration, levels, ())


def _ramps_back(alteration: Alteration, step: Step) -> Iterator[Added]:
    again = {*alteration.staying.same_ramps, *alteration.ramps_moved}
    for index in step.ramps:
        if index in again:
            yield Added(RAMP_PANEL, alteration.target.ramps[index].panels)
            yield from _blanks_of(alteration, (), (index,))


def _blanks_of(
    alteration: Alteration, levels: Iterable[int], ramps: Iterable[int]
) -> Iterator[Added]:
    on, along = set(levels), set(ramps)
    for blank in alteration.wanted.blanks.blanks:
        if blank.level in on or blank.ramp in along:
            yield Added(blank.code, blank.quantity)
