"""Cautions: general ones for the front of the packet, and those of single steps."""

from builds.making.advice import Advice
from habitats.structure.structure import Structure
from habitats.wording import message

# --- Where the hand is ---

CUT_WIRE = Advice(
    "cut_wire",
    message(
        "Cut wire is sharp and its ends fly off: wear gloves and eye protection, and point the end "
        "you cut off at the floor."
    ),
)
WIRE_ENDS = Advice(
    "wire_ends",
    message("Run a gloved finger along every cut: what catches the glove will cut an animal."),
)
BENDING = Advice(
    "bending",
    message(
        "Bent wire springs back: keep your face away from the free edge and your fingers out of "
        "the bend."
    ),
)
KNIFE = Advice(
    "knife",
    message(
        "Cut away from your hand and your leg, with the other hand behind the blade. Take a fresh "
        "blade rather than press harder, and pull the blade in when you put the knife down."
    ),
)
SCORE = Advice(
    "score", message("Score one skin only: a cut through both skins makes a fold that tears.")
)
TIE_TAILS = Advice(
    "tie_tails",
    message(
        "Cut the tails of ties flush, on the outside: a stub is as sharp as cut wire. Pick up "
        "every tail; animals eat them."
    ),
)
LIFT_TRAY = Advice(
    "lift_tray", message("A folded tray is large and bends: two people carry it, one at each end.")
)
LIFT_FLOOR = Advice(
    "lift_floor",
    message("Never lean on an upper floor, and let nobody stand or sit on it."),
)
HOLD_FLOOR = Advice(
    "hold_floor",
    message("Loose floor panels tip over: one person holds them level until they are tied."),
)
HOLD_WALL = Advice(
    "hold_wall",
    message("A single wall falls over: one person holds it until the next wall meets it."),
)
HOLD_SUPPORT = Advice(
    "hold_support",
    message("A support alone falls over: one person holds it until the floor lies on it."),
)
SUPPORTED_FLOOR = Advice(
    "supported_floor",
    message("Keep hands and animals out from under a floor while one of its supports is out."),
)
DOOR_GAP = Advice(
    "door_gap",
    message(
        "A door that stands ajar lets animals out: close both clips each time, and check that no "
        "head fits through on any side."
    ),
)
WALL_HOLDS = Advice(
    "wall_holds",
    message(
        "What holds in your wall depends on the wall: choose bracket, screw and plug for it, and "
        "ask the landlord and a tradesperson before anybody drills. Cables and pipes run in walls."
    ),
)
MAY_TIP = Advice(
    "may_tip",
    message(
        "Without its wall anchors it can tip over: one person holds its top, nobody leans on it, "
        "and no child or animal is in the room."
    ),
)
PINCH = Advice(
    "pinch",
    message("Press panels in with the flat of your hand; keep fingers out of the connector."),
)
RAMP_ANIMALS = Advice(
    "ramp_animals",
    message(
        "Very young, old, lame or pregnant animals can fall from a ramp: close the doorway for "
        "them and ask a vet when unsure."
    ),
)
LID_FALLS = Advice(
    "lid_falls",
    message("A lid panel falls when it is let go: hold it or take it off before you reach in."),
)
CATCH_PANELS = Advice(
    "catch_panels",
    message("A panel that comes free falls: one hand stays on it until you hold it with both."),
)
CUT_TIES_OFF = Advice(
    "cut_ties_off",
    message(
        "Cut ties fly off and their stubs are sharp: wear eye protection, pick up every piece and "
        "count them into the bin; animals eat them."
    ),
)
OLD_TRAY = Advice(
    "old_tray",
    message("A used tray is soiled: gloves on, and wash your hands before you handle an animal."),
)
CONNECTOR_OFF = Advice(
    "connector_off",
    message(
        "Take off one connector at a time, while a second hand holds the panels that meet there."
    ),
)
MOVED_ANIMALS = Advice(
    "moved_animals",
    message(
        "Being moved and noise frighten animals: keep companions together, give hay, water and a "
        "place to hide, and ask a vet about any that are ill, pregnant or very young."
    ),
)

# --- In front of the packet ---

LAW = Advice(
    "law",
    message("Local law comes first: ask what it requires for these animals before you build."),
)
VET = Advice(
    "vet",
    message(
        "Nothing here is veterinary advice. Ask a vet about animals that are very young, old, ill, "
        "lame or pregnant, and about who may live together."
    ),
)
NO_ANIMALS = Advice(
    "no_animals",
    message(
        "No animal goes in before the inspection is signed. Keep animals and children out of the "
        "room while you cut."
    ),
)
ANIMALS_OUT_FIRST = Advice(
    "animals_out_first",
    message(
        "Before any work at the enclosure its animals move out, or into a part that is closed off, "
        "all companions together."
    ),
)
PROTECTION = Advice(
    "protection",
    message(
        "Wear gloves for all wire and eye protection while wire or tie tails are cut. Cutting is "
        "for adults."
    ),
)
MEASURE = Advice(
    "measure",
    message(
        "Panels sold under one name differ in size. Always measure, never assume: every cut "
        "depends on it."
    ),
)
INDOORS = Advice(
    "indoors",
    message(
        "Made for indoors, on a level floor, out of the sun, away from heaters and draughts. Wire "
        "panels do not keep out dogs, cats or foxes."
    ),
)
FALLS = Advice(
    "falls",
    message("Upper floors carry the animals and their things, never a person or stored goods."),
)
UPPER_ANIMALS = Advice(
    "upper_animals",
    message(
        "Upper levels and ramps are not for very young, old, lame or pregnant animals. Everything "
        "they need stands on the ground floor."
    ),
)
PUP_SET = Advice(
    "pup_set",
    message(
        "Check several times a day that no young is caught between wires. Take the set off only "
        "when the head of the smallest no longer fits through single wire."
    ),
)
PUPS = Advice(
    "pups",
    message(
        "Young animals slip through wire that holds adults. While there are young, double the wire "
        "or raise the tray's wall; no safe opening is published."
    ),
)


def general_cautions(structure: Structure, *, altering: bool = False) -> tuple[Advice, ...]:
    """What everybody reads before they start on this structure; where animals live in it, first
    what becomes of them.
    """
    animals = (ANIMALS_OUT_FIRST, MOVED_ANIMALS) if altering else ()
    upper = (FALLS, UPPER_ANIMALS) if len(structure.design.levels) > 1 else ()
    return (*animals, LAW, VET, NO_ANIMALS, PROTECTION, MEASURE, INDOORS, *upper, PUPS)
