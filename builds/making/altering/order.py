"""The order of an alteration.

Fetching and the bench come first, while the animals still live in it. Then they go out, or into a
part that is closed off. All that does not stay is taken off from the top down, sorted, and what
serves again is made ready; connectors are turned; the rest is put on from the bottom up, as a new
build is, on top of what stayed. Cloth, lid, wall anchors and inspection end it, and the
animals come back.

What stays stands by itself (``staying.py``). So at every moment there stands what stays and the
beginning of an order of building, first the standing one's and then the target's: whatever order
keeps to the needs, nothing is ever without what holds it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.altering import words as say
from builds.making.altering.alteration import Alteration
from builds.making.altering.counting import TiedPlace, kind_facts
from builds.making.altering.facts import linen_facts, new_facts, refuge_facts
from builds.making.altering.lists import again_from, left_over, new_blanks, new_parts, old_blanks
from builds.making.altering.ready import SORT_OUT, BenchWork, bench_work, cut_doorways_step
from builds.making.altering.refuge import Refuge, refuge_in
from builds.making.altering.rehanging import rehanging_step, rehung
from builds.making.altering.taking import TrayUse, Uses, came_off, take_down
from builds.making.altering.trays import Fate
from builds.making.anchoring import anchor_step, free_step
from builds.making.assembly import INSPECT, build_up, close_up, inspect
from builds.making.bench import SORT
from builds.making.facts import spot_facts, turn_facts
from builds.making.instructions import Lengths, Words
from builds.making.names import the_level
from builds.making.part_names import PLAIN_PANEL, RAMP_PANEL, TIE, part_name, towel_code
from builds.making.raising import LINERS
from builds.making.site import Site
from builds.making.step import Added, Parts, Step, Task
from builds.making.step_keys import Facts
from builds.making.ties import TieSpot, ties_needed
from builds.making.tools import Tool
from habitats.measures import length
from habitats.structure.connectors import Turn
from habitats.structure.lattice import Face, joints_of
from habitats.wording import message

ANIMALS_OUT = "animals-out"
ANIMALS_BACK = "animals-back"
TURN = "turn-connectors"
AGAIN = "again"  # the fact that what is put on was taken off before
TIES_AT_BORROWED = 4  # two at each end of a divider that stands for the time of the work


@dataclass(frozen=True, slots=True)
class Order:
    """The steps of an alteration, and where the animals may stay meanwhile; None: out."""

    steps: tuple[Step, ...]
    refuge: Refuge | None


def order_of_alteration(alteration: Alteration, *, lengths: Lengths = length) -> Order:
    """Every step, in an order that is safe all along; none where nothing changes."""
    if not _anything_to_do(alteration):
        return Order((), None)
    refuge = refuge_in(alteration, _touched(alteration), cut_where_it_lies(alteration))
    site = Site(ties_needed(alteration.target), what_stays_in_target(alteration), [LINERS])
    _fetch(site, alteration, refuge)
    bench = bench_work(alteration, lengths, first=())
    site.is_done(bench.done)
    for step in bench.early:
        site.add(step)
    _take_off(site, alteration, refuge)
    _make_ready(site, alteration, bench)
    build_up(site, alteration.target, lengths)
    _finish(site, alteration, refuge)
    return Order(tuple(_with_what_returns(alteration, step) for step in site.steps), refuge)


def what_stays_in_target(alteration: Alteration) -> Parts:
    """What stays, trays and ramps by the target's indexes."""
    stays = alteration.staying
    return Parts(
        stays.places,
        stays.joints,
        frozenset(stays.trays),
        frozenset(stays.ramps),
        alteration.anchors_left,
    )


def what_stays_as_it_stood(alteration: Alteration) -> Parts:
    """The same by the indexes of what stands."""
    stays = alteration.staying
    return Parts(
        stays.places,
        stays.joints,
        frozenset(stays.trays.values()),
        frozenset(stays.ramps.values()),
        alteration.anchors_left,
    )


