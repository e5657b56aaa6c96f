"""What is to be bought: what planned builds need less what is free, and the packs on offer."""

from builds.models.needs import Needs


def needs_of_planned_builds() -> Needs:
    """What all builds that are planned still need from the store.

    What is reserved for a build already is not among it. Nothing while no build is planned.
    """
    return Needs()
