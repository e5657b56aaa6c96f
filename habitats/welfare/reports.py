"""What who looks after animals reports at once, and what is done about it first.

The words are common practice, no source; a vet's word comes before any of them.
"""

from enum import StrEnum

from habitats.wording import message


class ReportKind(StrEnum):
    ILL = "ill"
    MISSING = "missing"
    DIED = "died"
    BORN = "born"


FIRST_STEP = {
    ReportKind.ILL: message("Call the home now. In doubt, call a vet at once."),
    ReportKind.MISSING: message(
        "Call the home. Close doors and windows, search low and dark places, and leave food and a "
        "hide on the floor."
    ),
    ReportKind.DIED: message(
        "Call the home. See how the animals eat that lived with it, then record the departure."
    ),
    ReportKind.BORN: message(
        "Call the home. Keep entire males away from the mother, then record the litter."
    ),
}