def turned_in_place(alteration: Alteration) -> tuple[Turn, ...]:
    """Connectors that stay and are turned. Others are off anyway, and go back as they will sit."""
    joints = alteration.staying.joints
    return tuple(turn for turn in alteration.turns if turn.joint in joints)


def retied(alteration: Alteration) -> tuple[TieSpot, ...]:
    """Places among what stays that are tied although nothing is put on there."""
    places = alteration.staying.places
    return tuple(
        spot
        for group in ties_needed(alteration.target)
        for spot in group.spots
        if spot.places
        and places.issuperset(spot.places)
        and TiedPlace(spot.where, frozenset(spot.joints), frozenset(spot.places), None)
        not in alteration.ties_left
    )


def _ties_to_cut(alteration: Alteration) -> int:
    """Ties round what stays that have nothing to hold any more."""
    places, left = alteration.staying.places, alteration.ties_left
    return sum(
        count
        for spot, count in alteration.ties[0].items()
        if spot.ramp is None and spot.places <= places and spot not in left
    )


def cut_where_it_lies(alteration: Alteration) -> tuple[int, ...]:
    """Levels of the target whose tray stays and gets a doorway more."""
    stays = alteration.staying.trays
    return tuple(one.level for one in alteration.trays if one.doorways and one.level in stays)


def _anything_to_do(alteration: Alteration) -> bool:
    return bool(
        alteration.handled
        or turned_in_place(alteration)
        or retied(alteration)
        or rehung(alteration)
        or _ties_to_cut(alteration)
        or cut_where_it_lies(alteration)
        or alteration.anchors_freed
        or alteration.anchors_fixed
    )


def _touched(alteration: Alteration) -> Parts:
    """Where hands are put on what stands."""
    stands, target = alteration.stands.places, alteration.target.places
    places = (stands | target) - alteration.staying.places
    turned = {turn.joint for turn in turned_in_place(alteration)}
    tied = {joint for spot in retied(alteration) for joint in spot.joints}
    doors = joints_of(rehung(alteration))
    anchored = alteration.anchors_freed | alteration.anchors_fixed
    return Parts(places | anchored, frozenset(turned | tied | doors))


# --- First: what is new, and the animals ---


def _fetch(site: Site, alteration: Alteration, refuge: Refuge | None) -> None:
    borrowed = len(refuge.borrowed) if refuge else 0
    blanks = tuple(new_blanks(alteration))
    parts = tuple(one for one in new_parts(alteration) if one not in blanks)
    count = sum(one.count for one in (*parts, *blanks)) + borrowed
    laid = times.LAYING_OUT if count else times.MARKED_SIDE
    site.add(
        _step(
            SORT,
            say.fetch_words(parts, blanks, borrowed),
            facts=(Task.FETCH, *new_facts(alteration, borrowed)),
            tools=(tools.GLOVES,),
            minutes=times.minutes((1, laid), (count, times.SORTED_PANEL)),
            bench=True,
        )
    )


def animals_out(refuge: Refuge | None) -> Step:
    """The animals go out, or into the refuge."""
    if refuge is None:
        return _step(
            ANIMALS_OUT,
            say.animals_out_words(),
            facts=(Task.ANIMALS_OUT,),
            needs=(SORT,),
            cautions=(warn.MOVED_ANIMALS.sentence,),
            minutes=times.minutes((1, times.ANIMALS_MOVED)),
        )
    return _step(
        ANIMALS_OUT,
        say.refuge_words(
            len(refuge.cells), refuge.side, len(refuge.borrowed), len(refuge.standing)
        ),
        facts=(Task.ANIMALS_OUT, *refuge_facts(refuge)),
        needs=(SORT,),
        adds=_borrowed(refuge),
        tools=(tools.GLOVES, tools.EYES, tools.TIE_CUTTERS),
        cautions=(warn.MOVED_ANIMALS.sentence, warn.TIE_TAILS.sentence),
        minutes=times.minutes((1, times.ANIMALS_MOVED), (len(refuge.borrowed), times.PANEL)),
    )


