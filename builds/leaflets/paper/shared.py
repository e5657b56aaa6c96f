"""What more than one leaflet says."""

from builds.leaflets.paper.values import OnScreen, told
from builds.making.advice import Advice
from habitats.upkeep.urgency import OUT_OF_REACH
from habitats.wording import joined, message

TODAY = OnScreen(message("Today"), "today")
HELP = OnScreen(message("Help"), "today")

BONDING = told(
    message("Animals meet: stay with them, then choose %(bonding)s on the page of one."),
    bonding=OnScreen(message("Record bonding attempt"), "animal"),
)

MORE = (
    told(
        message(
            "The page %(help)s explains every word and prints these two pages again; %(sources)s "
            "says where each figure is from."
        ),
        help=HELP,
        sources=OnScreen(message("Sources"), "today"),
    ),
    told(
        message(
            "%(search)s finds a name, a code or a label. When something is unclear, ask a "
            "coordinator before you go on."
        ),
        search=OnScreen(message("Search"), "today"),
    ),
)

# From memory; a vet's word comes first.
NOT_EATING = Advice(
    "not_eating",
    message(
        "A guinea pig or a rabbit that does not eat or passes no droppings is an emergency. Call a "
        "vet at once, day or night."
    ),
)
UNSAFE = Advice(
    "unsafe",
    joined(
        " ",
        [
            message("A fault is unsafe if an animal can be hurt, get out or get stuck today."),
            OUT_OF_REACH,
        ],
    ),
)
# From memory; a vet's word comes first.
SUSPECTED = Advice(
    "suspected",
    message(
        "Where you suspect an infection, call a vet first. Move no animal and no linen until the "
        "vet has answered."
    ),
)
