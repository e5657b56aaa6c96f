"""What the coordinator asks without saving anything: more enclosures, homes that are away."""

from dataclasses import dataclass
from typing import NamedTuple

from builds.plans.models.builds import Build
from habitats.homes.models.homes import Home
from habitats.structure.design import Species
from habitats.structure.structure import Structure

MOST_MORE = 20
OWN_HOME = "own"  # of enclosures that are imagined in no home of ours; no code is so short


@dataclass(frozen=True)
class WhatIf:
    """``design``: code of what stands ``number`` times more, in the home with the code ``home``;
    empty: in a home of its own. ``gone``: homes that are away with all their enclosures.

    ``pairs``: for which species it is asked how many pairs more could be taken.
    """

    design: str = ""
    number: int = 0
    home: str = ""
    gone: frozenset[str] = frozenset()
    pairs: Species | None = None

    def __bool__(self) -> bool:
        return bool(self.number or self.gone)


class ToCome(NamedTuple):
    """What stands nowhere yet: it is being built, or imagined (``build`` None).

    ``home`` None: it is imagined in a home of its own.
    """

    label: str
    home: Home | None
    structure: Structure
    build: Build | None

    @property
    def home_ref(self) -> str:
        return self.home.code if self.home else OWN_HOME