def _borrowed(refuge: Refuge | None) -> tuple[Added, ...]:
    if refuge is None or not refuge.borrowed:
        return ()
    return Added(PLAIN_PANEL, len(refuge.borrowed)), Added(TIE, TIES_AT_BORROWED)


# --- Off, from the top down ---


def _take_off(site: Site, alteration: Alteration, refuge: Refuge | None) -> None:
    site.add(animals_out(refuge))
    freed = alteration.anchors_freed
    free = [free_step(alteration.stands, freed, (ANIMALS_OUT,))] if freed else []
    first = tuple(one.id for one in free) or (ANIMALS_OUT,)
    down = take_down(
        alteration.stands,
        alteration.standing.blanks,
        ties_needed(alteration.stands),
        Uses(lambda level: _use_of_tray(alteration, level), _ramps_kept_whole(alteration)),
        stays=what_stays_as_it_stood(alteration),
        linens=_linens_out(alteration, refuge),
        first=first,
    )
    steps = (*free, *down)
    for step in steps:
        site.add(step)
    site.first = tuple(step.id for step in steps) or first
    if any(step.takes for step in steps):
        site.add(_sorting_step(alteration, steps))
        site.first = (SORT_OUT,)


def _sorting_step(alteration: Alteration, taken: Sequence[Step]) -> Step:
    came = came_off(taken)
    again, left = again_from(alteration, came), left_over(alteration)
    return _step(
        SORT_OUT,
        say.sort_out_words(again, left, tuple(old_blanks(alteration)), came[TIE]),
        facts=(
            Task.SORT_OUT,
            kind_facts(alteration.left),
            tuple(one.facts for one in taken),
        ),
        tools=(tools.GLOVES,),
        minutes=times.minutes((came.total(), times.SORTED_PANEL)),
    )


def _linens_out(alteration: Alteration, refuge: Refuge | None) -> dict[str, Facts]:
    """All cloth, but what lies on the ground beside animals that stay, each with its facts."""
    fates = alteration.linens.fates
    return {
        one.code: (one.kind, one.level, *one.size)
        for one in fates
        if refuge is None or one.level != 0
    }


def _ramps_kept_whole(alteration: Alteration) -> frozenset[int]:
    return frozenset((*alteration.staying.same_ramps.values(), *alteration.ramps_moved.values()))


def _use_of_tray(alteration: Alteration, level: int) -> TrayUse:
    fate = next((one for one in alteration.trays if one.old == level), None)
    if fate is None:
        return TrayUse((), message("It is not used again: keep the flat pieces that are worth it."))
    facts: Facts = (fate.fate.name, fate.level)
    if fate.fate is Fate.CUT_DOWN:
        target = the_level(fate.level)
        return TrayUse(facts, message("It is cut down for %(level)s.", level=target))
    if fate.fate is Fate.MOVED:
        target = the_level(fate.level)
        return TrayUse(facts, message("It serves again on %(level)s.", level=target))
    return TrayUse(facts, message("It goes back to the same place."))


# --- Ready: what came off, connectors, trays that stay ---


def _make_ready(site: Site, alteration: Alteration, bench: BenchWork) -> None:
    off = site.first
    for step in bench.late:
        site.add(replace(step, needs=(*step.needs, *off)))
    turned, tied = turned_in_place(alteration), retied(alteration)
    cut = _ties_to_cut(alteration)
    if turned or tied or cut:
        site.add(_turning_step(alteration, turned, tied, cut))
        site.first = (TURN,)
    if doors := rehanging_step(alteration, site.first):
        site.add(doors)
        site.first = (doors.id,)
    lying = cut_where_it_lies(alteration)
    for fate in alteration.trays:
        if fate.level in lying:
            step = cut_doorways_step(fate, lies=True, needs=off)
            site.add(step)
            site.first = (*site.first, step.id)


