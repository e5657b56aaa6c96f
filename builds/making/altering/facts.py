"""The facts of an alteration's own steps, see ``step_keys``."""

from collections.abc import Collection

from builds.making.altering.alteration import Alteration
from builds.making.altering.counting import kind_facts
from builds.making.altering.lists import new_blanks
from builds.making.altering.refuge import Refuge
from builds.making.facts import blank_facts
from builds.making.step_keys import Facts


def new_facts(alteration: Alteration, borrowed: int) -> Facts:
    """What is fetched, and the panels borrowed for the time of the work."""
    codes = {one.what for one in new_blanks(alteration)}
    return (
        kind_facts(alteration.new),
        tuple(blank_facts(one) for one in alteration.wanted.blanks.blanks if one.code in codes),
        tuple((one.kind, *one.size) for one in alteration.linens.new),
        borrowed,
    )


def refuge_facts(refuge: Refuge) -> Facts:
    """Where the animals stay, and what closes it."""
    return (
        tuple(sorted(refuge.cells)),
        refuge.side,
        tuple(sorted(refuge.borrowed)),
        tuple(sorted(refuge.standing)),
    )


def linen_facts(alteration: Alteration, again: Collection[str], new: Collection[str]) -> Facts:
    """Cloth that is laid: codes of what is put back, and of what is new."""
    fates = alteration.linens.fates
    return (
        tuple((one.kind, *one.size) for one in fates if one.now in again),
        tuple((one.kind, *one.size) for one in alteration.linens.new if one.code in new),
        len(alteration.target.ramps),
    )
