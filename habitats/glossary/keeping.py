"""Words of animals, linens, builds, the store and kits."""

from habitats.glossary.term import Term, Topic
from habitats.wording import message

ANIMALS = (
    Term(
        "home",
        Topic.ANIMALS,
        message("Home"),
        message("A place where enclosures stand: a foster household, or a depot of the rescue."),
    ),
    Term(
        "group",
        Topic.ANIMALS,
        message("Group"),
        message(
            "Animals that live together. An animal is in one group at a time, and a group in "
            "one enclosure."
        ),
    ),
    Term(
        "quarantine",
        Topic.ANIMALS,
        message("Quarantine"),
        message(
            "Days that an animal spends apart from others, at intake or because of an illness. "
            "What a vet says comes first."
        ),
    ),
    Term(
        "bonding",
        Topic.ANIMALS,
        message("Bonding"),
        message(
            "Letting animals meet, watched, until they live together in peace. Each attempt is "
            "recorded; a pair that refused each other is remembered."
        ),
    ),
    Term(
        "placing",
        Topic.ANIMALS,
        message("Placing"),
        message(
            "A proposal of which group lives in which enclosure, in an order of moves. Nothing "
            "moves until you record it."
        ),
    ),
    Term(
        "health-log",
        Topic.ANIMALS,
        message("Health log"),
        message(
            "What happened to an animal’s health: vet visits, findings, vaccinations, treatments. "
            "Entries stay; a correction is an entry of its own."
        ),
    ),
    Term(
        "treatment",
        Topic.ANIMALS,
        message("Treatment"),
        message(
            "What a vet prescribed, in the vet’s words, with the times of day and the days of its "
            "doses. Each dose is recorded as given or not given."
        ),
    ),
    Term(
        "space-standard",
        Topic.ANIMALS,
        message("Space standard"),
        message(
            "A published rule for the floor and the height that animals need. The rescue "
            "chooses one for each species, and each enclosure is checked against it. Files call "
            "it a rule set."
        ),
        forms=("rule set",),
    ),
    Term(
        "floor-area",
        Topic.ANIMALS,
        message("Floor area"),
        message("The area inside the trays. The space standard says whether upper levels count."),
        forms=("floor",),
    ),
    Term(
        "contact-tracing",
        Topic.ANIMALS,
        message("Contact tracing"),
        message(
            "A list of the animals, enclosures and linens that a suspected infection may have "
            "reached. Only recorded contacts are in it."
        ),
        forms=("trace",),
    ),
)

LINENS = (
    Term(
        "linen",
        Topic.LINENS,
        message("Linen"),
        message(
            "A liner or towel with a label. Its states are clean, in use, soiled, washing and "
            "drying."
        ),
    ),
    Term(
        "liner",
        Topic.LINENS,
        message("Liner"),
        message("A rectangle of cloth that covers the floor of a tray, or part of it."),
    ),
    Term(
        "fleece",
        Topic.LINENS,
        message("Fleece"),
        message("A soft synthetic cloth that liners are made of."),
    ),
    Term(
        "spot-clean",
        Topic.LINENS,
        message("Spot clean"),
        message(
            "To pick up droppings and wipe between two changes of linens. It does not move the "
            "day of the next change."
        ),
        forms=("spot cleaned", "spot cleaning"),
    ),
    Term(
        "pool",
        Topic.LINENS,
        message("Pool"),
        message(
            "Linens that share one laundry and one cupboard. Each home takes its linens from "
            "one pool."
        ),
    ),
    Term(
        "load",
        Topic.LINENS,
        message("Load"),
        message("Linens that are washed together in one run of the machine."),
    ),
    Term(
        "programme",
        Topic.LINENS,
        message("Programme"),
        message("One run of a machine at a temperature, for a number of minutes."),
    ),
    Term(
        "par",
        Topic.LINENS,
        message("Par"),
        message(
            "The fewest linens of a size, those in use included, with which no change waits for "
            "a clean one."
        ),
    ),
    Term(
        "set-aside",
        Topic.LINENS,
        message("Set aside"),
        message(
            "Kept out of use because of a suspected infection, until the washes that release it "
            "are done."
        ),
    ),
)

