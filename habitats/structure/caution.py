"""A caution: what people should know about a structure."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from habitats.structure.structure import Structure
from habitats.wording import message


class Caution(NamedTuple):
    """A stable ``code`` and a ``sentence`` for people; ``source`` says where the figure is from."""

    code: str
    sentence: str
    source: str


PRACTICE = message("common practice, no source")

Lengths = Callable[[int], str]
Rule = Callable[[Structure, Lengths], Iterator[Caution]]
