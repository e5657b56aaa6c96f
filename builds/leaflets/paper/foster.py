"""The leaflet for fosters."""

from builds.leaflets.paper.pictures import living_here, watching
from builds.leaflets.paper.shared import BONDING, MORE, NOT_EATING, SUSPECTED, TODAY, UNSAFE
from builds.leaflets.paper.values import Leaflet, OnScreen, told
from builds.making.advice import Advice
from builds.making.cautions import INDOORS, LID_FALLS, RAMP_ANIMALS
from habitats.people.models.people import Person
from habitats.wording import message

FOSTER = Leaflet(
    role=Person.Role.FOSTER,
    part=(
        message(
            "You give animals a home for a while, watch how they are, and tell the rescue what you "
            "see."
        ),
        message(
            "Each record takes a few taps on your phone. Only the coordinators and the people of "
            "your home see your address."
        ),
    ),
    week=(
        told(
            message(
                "Look at each animal every day: does it eat, move and breathe as it always does?"
            )
        ),
        told(
            message("Open %(today)s. It lists what is due for your animals and your linens."),
            today=TODAY,
        ),
        told(
            message(
                "Put each animal on the scales when it is due: choose %(weigh)s, then its name, "
                "and enter the grams."
            ),
            weigh=OnScreen(message("Weigh"), "today"),
        ),
        told(
            message(
                "A vet prescribed something: choose %(log)s on the animal’s page and copy the "
                "vet’s words. Each dose then comes up on %(today)s."
            ),
            log=OnScreen(message("Health log"), "animal"),
            today=TODAY,
        ),
        told(
            message(
                "When linens are due, choose %(change)s and your enclosure. Take out what is "
                "soiled, put in clean linens, and save."
            ),
            change=OnScreen(message("Change linens"), "today"),
        ),
        told(
            message(
                "Point the camera of your phone at a linen’s label, or choose %(label)s and type "
                "its five characters."
            ),
            label=OnScreen(message("Enter label"), "laundry"),
        ),
        told(
            message(
                "You wash at home: open %(laundry)s, fill the machine with what is ticked, and "
                "choose %(start)s."
            ),
            laundry=OnScreen(message("Laundry"), "today"),
            start=OnScreen(message("Start load"), "new_load"),
        ),
        told(
            message(
                "When %(today)s asks for it, open your enclosure and choose %(check)s. Answer each "
                "point with your hand on the place."
            ),
            today=TODAY,
            check=OnScreen(message("Safety check"), "enclosure"),
        ),
        told(
            message(
                "Something is broken: choose %(report)s on the enclosure’s page. Say how urgent it "
                "is, and add a photo."
            ),
            report=OnScreen(message("Report fault"), "enclosure"),
        ),
        told(
            message(
                "Print the %(card)s and hang it on the front. Its code opens the enclosure’s page "
                "on a phone."
            ),
            card=OnScreen(message("Enclosure card"), "enclosure"),
        ),
    ),
    watch=(
        NOT_EATING,
        UNSAFE,
        # From memory; a vet's word comes first.
        Advice(
            "losing_weight",
            message(
                "Losing weight is often the first sign of an illness. When a weight is marked, "
                "call a vet."
            ),
        ),
        SUSPECTED,
        RAMP_ANIMALS,
        LID_FALLS,
        INDOORS,
    ),
    words=(
        "enclosure",
        "floor-area",
        "group",
        "quarantine",
        "tray",
        "ramp",
        "liner",
        "spot-clean",
        "load",
        "set-aside",
    ),
    more=MORE,
    opening=living_here,
    reading=watching,
    seldom=(BONDING,),
)