BUILDS = (
    Term(
        "design",
        Topic.BUILDS,
        message("Design"),
        message("The drawing of an enclosure. Each change is kept as a new revision."),
    ),
    Term(
        "packet",
        Topic.BUILDS,
        message("Packet"),
        message(
            "The printed instructions of a design: plans, parts, sheet plans, steps and inspection."
        ),
    ),
    Term(
        "build",
        Topic.BUILDS,
        message("Build"),
        message("The work of making one enclosure from a design, or of altering one that stands."),
    ),
    Term(
        "inspection",
        Topic.BUILDS,
        message("Inspection"),
        message(
            "The list of points that are checked before an enclosure is handed over. Each point "
            "that fails is repaired first."
        ),
    ),
    Term(
        "batch",
        Topic.BUILDS,
        message("Batch"),
        message("Builds that are cut together, so that they share sheets."),
        forms=("batches",),
    ),
    Term(
        "alteration",
        Topic.BUILDS,
        message("Alteration"),
        message(
            "A build that changes an enclosure into another design. What stays is left in place."
        ),
    ),
)

STORE = (
    Term(
        "pull",
        Topic.STORE,
        message("Pull"),
        message("The list of what a builder takes from the store for one build."),
    ),
    Term(
        "reserved",
        Topic.STORE,
        message("Reserved"),
        message(
            "In the store and promised to a build or a cutting job. Other builds do not count "
            "on it."
        ),
    ),
    Term(
        "short",
        Topic.STORE,
        message("Short"),
        message(
            "Needed by a build and not there to reserve. What is short goes on the buying list."
        ),
        forms=("shortage",),
    ),
    Term(
        "stocktake",
        Topic.STORE,
        message("Stocktake"),
        message(
            "A count of what is in one place of the store. Differences are recorded and corrected."
        ),
    ),
)

KITS = (
    Term(
        "kit",
        Topic.KITS,
        message("Kit"),
        message(
            "An enclosure that an adopter takes home in parts, with its linens and instructions."
        ),
    ),
    Term(
        "adopter",
        Topic.KITS,
        message("Adopter"),
        message(
            "A person who takes animals and a kit home. Adopters open their kit by a link, "
            "without an account."
        ),
    ),
    Term(
        "follow-up",
        Topic.KITS,
        message("Follow-up"),
        message("A day after the handover on which the rescue asks the adopter how things are."),
    ),
    Term(
        "trial",
        Topic.KITS,
        message("Trial"),
        message(
            "Days that animals live with their adopter while they are still in your care. Then "
            "they are adopted, or come back."
        ),
    ),
    Term(
        "pre-visit",
        Topic.KITS,
        message("Pre-visit"),
        message("A look at the new home by the rescue, before the animals go there."),
    ),
    Term(
        "waiting-list",
        Topic.KITS,
        message("Waiting list"),
        message(
            "What adopters wish for: species, number, sex and age. Animals that are ready and fit "
            "are named beside each wish."
        ),
        forms=("wish",),
    ),
)

RECORDS = (
    Term(
        "undo",
        Topic.RECORDS,
        message("Undo"),
        message(
            "To take back an intake, a move or a departure that was recorded by mistake. Both stay "
            "in the history."
        ),
    ),
    Term(
        "double",
        Topic.RECORDS,
        message("Double"),
        message(
            "A second record of the same animal, home, person or adopter. Merging makes one record "
            "of both, and cannot be undone."
        ),
    ),
    Term(
        "hand-on",
        Topic.RECORDS,
        message("Hand on"),
        message(
            "To give all that is at a home to other homes, in one form, when its people leave."
        ),
    ),
    Term(
        "override",
        Topic.RECORDS,
        message("Override"),
        message(
            "To go on in spite of a warning, with a reason. Your name and the day stay with it."
        ),
        forms=("overridden",),
    ),
)
