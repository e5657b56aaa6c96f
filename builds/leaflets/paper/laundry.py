"""The leaflet for the laundry."""

from builds.leaflets.paper.pictures import days_ahead, on_the_line
from builds.leaflets.paper.shared import MORE, TODAY
from builds.leaflets.paper.values import Leaflet, OnScreen, told
from builds.making.advice import Advice
from builds.making.care import care_sheet
from habitats.people.models.people import Person
from habitats.wording import message

# In this order: what is done before the wash, in it, and after it.
_CARE = ("shake", "wash_hot", "load", "ringworm", "ringworm_dryer", "dry")
_ADVICE = {one.code: one for one in care_sheet()}

LAUNDRY = Leaflet(
    role=Person.Role.LAUNDRY,
    part=(
        message("You bring soiled linens back clean and dry, so that no home runs out of them."),
        message(
            "Each linen has a label of its own. What you record moves it along the line, and the "
            "forecast follows."
        ),
    ),
    week=(
        told(
            message("Open %(today)s: which linens wait, which are dry, and what runs out."),
            today=TODAY,
        ),
        told(
            message(
                "Under %(laundry)s each pool shows what waits for the wash, and the loads that are "
                "planned."
            ),
            laundry=OnScreen(message("Laundry"), "today"),
        ),
        told(
            message(
                "Choose %(load)s. What fits the machine is ticked; put in what is ticked, and "
                "choose %(start)s."
            ),
            load=OnScreen(message("New load")),
            start=OnScreen(message("Start load"), "new_load"),
        ),
        told(
            message(
                "The machine has ended: open the load and choose %(out)s. Untick what stays in."
            ),
            out=OnScreen(message("Take out"), "load"),
        ),
        told(
            message(
                "All is dry to the touch, seams too: choose %(dry)s. Back on the shelf: choose "
                "%(back)s."
            ),
            dry=OnScreen(message("Mark as dry")),
            back=OnScreen(message("Return to cupboard")),
        ),
        told(
            message("The camera does not read a label: choose %(label)s and type it."),
            label=OnScreen(message("Enter label"), "laundry"),
        ),
        told(
            message(
                "A new kind of cloth comes out of its first wash: measure one, and choose "
                "%(measure)s."
            ),
            measure=OnScreen(message("Save as clean"), "measure_linen"),
        ),
        told(
            message(
                "A linen is torn or worn out: open it by its label, choose its new state, and then "
                "%(record)s."
            ),
            record=OnScreen(message("Record state"), "linen_link"),
        ),
        told(
            message(
                "Set-aside linens are washed apart: choose %(apart)s, and keep to the number of "
                "washes that it names."
            ),
            apart=OnScreen(message("Wash set-aside linens")),
        ),
        told(
            message(
                "Once a week open %(pools)s: the day on which each size runs out. Tell a "
                "coordinator."
            ),
            pools=OnScreen(message("Pools"), "pools"),
        ),
    ),
    watch=(
        Advice(
            "gloves",
            message(
                "Wear gloves for soiled linens, keep them closed in a bag until the wash, and wash "
                "your hands afterwards."
            ),
        ),
        *(_ADVICE[code] for code in _CARE),
    ),
    words=(
        "linen",
        "liner",
        "fleece",
        "spot-clean",
        "pool",
        "load",
        "programme",
        "par",
        "set-aside",
        "contact-tracing",
    ),
    more=MORE,
    opening=on_the_line,
    reading=days_ahead,
)