def _turning_step(
    alteration: Alteration, turned: Sequence[Turn], tied: Sequence[TieSpot], cut: int
) -> Step:
    ties = sum(spot.count for spot in tied)
    carries = _carries(alteration, turned)
    counts = (Added(TIE, ties),) if ties else ()
    cutting = (tools.EYES, tools.TIE_CUTTERS) if ties or cut else ()
    cautions = [warn.CONNECTOR_OFF] if turned else []
    cautions += [warn.TIE_TAILS] if ties or cut else []
    step = _step(
        TURN,
        say.turn_words(turned, ties, cut, carries=carries),
        facts=(Task.TURN, turn_facts(turned), spot_facts(tied), cut, int(carries)),
        adds=counts,
        tools=(tools.GLOVES, *cutting),
        cautions=tuple(one.sentence for one in cautions),
        minutes=times.minutes((len(turned), times.TURNED_CONNECTOR), (ties + cut, times.TIE)),
        people=2 if carries else 1,
    )
    return replace(step, turns=tuple(turned), removes=(Added(TIE, cut),) if cut else ())


def _carries(alteration: Alteration, turned: Sequence[Turn]) -> bool:
    """Whether a floor or lid that stays rests on a connector that is turned."""
    flats = (place for place in alteration.staying.places if place.face is Face.FLAT)
    return not joints_of(flats).isdisjoint(turn.joint for turn in turned)


# --- On, from the bottom up ---


def _finish(site: Site, alteration: Alteration, refuge: Refuge | None) -> None:
    again, new = _linens_in(alteration, refuge)
    if again or new:
        names = [*map(part_name, again)], [*map(part_name, new)]
        words = say.liners_words(*names, len(alteration.target.ramps))
        site.add(
            _step(
                LINERS,
                words,
                facts=(Task.LINERS, *linen_facts(alteration, again, new)),
                needs=site.last_steps(),
                adds=tuple(Added(one, 1) for one in (*again, *new)),
                minutes=times.minutes((len(again) + len(new), times.LAID_LINER)),
            )
        )
    close_up(site, alteration.target)
    if fixed := alteration.anchors_fixed:
        site.add(anchor_step(alteration.target, fixed, site.last_steps()))
    inspect(site, alteration.target)
    borrowed = _borrowed(refuge)
    site.first = ()
    back = _step(
        ANIMALS_BACK,
        say.animals_back_words(len(refuge.borrowed) if refuge else 0),
        facts=(Task.ANIMALS_BACK, *(refuge_facts(refuge) if refuge else ())),
        needs=(INSPECT,),
        tools=(tools.EYES, tools.TIE_CUTTERS) if borrowed else (),
        cautions=(warn.MOVED_ANIMALS.sentence,),
        minutes=times.minutes((1, times.ANIMALS_MOVED)),
    )
    site.add(replace(back, removes=borrowed))


def _linens_in(alteration: Alteration, refuge: Refuge | None) -> tuple[list[str], list[str]]:
    """Codes of the cloth to put back, and of new liners; a new ramp brings its towel itself."""
    out = set(_linens_out(alteration, refuge))
    target = alteration.target
    with_ramps = {
        towel_code(target, index)
        for index in range(len(target.ramps))
        if index not in alteration.staying.ramps
    }
    again = [
        one.now
        for one in alteration.linens.fates
        if one.now is not None and one.code in out and one.now not in with_ramps
    ]
    new = [one.code for one in alteration.linens.new if one.code not in with_ramps]
    return again, new


def _with_what_returns(alteration: Alteration, step: Step) -> Step:
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


def _step(
    step_id: str,
    words: Words,
    *,
    facts: Facts,
    minutes: int,
    needs: tuple[str, ...] = (),
    adds: tuple[Added, ...] = (),
    tools: tuple[Tool, ...] = (),
    cautions: tuple[str, ...] = (),
    people: int = 1,
    bench: bool = False,
) -> Step:
    return Step(
        id=step_id,
        title=words.title,
        instructions=words.instructions,
        needs=needs,
        adds=adds,
        tools=tools,
        cautions=cautions,
        minutes=minutes,
        people=people,
        bench=bench,
        facts=facts,
    )
