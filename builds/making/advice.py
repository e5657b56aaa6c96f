"""A piece of advice with its source, as printed beside the work."""

from typing import NamedTuple

from habitats.wording import message

PRACTICE = message("common practice, no source")


class Advice(NamedTuple):
    """A plain ``sentence`` and ``source``, where it is from. None of it is veterinary advice."""

    code: str
    sentence: str
    source: str = PRACTICE
