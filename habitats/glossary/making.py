"""Words of enclosures and of the sheet that their trays are cut from."""

from habitats.glossary.term import Term, Topic
from habitats.wording import message

ENCLOSURES = (
    Term(
        "enclosure",
        Topic.ENCLOSURES,
        message("Enclosure"),
        message(
            "What the animals live in: walls of wire panels around one or more floors. Each "
            "floor has a tray with liners."
        ),
    ),
    Term(
        "wire-panel",
        Topic.ENCLOSURES,
        message("Wire panel"),
        message("A square of wire mesh. All panels of an enclosure are the same size."),
        forms=("panel",),
    ),
    Term(
        "connector",
        Topic.ENCLOSURES,
        message("Connector"),
        message(
            "A disc that holds panels together at their corners. Panels slot into its rim, and "
            "into the ribs on one face; the other face is smooth."
        ),
    ),
    Term(
        "cable-tie",
        Topic.ENCLOSURES,
        message("Cable tie"),
        message(
            "A strap that is pulled tight around panels where connectors alone do not hold "
            "them. Its tail is cut flush, because a cut tail is sharp."
        ),
        forms=("tie",),
    ),
    Term(
        "cell",
        Topic.ENCLOSURES,
        message("Cell"),
        message(
            "One square of the plan, as wide as one panel. Cells are named by their row and column."
        ),
    ),
    Term(
        "level",
        Topic.ENCLOSURES,
        message("Level"),
        message(
            "One floor of an enclosure. The lowest is the ground; level 1 is the next one above it."
        ),
    ),
    Term(
        "ramp",
        Topic.ENCLOSURES,
        message("Ramp"),
        message(
            "A channel of bent panels that leads from a doorway down to the floor below. A "
            "strip of sheet and a folded towel lie in it."
        ),
    ),
    Term(
        "doorway",
        Topic.ENCLOSURES,
        message("Doorway"),
        message("The opening that is cut into a wall panel at the top of a ramp."),
    ),
    Term(
        "guard",
        Topic.ENCLOSURES,
        message("Guard"),
        message(
            "An extra panel on top of a wall beside a ramp. It stands where the ramp brings an "
            "animal close to the top of that wall."
        ),
        picture="GUARD",
    ),
    Term(
        "divider",
        Topic.ENCLOSURES,
        message("Divider"),
        message("A panel across a floor that separates one part of it from the other."),
    ),
    Term(
        "door",
        Topic.ENCLOSURES,
        message("Front door"),
        message(
            "A panel in an outer wall that swings outward. Cable ties hinge it on one side, and "
            "clips that open by hand hold the other. Through it people reach floor under a cover."
        ),
    ),
    Term(
        "anchor",
        Topic.ENCLOSURES,
        message("Wall anchor"),
        message(
            "A bracket that holds the top of an enclosure to a wall, so that it cannot tip over. "
            "Which screw and plug hold depends on the wall."
        ),
    ),
    Term(
        "pup_set",
        Topic.ENCLOSURES,
        message("Pup set"),
        message(
            "Plain panels clipped over the walls of the ground floor while young live there. The "
            "second layer halves the openings of the wire."
        ),
    ),
    Term(
        "support",
        Topic.ENCLOSURES,
        message("Support"),
        message(
            "A panel that stands upright under an upper floor, like a post. It stands where the "
            "floor would span too far and sag; animals walk round it."
        ),
    ),
    Term(
        "lid",
        Topic.ENCLOSURES,
        message("Lid"),
        message(
            "Panels that lie over the top. Cable ties hinge each one along one side, and clips "
            "that open by hand hold the opposite side."
        ),
    ),
)

SHEET = (
    Term(
        "corrugated-sheet",
        Topic.SHEET,
        message("Sheet"),
        message(
            "Corrugated plastic: two thin skins with ribs between them. Trays and the strips in "
            "ramps are cut from it."
        ),
        forms=("corrugated",),
    ),
    Term(
        "flute",
        Topic.SHEET,
        message("Flute"),
        message(
            "One of the hollow channels between the skins of a sheet. All flutes of a sheet run "
            "the same way."
        ),
    ),
    Term(
        "tray",
        Topic.SHEET,
        message("Tray"),
        message(
            "The floor of a level with its low walls, folded from sheet. Large trays are taped "
            "together from several pieces."
        ),
    ),
    Term(
        "blank",
        Topic.SHEET,
        message("Blank"),
        message("A flat piece of sheet, cut to its outline and not yet folded."),
    ),
    Term(
        "score",
        Topic.SHEET,
        message("Score"),
        message("A line along which the sheet folds. Only one skin is cut or creased."),
        picture="SCORE",
    ),
    Term(
        "slit",
        Topic.SHEET,
        message("Slit"),
        message(
            "A cut through both skins of the sheet, between parts of a blank that fold separately."
        ),
        picture="SLIT",
    ),
    Term(
        "flap",
        Topic.SHEET,
        message("Flap"),
        message(
            "A part of a blank that folds away from its wall. Corner flaps lie outside the next "
            "wall; the flap of a doorway folds out and down."
        ),
        picture="FLAP_SCORE",
    ),
    Term(
        "tab",
        Topic.SHEET,
        message("Tab"),
        message("A strip at the edge of a piece that lies under the floor of the next piece."),
    ),
    Term(
        "lap",
        Topic.SHEET,
        message("Lap"),
        message(
            "The end of a wall that lies outside the wall of the next piece and is taped to it."
        ),
    ),
    Term(
        "seam",
        Topic.SHEET,
        message("Seam"),
        message("A line along which two pieces of sheet, or two panels, meet."),
    ),
    Term(
        "sheet-plan",
        Topic.SHEET,
        message("Sheet plan"),
        message(
            "A drawing of one stock sheet with its pieces and its cuts. The cuts are numbered "
            "in the order of work."
        ),
        forms=("cutting plan",),
    ),
    Term(
        "offcut",
        Topic.SHEET,
        message("Offcut"),
        message(
            "What is left of a sheet and is large enough to keep. In the store each one has a "
            "label of its own."
        ),
        picture="OFFCUT",
    ),
)
