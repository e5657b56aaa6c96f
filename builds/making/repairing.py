"""Repairs: the remedy for each kind of fault, as the steps and parts of a small build.

What is done, with what, and how long it takes is common practice without a source. First the parts
are fetched, if any are needed. Then the animals are kept out of the way; the last step checks it
all, and between them each fault is mended.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.assembly import INSPECT
from builds.making.mendings import mending_of
from builds.making.part_names import (
    ANCHOR,
    CLIP,
    CONNECTOR,
    PLAIN_PANEL,
    TAPE,
    TIE,
    counted_part,
    part_name,
)
from builds.making.parts import TIE_NOTE, Part, StoredAs
from builds.making.step import Added, Step, Task
from builds.making.ties import spare
from habitats.upkeep.kinds import FaultKind
from habitats.wording import counted, joined, listed, message

FETCH = "fetch"
AWAY = "animals-away"
# In the order of a part list.
_LISTED = (PLAIN_PANEL, CONNECTOR, TIE, CLIP, TAPE, ANCHOR)
# Parts that came later: steps without any keep the keys that they had before.
_LATER = frozenset({ANCHOR})


class Trouble(NamedTuple):
    """A fault to mend: ``key`` is its own among those of a repair; ``where`` and ``note`` are the
    words of the person who saw it, empty where nothing was said."""

    key: str
    kind: FaultKind
    where: str = ""
    note: str = ""


def repair_steps(troubles: Sequence[Trouble], points: int) -> tuple[Step, ...]:
    """The steps in order; ``points`` are looked at in the last. At least one fault is given."""
    fetched = tuple(_fetch(troubles))
    out = any(mending_of(one.kind).holds for one in troubles)
    away = _away(out, tuple(one.id for one in fetched))
    mended = tuple(_mend(one) for one in troubles)
    return (*fetched, away, *mended, _final_check(mended, points))


def repair_parts(troubles: Iterable[Trouble], panel_mm: int) -> tuple[Part, ...]:
    """All that the faults take, as a part list has it; panels measure ``panel_mm``."""
    return tuple(_part(one.what, one.count, panel_mm) for one in _taken(troubles))


def _taken(troubles: Iterable[Trouble]) -> tuple[Added, ...]:
    """All that the faults take, kind by kind."""
    counts: Counter[str] = Counter()
    for trouble in troubles:
        for added in mending_of(trouble.kind).adds:
            counts[added.what] += added.count
    return tuple(Added(what, counts[what]) for what in _LISTED if counts[what])


def _part(what: str, count: int, panel_mm: int) -> Part:
    if what == PLAIN_PANEL:
        return Part(what, StoredAs.PANEL, count, size=(panel_mm, panel_mm))
    if what == TIE:
        return Part(what, StoredAs.FASTENING, count, spare=spare(count), note=TIE_NOTE)
    if what == TAPE:
        return Part(what, StoredAs.SHEET, count, unit="m")
    return Part(what, StoredAs.FASTENING, count)


def _fetch(troubles: Sequence[Trouble]) -> Iterator[Step]:
    """Before anybody goes there, since it may be far; nothing where nothing is needed."""
    parts = _taken(troubles)
    patches = sum(one.kind is FaultKind.TRAY for one in troubles)
    counts = {one.what: one.count for one in parts}
    if not parts:
        return
    counted_out = [
        *(_counted_out(one) for one in parts),
        *([_offcuts(patches)] if patches else []),
    ]
    yield Step(
        id=FETCH,
        title=message("Fetch and count the parts"),
        instructions=(
            message("Count out %(parts)s.", parts=listed(counted_out)),
            message("Take the tools for all steps too, and put everything beside the enclosure."),
        ),
        tools=(tools.GLOVES,),
        minutes=times.minutes((sum(one.count for one in parts), times.SORTED_PANEL)),
        bench=True,
        facts=(
            Task.FETCH,
            tuple(counts.get(one, 0) for one in _LISTED if one in counts or one not in _LATER),
            patches,
        ),
    )


def _counted_out(part: Added) -> str:
    """Of tape the roll: its metres are read off the part list."""
    return part_name(TAPE) if part.what == TAPE else counted_part(part.count, part.what)


def _offcuts(count: int) -> str:
    return counted(
        "%(count)d offcut of sheet, two hands wide",
        "%(count)d offcuts of sheet, two hands wide",
        count,
    )


def _away(out: bool, needs: tuple[str, ...]) -> Step:
    where = (
        (
            message("Move the animals into another enclosure or carriers, companions together."),
            message("Take out what stands on or leans against the place."),
        )
        if out
        else (
            message("Lure the animals into a part that is closed off, or take them out."),
            message(
                "Clear hay and bedding away from the place, so that nothing small gets lost in it."
            ),
        )
    )
    return Step(
        id=AWAY,
        title=message("Take the animals out") if out else message("Keep the animals away"),
        instructions=(*where, message("If one is hurt, call a vet before anything else.")),
        needs=needs,
        cautions=(warn.MOVED_ANIMALS.sentence,),
        minutes=times.minutes((1, times.ANIMALS_MOVED)),
        facts=(Task.KEEP_AWAY, int(out)),
    )


def _mend(trouble: Trouble) -> Step:
    done = mending_of(trouble.kind)
    note = (message("What was seen: %(note)s", note=trouble.note),) if trouble.note else ()
    return Step(
        id=f"{trouble.kind}-{trouble.key}",
        title=joined(": ", (done.title, trouble.where)) if trouble.where else done.title,
        instructions=(*note, *done.instructions),
        needs=(AWAY,),
        adds=done.adds,
        tools=done.tools,
        cautions=tuple(advice.sentence for advice in done.cautions),
        minutes=times.minutes((1, done.seconds)),
        people=done.people,
        facts=(Task.MEND, trouble.kind, trouble.key),
    )


def _final_check(mended: Sequence[Step], points: int) -> Step:
    return Step(
        id=INSPECT,
        title=message("Safety check"),
        instructions=(
            message(
                "Look at each place that was mended, then go round the whole enclosure: what broke "
                "once may have pulled at its neighbours."
            ),
            message("Answer the %(points)d points and sign.", points=points),
            message("Only then let the animals back in, and look in again the next day."),
        ),
        needs=tuple(step.id for step in mended),
        tools=(tools.GLOVES,),
        cautions=(warn.NO_ANIMALS.sentence, warn.WIRE_ENDS.sentence),
        minutes=times.minutes((points, times.INSPECTED_POINT)),
        facts=(Task.SAFETY_CHECK, points, tuple(step.facts for step in mended)),
    )
