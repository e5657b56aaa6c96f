"""A door: an address of ours, and who may open it. The tables stand in `tests/house/`."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

COORDINATOR = "coordinator"
BUILDER = "builder"
FOSTER = "foster"
LAUNDRY = "laundry"
EVERYBODY = (BUILDER, FOSTER, LAUNDRY)


@dataclass(frozen=True)
class Door:
    """``roles`` are those besides the coordinator, who may open all.

    ``method`` is how the page is asked for. Where the address needs an id, ``make`` makes what it
    points at, and returns its arguments.
    """

    roles: tuple[str, ...] = ()
    public: bool = False
    method: str = "get"
    make: Callable[[], dict[str, Any]] = dict
    # Besides coordinators only for who made it: the foster of the cast.
    is_makers: bool = False
