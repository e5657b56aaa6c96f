"""The building site finds out by itself what a step's panels and connectors stand on."""

from builds.making.site import Site
from builds.making.step import Step
from builds.making.ties import TieGroup, TieSpot, Where
from habitats.structure.lattice import Face, PanelPlace, joints_of

NORTH = PanelPlace(Face.EW, 0, 0, 0)
EAST = PanelPlace(Face.NS, 0, 1, 0)  # shares an upright edge with NORTH
HIGHER = PanelPlace(Face.EW, 0, 1, 1)  # touches NORTH in a single joint


def raising(step_id: str, place: PanelPlace, site: Site, needs: tuple[str, ...] = ()) -> Step:
    joints = site.place([place]).joints
    return Step(step_id, step_id, (), needs=needs, places=(place,), joints=joints)


def test_a_panel_takes_only_the_connectors_that_are_not_there_yet() -> None:
    site = Site([])
    site.add(raising("north", NORTH, site))

    placement = site.place([EAST])

    assert set(placement.joints) == joints_of([EAST]) - joints_of([NORTH])


def test_a_panel_needs_the_step_that_raised_its_neighbour() -> None:
    site = Site([])
    site.add(raising("north", NORTH, site))
    site.add(raising("east", EAST, site))

    assert site.steps[-1].needs == ("north",)


def test_a_panel_needs_the_step_that_placed_a_single_shared_connector() -> None:
    site = Site([])
    site.add(raising("north", NORTH, site))
    site.add(raising("higher", HIGHER, site))

    assert site.steps[-1].needs == ("north",)


def test_a_need_that_goes_without_saying_is_not_named() -> None:
    site = Site([])
    site.add(Step("measure", "Measure", ()))
    site.add(raising("north", NORTH, site, needs=("measure",)))
    site.add(raising("east", EAST, site, needs=("measure",)))

    assert site.steps[-1].needs == ("north",)


def test_a_tie_is_pulled_when_the_last_of_its_panels_stands() -> None:
    tie = TieSpot(Where.DIVIDER, places=(NORTH, EAST))
    site = Site([TieGroup(Where.DIVIDER, (tie,))])

    assert site.place([NORTH]).spots == ()
    site.add(raising("north", NORTH, site))
    assert site.place([EAST]).spots == (tie,)
