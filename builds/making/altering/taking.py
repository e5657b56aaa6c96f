"""Taking down: the order of building up, backwards.

To take off all but what stays is to undo the steps that would build it up from there. Whatever
a step of that building needed comes off only after the step itself has been undone; so at any
time what still stands could have been built up to just there, and nothing stands without what
holds it. Every order that keeps to the needs is safe, since its beginning leaves the end of an
order of building.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, replace
from typing import NamedTuple

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.altering import words as say
from builds.making.assembly import build_up, close_up
from builds.making.blank import BlankSet
from builds.making.facts import facts_of_taking
from builds.making.groups import round_the_floor
from builds.making.instructions import Words
from builds.making.kinds import KINDS, TIES_AT_OVERLAP, Hold
from builds.making.names import doorway_name, ramp_name
from builds.making.part_names import CONNECTOR, RAMP_PANEL, TIE, part_name
from builds.making.raising import LINERS
from builds.making.site import NOTHING, Site
from builds.making.step import Added, Parts, Step, Task
from builds.making.step_keys import Facts
from builds.making.ties import TieGroup
from builds.making.tools import Tool
from habitats.measures import length
from habitats.structure.lattice import PanelPlace, Side, wall_place
from habitats.structure.structure import Panel, Structure

CLOTH = "take-cloth"
PREFIX = "take-"


class TrayUse(NamedTuple):
    """What becomes of a tray, in codes and in one sentence."""

    facts: Facts
    sentence: str


@dataclass(frozen=True, slots=True)
class Uses:
    """What becomes of parts that come off, as far as the hand that takes them has to know.

    ``tray`` says it of a level's tray; ``whole_ramps`` are not taken apart.
    """

    tray: Callable[[int], TrayUse]
    whole_ramps: Set[int] = frozenset()


def take_down(
    structure: Structure,
    blanks: BlankSet,
    ties: Iterable[TieGroup],
    uses: Uses,
    *,
    stays: Parts = NOTHING,
    linens: Mapping[str, Facts],
    first: tuple[str, ...] = (),
) -> tuple[Step, ...]:
    """Steps that take off all but what ``stays``, from the top down.

    ``linens``, names with their facts, are taken out before anything but a lid. ``first`` are
    ids that come before all of it.
    """
    built = _built_up(structure, ties, stays, linens)
    after: dict[str, list[str]] = defaultdict(list)
    for step in built:
        for need in step.needs:
            after[need].append(step.id)
    teller = _Teller(structure, blanks, uses)
    steps = []
    for step in reversed(built):
        told = _cloth_step(linens) if step.id == LINERS else teller.undo(step)
        needs = tuple(_take_id(one) for one in reversed(after[step.id])) or first
        steps.append(replace(told, id=_take_id(step.id), needs=needs))
    return tuple(steps)


def _take_id(build_id: str) -> str:
    return CLOTH if build_id == LINERS else f"{PREFIX}{build_id.removeprefix('lay-')}"


def _built_up(
    structure: Structure, ties: Iterable[TieGroup], stays: Parts, linens: Collection[str]
) -> list[Step]:
    """How the structure would be built up from what stays, without work at the bench."""
    site = _AnyBench(ties, stays)
    build_up(site, structure, length)
    if linens:
        site.add(Step(LINERS, "", (), needs=site.last_steps()))
    else:
        site.is_done([LINERS])
    close_up(site, structure)
    return site.steps


class _AnyBench(Site):
    """A site for parts that are ready: no step waits for work at the bench."""

    def add(self, step: Step) -> None:
        placed = {one.id for one in self.steps}
        self.is_done(need for need in step.needs if need not in placed)
        super().add(step)


# --- What each step tells ---


class _Teller:
    """Tells the undoing of the steps that build a structure."""

    def __init__(self, structure: Structure, blanks: BlankSet, uses: Uses) -> None:
        self._structure = structure
        self._blanks = blanks
        self._uses = uses
        self._panels = {panel.place: panel for panel in structure.panels}

    def undo(self, step: Step) -> Step:
        if step.places:
            return self._panels_step(step)
        return self._tray_step(step) if step.trays else self._ramp_step(step)

    def _panels_step(self, step: Step) -> Step:
        panels = [self._panels[place] for place in step.places]
        count = Counter({one.what: one.count for one in step.adds})
        role, level = panels[0].role, panels[0].level
        kind = KINDS[role]
        sides = _sides(self._structure, panels) if kind.groups is round_the_floor else []
        cutting = (tools.EYES, tools.TIE_CUTTERS) if count[TIE] else ()
        cautions = [warn.CATCH_PANELS]
        held = kind.held if kind.hold is Hold.SEVERAL and len(panels) > 1 else None
        cautions += [held] if held else []
        cautions += [warn.CUT_TIES_OFF] if count[TIE] else []
        return _taking(
            step,
            say.take_panels_words(role, level, count, sides),
            step.adds,
            tools=(tools.GLOVES, *cutting),
            cautions=tuple(one.sentence for one in cautions),
            minutes=times.minutes(
                (len(panels), times.TAKEN_PANEL),
                (count[CONNECTOR], times.TAKEN_CONNECTOR),
                (count[TIE], times.CUT_TIE),
            ),
        )

    def _tray_step(self, step: Step) -> Step:
        (level,) = step.trays
        blanks = [one for one in self._blanks.blanks if one.level == level]
        use = self._uses.tray(level)
        return _taking(
            step,
            say.take_tray_words(
                level, use.sentence, doorways=len(self._structure.trays[level].doorways)
            ),
            tuple(Added(one.code, one.quantity) for one in blanks),
            tools=(tools.GLOVES,),
            cautions=(
                *((warn.LIFT_TRAY.sentence,) if step.people == 2 else ()),
                warn.OLD_TRAY.sentence,
            ),
            minutes=times.minutes((1, times.TAKEN_TRAY)),
            more=use.facts,
        )

    def _ramp_step(self, step: Step) -> Step:
        (index,) = step.ramps
        ramp = self._structure.ramps[index]
        whole = index in self._uses.whole_ramps
        loose = sum(one.count for one in step.adds if one.what == TIE)
        overlaps = 0 if whole else TIES_AT_OVERLAP * (ramp.panels - 1)
        strips = [one for one in self._blanks.blanks if one.ramp == index]
        return _taking(
            step,
            say.take_ramp_words(
                ramp_name(self._structure, index), doorway_name(ramp), loose, whole=whole
            ),
            (
                Added(RAMP_PANEL, ramp.panels),
                Added(TIE, loose + overlaps),
                *(Added(one.code, one.quantity) for one in strips),
            ),
            tools=(tools.GLOVES, tools.EYES, tools.TIE_CUTTERS),
            cautions=(warn.CUT_TIES_OFF.sentence,),
            minutes=times.minutes((1, times.TAKEN_RAMP), (overlaps, times.CUT_TIE)),
            more=(int(whole),),
        )


def _taking(
    step: Step,
    words: Words,
    removes: tuple[Added, ...],
    *,
    tools: tuple[Tool, ...],
    cautions: tuple[str, ...],
    minutes: int,
    more: Facts = (),
) -> Step:
    """The step undone; ``more`` are facts of the taking itself."""
    return Step(
        id=step.id,
        title=words.title,
        instructions=words.instructions,
        tools=tools,
        cautions=cautions,
        minutes=minutes,
        people=step.people,
        takes=step.puts,
        removes=removes,
        facts=(Task.TAKE, *facts_of_taking(step.facts), *more),
    )


def _cloth_step(linens: Mapping[str, Facts]) -> Step:
    words = say.take_cloth_words([part_name(code) for code in linens])
    return Step(
        id=CLOTH,
        title=words.title,
        instructions=words.instructions,
        minutes=times.minutes((len(linens), times.TAKEN_LINEN)),
        removes=tuple(Added(one, 1) for one in linens),
        facts=(Task.TAKE_CLOTH, *linens.values()),
    )


def _sides(structure: Structure, panels: Iterable[Panel]) -> list[tuple[Side, int]]:
    """How many of these wall panels stand on which side of their level's floor."""
    counts = Counter(side for panel in panels for side in _side_of(structure, panel))
    return sorted(counts.items(), key=lambda one: [*Side].index(one[0]))


def _side_of(structure: Structure, panel: Panel) -> Iterator[Side]:
    level = structure.design.levels[panel.level]
    for ring in structure.trays[panel.level].rings:
        for wall in ring:
            at = {_at_height(wall_place(cell, wall.side, level.z), panel) for cell in wall.cells}
            if panel.place in at:
                yield wall.side


def _at_height(place: PanelPlace, panel: Panel) -> PanelPlace:
    return place._replace(z=panel.place.z)


def came_off(steps: Iterable[Step]) -> Counter[str]:
    """All that some steps take off, by the codes of the part list."""
    count: Counter[str] = Counter()
    for step in steps:
        count.update({one.what: one.count for one in step.removes})
    return count
