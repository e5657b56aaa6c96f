"""What levels are called."""

from habitats.structure.structure import Structure


def level_words(structure: Structure, level: int) -> str:
    """The level with this index: the ground, or which upper level."""
    if level == 0:
        return "ground"
    return "upper level" if len(structure.design.levels) == 2 else f"upper level {level}"
