"""The one care sheet of a kit, beside the care of its linens: first days, and the enclosure."""

from builds.making.advice import Advice
from builds.making.care import care_sheet, first_use_notes
from habitats.structure.structure import Structure

# What the care sheet of a build says of linens, which a kit's own linens are told better.
_OF_LINENS = frozenset(
    {"change", "shake", "wash_hot", "no_softener", "load", "ringworm", "ringworm_dryer", "dry"}
)
# Said by the first wash of a kit's own linens.
_FIRST_WASH = "fit_after_wash"


def enclosure_care(*, has_linens: bool) -> tuple[Advice, ...]:
    """All of the care sheet, less what the linens' own care says."""
    said = _OF_LINENS if has_linens else frozenset[str]()
    return tuple(one for one in care_sheet() if one.code not in said)


def days_at_home(structure: Structure, *, has_linens: bool) -> tuple[Advice, ...]:
    """What to mind on the first days."""
    notes = first_use_notes(structure)
    return tuple(one for one in notes if not has_linens or one.code != _FIRST_WASH)
