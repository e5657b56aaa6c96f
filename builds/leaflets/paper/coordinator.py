"""The leaflet for coordinators."""

from builds.leaflets.paper.pictures import comparing_space, reading_plans
from builds.leaflets.paper.shared import BONDING, MORE, NOT_EATING, SUSPECTED, TODAY, UNSAFE
from builds.leaflets.paper.values import Leaflet, OnScreen, told
from builds.making.advice import Advice
from habitats.people.models.people import Person
from habitats.wording import message, message_in

COORDINATOR = Leaflet(
    role=Person.Role.COORDINATOR,
    part=(
        message(
            "You decide who lives where. You see to it that each enclosure is large enough, safe "
            "and clean."
        ),
        message(
            "Builders, fosters and the laundry record what they do. You read it at once, and what "
            "needs you comes first."
        ),
    ),
    week=(
        told(
            message(
                "Begin each day with %(today)s. What needs action now stands first, each with the "
                "button that does it."
            ),
            today=TODAY,
        ),
        told(
            message(
                "Under %(space)s you see all homes to one scale. Enter a number beside %(room)s, "
                "and free places are listed."
            ),
            space=OnScreen(message_in("the page of all homes", "Space"), "today"),
            room=OnScreen(message("Room for")),
        ),
        told(
            message(
                "New animals arrive: %(animals)s, then %(add)s, one form for one or many. They "
                "stay apart for the days of quarantine that your vet advises."
            ),
            animals=OnScreen(message("Animals"), "today"),
            add=OnScreen(message("New intake"), "animals"),
        ),
        told(
            message(
                "Make a group with %(new)s. Reasons against it show before you save; a warning "
                "needs your reason."
            ),
            new=OnScreen(message("New group"), "groups"),
        ),
        told(
            message(
                "On the group’s page choose %(move)s: each enclosure says whether it is large "
                "enough. %(placing)s proposes moves for all at once."
            ),
            move=OnScreen(message_in("a group", "Move"), "group"),
            placing=OnScreen(message("Placing"), "builds:placing"),
        ),
        told(
            message(
                "You need one more enclosure: open %(designs)s, copy one of the %(starters)s, and "
                "choose %(plan)s on its page."
            ),
            designs=OnScreen(message("Designs"), "builds:designs"),
            starters=OnScreen(message("Starter designs"), "builds:designs"),
            plan=OnScreen(message("Plan build"), "builds:design"),
        ),
        told(
            message(
                "Someone wants animals: %(waiting)s names who fits, and %(reserve)s leads to "
                "trial, adoption, return and follow-ups."
            ),
            waiting=OnScreen(message("Waiting list"), "wishes"),
            reserve=OnScreen(message("Reserve animals"), "adoptions"),
        ),
        told(
            message(
                "Once a week open %(buying)s and %(pools)s: what is short, and which linens run "
                "out. What arrives is entered with %(receive)s."
            ),
            buying=OnScreen(message("Buying list"), "builds:buying"),
            pools=OnScreen(message("Pools"), "pools"),
            receive=OnScreen(message("Receive goods")),
        ),
        told(
            message("An inspector comes: %(report)s shows all enclosures on any day, as PDF."),
            report=OnScreen(message("Report for inspectors"), "report"),
        ),
        told(
            message(
                "An infection is suspected: after the call to the vet, choose %(trace)s. All "
                "contacts are listed."
            ),
            trace=OnScreen(message("Report suspected infection"), "traces"),
        ),
    ),
    watch=(
        NOT_EATING,
        UNSAFE,
        SUSPECTED,
        Advice(
            "override",
            message(
                "Override a warning only with a reason that you would give to an inspector. Your "
                "name and the day stay with it."
            ),
        ),
        Advice(
            "accounts",
            message(
                "Each person has an account of their own. Deactivate it when they leave. Addresses "
                "and phone numbers are confidential."
            ),
        ),
    ),
    words=(
        "home",
        "group",
        "space-standard",
        "floor-area",
        "quarantine",
        "contact-tracing",
        "design",
        "build",
        "short",
        "par",
    ),
    more=MORE,
    opening=comparing_space,
    reading=reading_plans,
    seldom=(
        told(
            message("A vet was seen: copy the vet’s words into the %(log)s of the animal."),
            log=OnScreen(message("Health log"), "animal"),
        ),
        BONDING,
        told(
            message("A slip: choose %(undo)s beside the entry. The history keeps both."),
            undo=OnScreen(message("Undo")),
        ),
        told(
            message("Written down twice: %(merge)s makes two records one."),
            merge=OnScreen(message("Merge with a double"), "animal"),
        ),
        told(
            message("A foster leaves: on the page of the home, choose %(hand_on)s."),
            hand_on=OnScreen(message("Hand on what is here"), "home_page"),
        ),
    ),
)
