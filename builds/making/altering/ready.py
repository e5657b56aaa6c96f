"""Work at the bench in an alteration: what of the target's bench work is left to do.

What is kept or serves again whole is ready. A doorway is cut from a panel that came off before
one is fetched for it; an old tray is cut down on the bench and then folded as a new one is.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.altering import words as say
from builds.making.altering.alteration import Alteration
from builds.making.altering.counting import PartKind
from builds.making.altering.staying import openings_of
from builds.making.altering.trays import Fate, TrayFate
from builds.making.bench import MEASURE, SORT, bench_steps
from builds.making.blank import Blank
from builds.making.facts import blank_facts
from builds.making.instructions import Lengths
from builds.making.names import level_key
from builds.making.parts import list_parts
from builds.making.step import Step, Subject, Task, Work
from habitats.measures import size
from habitats.structure.lattice import wall_place

SORT_OUT = "sort-out"

_DOORWAY_WORK = (Work.CUT_DOORWAY, Work.FILE_DOORWAY)
_RAMP_WORK = (Work.BEND_RAMP, Work.TIE_RAMP, Work.FOLD_STRIP)


@dataclass(frozen=True, slots=True)
class BenchWork:
    """Bench steps on new material, which can be done while the animals stay; those on parts that
    came off; and ids of the target's bench steps that are not needed.
    """

    early: tuple[Step, ...]
    late: tuple[Step, ...]
    done: tuple[str, ...]


def bench_work(alteration: Alteration, lengths: Lengths, *, first: tuple[str, ...]) -> BenchWork:
    """What is left to do at the bench; ``first`` are ids that come before the late ones."""
    target, blanks = alteration.target, alteration.wanted.blanks
    every = [
        step
        for step in bench_steps(target, blanks, list_parts(target, blanks), lengths)
        if step.id != SORT
    ]
    chosen = _Chosen(alteration)
    new = [step for step in every if chosen.is_new(step)]
    again = [step for step in every if chosen.is_again(step)]
    measuring = [step for step in every if step.id == MEASURE] if new or again else []
    recut = [*_recut(alteration, lengths, first)]
    early = [replace(step, needs=_known(step, [*measuring, *new])) for step in (*measuring, *new)]
    ids = {step.id for step in recut}
    late = [
        *recut,
        *(
            replace(one, needs=(*_known(one, [*measuring, *again]), *first, *_cut_first(one, ids)))
            for one in again
        ),
    ]
    left = {step.id for step in (*early, *late)}
    return BenchWork(tuple(early), tuple(late), tuple(s.id for s in every if s.id not in left))


def _known(step: Step, others: list[Step]) -> tuple[str, ...]:
    ids = {SORT, *(one.id for one in others)}
    return tuple(need for need in step.needs if need in ids)


def _cut_first(step: Step, ids: set[str]) -> tuple[str, ...]:
    """A tray that is cut down is folded after that."""
    return tuple(one for one in ids if step.id == one.replace("cut-down-tray", "fold-tray"))


class _Chosen:
    """Which bench steps of the target are needed, and which of them wait for what comes off."""

    def __init__(self, alteration: Alteration) -> None:
        self._fates = {one.level: one.fate for one in alteration.trays}
        self._blanks = alteration.wanted.blanks.blanks
        self._old_ramps = {*alteration.staying.same_ramps, *alteration.ramps_moved}
        self._new_doorways, self._late_doorways = _doorways_to_cut(alteration)

    def is_new(self, step: Step) -> bool:
        subject = step.subject
        if subject is None:
            return False
        if subject.work in _DOORWAY_WORK:
            return subject.index in self._new_doorways
        if subject.work in _RAMP_WORK:
            return subject.index not in self._old_ramps
        if subject.work is Work.FOLD_TRAY:
            return self._fates[subject.index] is Fate.NEW
        return self._is_new_blank(self._blanks[subject.index])

    def is_again(self, step: Step) -> bool:
        subject = step.subject
        if subject is None:
            return False
        if subject.work is Work.FOLD_TRAY:
            return self._fates[subject.index] is Fate.CUT_DOWN
        return subject.work in _DOORWAY_WORK and subject.index in self._late_doorways

    def _is_new_blank(self, blank: Blank) -> bool:
        if blank.level is not None:
            return self._fates[blank.level] is Fate.NEW
        return blank.ramp not in self._old_ramps


def _doorways_to_cut(alteration: Alteration) -> tuple[set[int], set[int]]:
    """Ramps whose doorway panel is cut: from a new panel, and from one that comes off."""
    target = alteration.target
    wanted, had = openings_of(target), openings_of(alteration.stands)
    same = alteration.staying.same_places
    spare = Counter(had[place] for place in had.keys() - same)
    open_ones = []
    for index, ramp in enumerate(target.ramps):
        place = wall_place(ramp.cell, ramp.side, target.design.levels[ramp.level].z)
        if place in same:
            continue
        if spare[wanted[place]]:
            spare[wanted[place]] -= 1
        else:
            open_ones.append(index)
    remade = alteration.balances[PartKind.DOORWAY].remade
    return set(open_ones[remade:]), set(open_ones[:remade])


# --- Trays that are cut again ---


def _recut(alteration: Alteration, lengths: Lengths, first: tuple[str, ...]) -> Iterator[Step]:
    """Cutting old trays on the bench: to a smaller one, or for a doorway more."""
    for fate in alteration.trays:
        if fate.fate is Fate.CUT_DOWN:
            yield _cut_down(alteration, fate, lengths, first)
        elif fate.doorways and not _lies(alteration, fate):
            yield cut_doorways_step(fate, lies=False, needs=first)


def _lies(alteration: Alteration, fate: TrayFate) -> bool:
    return fate.level in alteration.staying.trays


def _cut_down(
    alteration: Alteration, fate: TrayFate, lengths: Lengths, first: tuple[str, ...]
) -> Step:
    old = next(one for one in alteration.standing.blanks.blanks if one.level == fate.old)
    number, new = next(
        (i, one) for i, one in enumerate(alteration.wanted.blanks.blanks) if one.level == fate.level
    )
    sizes = tuple(size((one.width_mm, one.height_mm), lengths) for one in (old, new))
    words = say.cut_down_words(new.name, fate.old or 0, (sizes[0], sizes[1]), fate.doorways)
    return Step(
        id=f"cut-down-tray-{level_key(fate.level)}",
        title=words.title,
        instructions=words.instructions,
        needs=first,
        tools=(
            tools.GLOVES,
            tools.KNIFE,
            tools.STRAIGHTEDGE,
            tools.MAT,
            tools.MEASURE,
            tools.MARKER,
        ),
        cautions=(warn.KNIFE.sentence, warn.SCORE.sentence, warn.OLD_TRAY.sentence),
        minutes=times.minutes((1, times.OPENED_TRAY), (1, times.MARKING_A_BLANK)),
        bench=True,
        subject=Subject(Work.CUT_BLANK, number),
        facts=(Task.CUT_DOWN, blank_facts(old), blank_facts(new), fate.doorways),
    )


def cut_doorways_step(fate: TrayFate, *, lies: bool, needs: tuple[str, ...]) -> Step:
    """Cutting doorways more into an old tray, where it lies or on the bench."""
    words = say.cut_doorways_words(fate.level, fate.doorways, lies=lies)
    return Step(
        id=f"cut-tray-{level_key(fate.level)}",
        title=words.title,
        instructions=words.instructions,
        needs=needs,
        tools=(
            tools.GLOVES,
            tools.KNIFE,
            tools.STRAIGHTEDGE,
            tools.MEASURE,
            tools.MARKER,
        ),
        cautions=(warn.KNIFE.sentence, warn.SCORE.sentence, warn.OLD_TRAY.sentence),
        minutes=times.minutes((len(fate.doorways), times.MARKING_A_PANEL)),
        bench=not lies,
        subject=Subject(Work.FOLD_TRAY, fate.level),
        facts=(Task.CUT_TRAY, fate.level, fate.doorways, int(lies)),
    )
