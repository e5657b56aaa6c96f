"""The best placing of a case by another solver: OR-Tools CP-SAT, which shares nothing with ours.

What a stay is and costs by itself is asked of the checker; what stays keep together is written
here as constraints, from the words of the case.
"""

from collections import defaultdict
from typing import Any

from habitats.placement.check import goal_values, places_suit
from habitats.placement.columns import aims_in
from habitats.placement.values import HomeToFill, Placing, PlacingCase, ProposedStay
from tests.support.placements import stays_of


def best_by_cp_sat(case: PlacingCase) -> tuple[int, ...] | None:
    """The values of the best placing, aim by aim; None: there is none."""
    from ortools.sat.python import cp_model  # brought by `make nightly` alone

    model = cp_model.CpModel()
    stays = {one: model.new_bool_var("") for one in _sound(case)}
    _together(model, case, stays)
    found = []
    for aim in aims_in(case.order):
        cost = sum(
            value * taken
            for stay, taken in stays.items()
            if (value := goal_values(case, Placing((stay,), ())).get(aim, 0))
        )
        model.minimize(cost)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return None
        assert status == cp_model.OPTIMAL
        found.append(round(solver.objective_value))
        model.add(cost <= found[-1])
    return tuple(found)


def _sound(case: PlacingCase) -> list[ProposedStay]:
    together = [(one.ref,) for one in case.groups] + [one.of for one in case.unions]
    return [
        stay
        for refs in together
        for stay in stays_of(case, refs)
        if not [*places_suit(case, Placing((stay,), ()))] and _as_pinned(case, stay)
    ]


def _as_pinned(case: PlacingCase, stay: ProposedStay) -> bool:
    place = stay.place
    return all(
        place is not None
        and (place.enclosure == pin.enclosure if pin.enclosure else place.home == pin.home)
        for pin in case.pins
        if pin.group in stay.groups
    )


def _together(model: Any, case: PlacingCase, stays: dict[ProposedStay, Any]) -> None:
    of_group, in_enclosure = defaultdict(list), defaultdict(list)
    for stay, taken in stays.items():
        for ref in stay.groups:
            of_group[ref].append(taken)
        if stay.place and stay.place.enclosure:
            in_enclosure[stay.place.enclosure].append(taken)
    for one in case.groups:
        model.add(sum(of_group[one.ref]) == 1)
    for every in in_enclosure.values():
        model.add(sum(every) <= 1)
    for home in case.homes:
        there = {
            one: taken for one, taken in stays.items() if one.place and one.place.home == home.ref
        }
        _limits(model, case, home, there)
        _quarantine(model, case, home, there)


def _limits(
    model: Any, case: PlacingCase, home: HomeToFill, there: dict[ProposedStay, Any]
) -> None:
    animals = {one.ref: one.animals for one in case.groups}
    standing = {one.ref for one in case.enclosures if one.home == home.ref}
    living = [one for one in case.groups if one.lives_in in standing]
    if home.most_enclosures is not None:
        model.add(sum(there.values()) <= max(home.most_enclosures, len(living)))
        builds = [taken for one, taken in there.items() if one.place and one.place.design]
        model.add(sum(builds) <= max(0, home.most_enclosures - len(standing)))
    if home.most_animals is not None:
        today = sum(one.animals for one in living)
        come = [sum(animals[ref] for ref in one.groups) * taken for one, taken in there.items()]
        model.add(sum(come) <= max(home.most_animals, today))


def _quarantine(
    model: Any, case: PlacingCase, home: HomeToFill, there: dict[ProposedStay, Any]
) -> None:
    cohort = {one.ref: one.cohort for one in case.groups}
    standing = {one.ref for one in case.enclosures if one.home == home.ref}
    today = [one.cohort for one in case.groups if one.lives_in in standing]
    is_there = {name: model.new_bool_var("") for name in {*cohort.values()}}
    for one, taken in there.items():
        for ref in one.groups:
            model.add(is_there[cohort[ref]] >= taken)
    cohorts = [taken for name, taken in is_there.items() if name is not None]
    model.add(sum(cohorts) <= max(1, len({*today} - {None})))
    if None in is_there:
        ill = [taken for one, taken in there.items() if any(cohort[ref] for ref in one.groups)]
        kept = sum(name is not None for name in today) if None in today else 0
        apart = max(home.isolation_places, kept)
        model.add(sum(ill) <= apart).only_enforce_if(is_there[None])
