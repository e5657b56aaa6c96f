"""The order of an alteration.

Where nothing of what stands is opened, as with furniture alone, the animals stay and it is done
beside them; not so where a panel of the pup set needs a hand inside: young would be under it. Else:

Fetching and the bench come first, while the animals still live in it. Then they go out, or into a
part that is closed off. All that does not stay is taken off from the top down, sorted, and what
serves again is made ready; connectors are turned; the rest is put on from the bottom up, as a new
build is, on top of what stayed. Cloth, lid, pup set, wall anchors and inspection end it, and the
animals come back.

What stays stands by itself (``staying.py``). So at every moment there stands what stays and the
beginning of an order of building, first the standing one's and then the target's: whatever order
keeps to the needs, nothing is ever without what holds it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from builds.making import times, tools
from builds.making.altering import words as say
from builds.making.altering.alteration import Alteration
from builds.making.altering.animals import ANIMALS_OUT, animals_back, animals_out
from builds.making.altering.counting import kind_facts
from builds.making.altering.facts import linen_facts, new_facts
from builds.making.altering.kept import (
    anything_to_do,
    cut_where_it_lies,
    opens_it,
    retied,
    ties_to_cut,
    touched,
    turned_in_place,
    what_stays_as_it_stood,
    what_stays_in_target,
)
from builds.making.altering.lists import again_from, left_over, new_blanks, new_parts, old_blanks
from builds.making.altering.ready import SORT_OUT, BenchWork, bench_work, cut_doorways_step
from builds.making.altering.refuge import Refuge, refuge_in
from builds.making.altering.rehanging import rehanging_step
from builds.making.altering.returning import with_what_returns
from builds.making.altering.taking import TrayUse, Uses, came_off, take_down
from builds.making.altering.trays import Fate
from builds.making.altering.turning import TURN, turning_step
from builds.making.anchoring import anchor_step, free_step
from builds.making.assembly import build_up, close_up, inspect
from builds.making.bench import SORT
from builds.making.furnishing import CLEAR, FURNISH, clear_step, furnish_step
from builds.making.instructions import Lengths
from builds.making.names import the_level
from builds.making.part_names import TIE, part_name, towel_code
from builds.making.pup_set import pup_step, reaches_inside, take_pup_step
from builds.making.raising import LINERS
from builds.making.site import Site
from builds.making.step import Added, Step, Task
from builds.making.step_keys import Facts
from builds.making.ties import ties_needed
from habitats.measures import length
from habitats.wording import message


@dataclass(frozen=True, slots=True)
class Order:
    """The steps of an alteration, and where the animals may stay meanwhile.

    ``beside``: in all of it, since it is not opened; else ``refuge`` None: out.
    """

    steps: tuple[Step, ...]
    refuge: Refuge | None
    beside: bool = False


def order_of_alteration(alteration: Alteration, *, lengths: Lengths = length) -> Order:
    """Every step, in an order that is safe all along; none where nothing changes."""
    if not anything_to_do(alteration):
        return Order((), None)
    if not opens_it(alteration):
        return _without_opening(alteration, lengths)
    refuge = refuge_in(alteration, touched(alteration), cut_where_it_lies(alteration))
    site = Site(ties_needed(alteration.target), what_stays_in_target(alteration), [LINERS])
    _fetch(site, alteration, refuge)
    bench = bench_work(alteration, lengths, first=())
    site.is_done(bench.done)
    for step in bench.early:
        site.add(step)
    _take_off(site, alteration, refuge)
    _make_ready(site, alteration, bench)
    build_up(site, alteration.target, lengths)
    _finish(site, alteration, refuge, lengths)
    return Order(tuple(with_what_returns(alteration, step) for step in site.steps), refuge)


# --- What opens nothing ---


def _without_opening(alteration: Alteration, lengths: Lengths) -> Order:
    """Beside the animals, unless panels of the pup set are put on or taken off inside."""
    beside = not _reaches_inside(alteration)
    site = Site(ties_needed(alteration.target), what_stays_in_target(alteration), [LINERS])
    _fetch(site, alteration, None)
    site.first = (SORT,)
    if not beside:
        site.add(animals_out(None))
        site.first = (ANIMALS_OUT,)
    for step in _cleared(alteration, site.first):
        site.add(step)
        site.first = (step.id,)
    if more := alteration.furniture_new:
        site.add(furnish_step(more, site.first))
        site.first = (FURNISH,)
    if pups := alteration.pups_put:
        site.add(pup_step(alteration.target, pups, site.first, lengths))
    inspect(site, alteration.target, inside=beside)
    site.first = ()
    if not beside:
        site.add(animals_back(None))
    return Order(tuple(site.steps), None, beside=beside)


def _reaches_inside(alteration: Alteration) -> bool:
    stands, target = alteration.stands, alteration.target
    return reaches_inside(stands, alteration.pups_taken) or reaches_inside(
        target, alteration.pups_put
    )


def _cleared(alteration: Alteration, needs: tuple[str, ...]) -> Iterator[Step]:
    """What comes out or off before anything is taken apart, one after the other."""
    if less := alteration.furniture_left:
        yield clear_step(less, needs)
        needs = (CLEAR,)
    if pups := alteration.pups_taken:
        yield take_pup_step(alteration.stands, pups, needs)


# --- First: what is new, and the animals ---


def _fetch(site: Site, alteration: Alteration, refuge: Refuge | None) -> None:
    borrowed = len(refuge.borrowed) if refuge else 0
    blanks = tuple(new_blanks(alteration))
    parts = tuple(one for one in new_parts(alteration) if one not in blanks)
    count = sum(one.count for one in (*parts, *blanks)) + borrowed
    laid = times.LAYING_OUT if count else times.MARKED_SIDE
    words = say.fetch_words(parts, blanks, borrowed)
    site.add(
        Step(
            id=SORT,
            title=words.title,
            instructions=words.instructions,
            tools=(tools.GLOVES,),
            minutes=times.minutes((1, laid), (count, times.SORTED_PANEL)),
            bench=True,
            facts=(Task.FETCH, *new_facts(alteration, borrowed)),
        )
    )


# --- Off, from the top down ---


def _take_off(site: Site, alteration: Alteration, refuge: Refuge | None) -> None:
    site.add(animals_out(refuge))
    freed = alteration.anchors_freed
    free = [*_cleared(alteration, (ANIMALS_OUT,))]
    free += [free_step(alteration.stands, freed, (ANIMALS_OUT,))] if freed else []
    first = tuple(one.id for one in free) or (ANIMALS_OUT,)
    down = take_down(
        alteration.stands,
        alteration.standing.blanks,
        alteration.old_ties,
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
    words = say.sort_out_words(again, left, tuple(old_blanks(alteration)), came[TIE])
    return Step(
        id=SORT_OUT,
        title=words.title,
        instructions=words.instructions,
        tools=(tools.GLOVES,),
        minutes=times.minutes((came.total(), times.SORTED_PANEL)),
        facts=(Task.SORT_OUT, kind_facts(alteration.left), tuple(one.facts for one in taken)),
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
    cut = ties_to_cut(alteration)
    if turned or tied or cut:
        site.add(turning_step(alteration, turned, tied, cut))
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


# --- On, from the bottom up ---


def _finish(site: Site, alteration: Alteration, refuge: Refuge | None, lengths: Lengths) -> None:
    again, new = _linens_in(alteration, refuge)
    if again or new:
        site.add(_liners_step(alteration, again, new, site.last_steps()))
    if more := alteration.furniture_new:
        before = (LINERS,) if again or new else site.first
        site.add(furnish_step(more, before))
        site.first = (*site.first, FURNISH)
    close_up(site, alteration.target)
    if pups := alteration.pups_put:
        site.add(pup_step(alteration.target, pups, site.last_steps(), lengths))
    if fixed := alteration.anchors_fixed:
        site.add(anchor_step(alteration.target, fixed, site.last_steps()))
    inspect(site, alteration.target)
    site.first = ()
    site.add(animals_back(refuge))


def _liners_step(
    alteration: Alteration, again: Sequence[str], new: Sequence[str], needs: tuple[str, ...]
) -> Step:
    names = [*map(part_name, again)], [*map(part_name, new)]
    words = say.liners_words(*names, len(alteration.target.ramps))
    return Step(
        id=LINERS,
        title=words.title,
        instructions=words.instructions,
        needs=needs,
        adds=tuple(Added(one, 1) for one in (*again, *new)),
        minutes=times.minutes((len(again) + len(new), times.LAID_LINER)),
        facts=(Task.LINERS, *linen_facts(alteration, again, new)),
    )


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
