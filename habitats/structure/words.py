"""What levels are called."""

from habitats.structure.structure import Structure
from habitats.wording import message


def level_words(structure: Structure, level: int) -> str:
    """The level with this index: the ground, or which upper level."""
    if level == 0:
        return message("ground")
    if len(structure.design.levels) == 2:
        return message("upper level")
    return message("upper level %(level)d", level=level)
