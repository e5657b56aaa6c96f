"""Decisions of those who live near, where all others live as proposed.

A place that is shut for one group changes little further off, so of a large rescue only a small
part is looked at again.
"""

from collections.abc import Iterator

import numpy as np

from habitats.placement.columns import NONE, Decisions, Numbers, Refs, aims_in
from habitats.placement.values import Placing, PlacingCase

PLACES = 15  # of each group, those that would cost least


def columns_nearby(columns: Decisions, placing: Placing, group: str, count: int) -> Decisions:
    """All columns of ``count`` groups, this one first, and of the others where they live."""
    suiting = columns.suiting
    key = _keys(columns, columns.asking, columns.enclosure, columns.design, columns.home)
    lives = np.isin(key, _keys(columns, *_as_placed(suiting.case, placing, columns)))
    number = Refs(suiting).groups[group]
    near = np.zeros(len(suiting.asking), dtype=np.bool_)
    for asking in _nearest_first(columns, np.nonzero(lives)[0], number):
        near[asking] = True
        if near.sum() >= count:
            break
    refs = {ref for one in np.nonzero(near)[0] for ref in suiting.asking[one].refs}
    is_near = np.array([refs.issuperset(one.refs) for one in suiting.asking], dtype=np.bool_)
    is_other = np.array([refs.isdisjoint(one.refs) for one in suiting.asking], dtype=np.bool_)
    return columns.only(is_near[columns.asking] | (lives & is_other[columns.asking]))


def _keys(
    columns: Decisions, asking: Numbers, enclosure: Numbers, design: Numbers, home: Numbers
) -> Numbers:
    """A number for each decision; the home tells two apart only where something is built."""
    case = columns.suiting.case
    built_in = np.where(design == NONE, 0, (design + 1) * (len(case.homes) + 1) + home + 1)
    of_builds = (len(case.designs) + 1) * (len(case.homes) + 1)
    return (asking * (len(case.enclosures) + 1) + enclosure + 1) * of_builds + built_in


def _as_placed(case: PlacingCase, placing: Placing, columns: Decisions) -> Iterator[Numbers]:
    number = {one.refs: at for at, one in enumerate(columns.suiting.asking)}
    enclosures = {one.ref: at for at, one in enumerate(case.enclosures)}
    designs = {one.ref: at for at, one in enumerate(case.designs)}
    homes = {one.ref: at for at, one in enumerate(case.homes)}
    places = [stay.place for stay in placing.stays]
    yield np.array([number[stay.groups] for stay in placing.stays], dtype=np.int64)
    for known, name in ((enclosures, "enclosure"), (designs, "design"), (homes, "home")):
        refs = [getattr(one, name) if one else None for one in places]
        yield np.array([known.get(ref or "", NONE) for ref in refs], dtype=np.int64)


def _nearest_first(columns: Decisions, lives: Numbers, asking: int) -> Iterator[int]:
    """Who has a place that would be among the best for one before, and who lives in its home."""
    costs = [columns.costs(aim) for aim in aims_in(columns.suiting.case.order)][::-1]
    waiting, known = [asking], {asking}
    while waiting:
        one = waiting.pop(0)
        yield one
        first, end = np.searchsorted(columns.asking, [one, one + 1])
        best = first + np.lexsort([its[first:end] for its in costs])[:PLACES]
        there = np.isin(columns.enclosure[lives], columns.enclosure[best]) & (
            columns.enclosure[lives] != NONE
        )
        there |= np.isin(columns.home[lives], columns.home[best]) & (columns.home[lives] != NONE)
        for other in columns.asking[lives[there]].tolist():
            if other not in known:
                known.add(other)
                waiting.append(other)
