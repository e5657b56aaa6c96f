"""What is behind an address that needs an id: made, and told as the arguments of the address.

For the rows of `tests/house/doors_of_habitats.py`, and others that open every page; what builds
have is made in `behind_doors_of_builds.py`.
"""

import uuid
from collections.abc import Callable
from typing import Any

from django.utils import timezone

from habitats.enclosures.models.setting_up import set_up
from tests.support.doors import FOSTER


def somebody():
    from habitats.people.models.people import Person

    return Person.objects.create_user("somebody")


def feed():
    from habitats.people.models.calendar_feeds import CalendarFeed

    return {"secret": CalendarFeed.objects.renew(somebody()).secret}


def labelled():
    """A linen of the pool that the foster's home draws from."""
    from habitats.linens.models.linens import Linen, LinenKind
    from habitats.linens.models.pools import Pool
    from habitats.linens.models.spots import LinenSize

    home = fostered_home()
    pool = Pool.objects.set_up("Cupboard", home)
    kind = LinenKind.objects.create(name="Fleece", sort="liner", grams_per_m2=300)
    size = LinenSize.of("liner", 700, 1400)
    linen = Linen.objects.make(kind, size, pool, home.made_at.date(), by=home.made_by)
    return {"label": linen.label}


def pooled():
    from habitats.linens.models.linens import Linen

    return {"code": Linen.objects.get(**labelled()).pool.code}


def loaded():
    from habitats.linens.models.linens import Linen
    from habitats.linens.models.loads import Load

    linen = Linen.objects.get(**labelled())
    programme = linen.pool.programmes.create(name="Everyday", temperature_c=40, minutes=30)
    made = Load.objects.start(linen.pool, [linen], programme, linen.since, by=linen.made_by)
    return {"code": made.code}


def with_a_programme() -> dict[str, Any]:
    from habitats.linens.models.pools import Pool

    pool = Pool.objects.set_up("Cupboard", fostered_home())
    made = pool.programmes.create(name="Hot", temperature_c=60, minutes=20)
    return {"code": pool.code, "pk": made.pk}


def with_a_drawing_home() -> dict[str, Any]:
    from habitats.linens.models.pools import Pool

    pool = Pool.objects.set_up("Cupboard", fostered_home())
    return {"code": pool.code, "home": pool.home.code}


def kind_of_linen() -> dict[str, Any]:
    from habitats.linens.models.linens import LinenKind

    return {"pk": LinenKind.objects.create(name="Fleece", sort="liner", grams_per_m2=300).pk}


def fostered_home():
    """A home that every foster looks after."""
    from habitats.homes.models.homes import Home
    from habitats.people.models.people import Person

    home = Home.objects.take_on(by=somebody(), name="Wren")
    home.people.set(Person.objects.with_role(FOSTER))
    return home


def homed(**more: object) -> Callable[[], dict[str, Any]]:
    """The code of a home that fosters look after, and whatever else its address asks for."""
    return lambda: {"code": fostered_home().code, **more}


def away() -> dict[str, Any]:
    from habitats.homes.models.absences import Absence

    home = fostered_home()
    absence = Absence.objects.record(
        home, by=home.made_by, idempotency_key=None, first_day=timezone.localdate()
    )
    return {"code": home.code, "pk": absence.pk}


def handed_in() -> dict[str, Any]:
    """A file that waits for somebody to decide."""
    from habitats.records.models.import_files import ImportFile

    once = uuid.uuid4()
    ImportFile.objects.hand_in(
        b"name\nWren", kind="homes", name="h.csv", by=somebody(), idempotency_key=once
    )
    return {"once": once}


def left_home() -> dict[str, Any]:
    home = fostered_home()
    home.people.add(home.made_by)
    return {"code": home.code, "pk": home.made_by_id}


def home_with_an_enclosure():
    from habitats.designs.models.designs import Design
    from habitats.enclosures.models.standing import stand
    from tests.support.designs import make_design

    home = fostered_home()
    drawn = Design.objects.draw(make_design(), by=home.made_by)
    enclosure = set_up(drawn.current, "North wall", by=home.made_by)
    stand(enclosure, home, enclosure.made_at.date(), by=home.made_by)
    return home, enclosure


def enclosed() -> dict[str, Any]:
    return {"code": home_with_an_enclosure()[1].code}


def group_at_home():
    """A group of one animal, with a photo and a weight, in a home that fosters look after."""
    from habitats.animals.models.animals import Animal
    from habitats.animals.models.groups import Group
    from habitats.animals.models.stays import move_in
    from habitats.enclosures.models.enclosures import EnclosureState
    from habitats.people.models.people import Person

    _home, enclosure = home_with_an_enclosure()
    by = enclosure.made_by
    day = enclosure.made_at.date()
    enclosure.set_state(EnclosureState.STANDING, on=day, by=by)
    animal = Animal.objects.take_in(by=by, name="Pip", species="guinea_pig", came_on=day)
    animal.keep_photo(b"a photo")
    animal.weigh(800, day, by=Person.objects.with_role(FOSTER).first() or by)
    group = Group.objects.begin("guinea_pig", by=by)
    group.admit(animal, day, by=by)
    move_in(group, enclosure, day, by=by)
    return group, animal


def faulty() -> dict[str, Any]:
    """A fault with a photo of an enclosure in a home that fosters look after."""
    from habitats.enclosures.models.enclosures import EnclosureState
    from habitats.faults.models.faults import report
    from habitats.upkeep.kinds import FaultKind
    from habitats.upkeep.urgency import FaultUrgency

    _home, enclosure = home_with_an_enclosure()
    by, day = enclosure.made_by, enclosure.made_at.date()
    enclosure.set_state(EnclosureState.STANDING, on=day, by=by)
    kind, urgency = FaultKind.TIE, FaultUrgency.SOON
    return {"pk": report(enclosure, kind, urgency, on=day, by=by, photo=b"a photo").pk}


def grouped() -> dict[str, Any]:
    return {"code": group_at_home()[0].code}


def with_an_animal() -> dict[str, Any]:
    return {"code": group_at_home()[1].code}


def newly_in_quarantine() -> dict[str, Any]:
    from habitats.animals.models.quarantines import Quarantine

    animal = group_at_home()[1]
    Quarantine.objects.create(animal=animal, since=timezone.localdate(), made_by=animal.made_by)
    return {"code": animal.code}


def with_an_entry() -> dict[str, Any]:
    """An entry of the health log, by a foster where there is one."""
    from habitats.people.models.people import Person

    animal = group_at_home()[1]
    by = Person.objects.with_role(FOSTER).first() or animal.made_by
    made = animal.health_entries.create(
        kind="visit", on=animal.came_on, words="Seen by a vet.", made_by=by
    )
    return {"code": animal.code, "pk": made.pk}


def with_a_treatment() -> dict[str, Any]:
    animal = group_at_home()[1]
    made = animal.treatments.create(
        drug="Amber drops",
        amount="two drops",
        how="by mouth",
        how_often="twice a day",
        times=["00:00", "12:00"],
        first_day=animal.came_on,
        vet="Dr Quail",
        made_by=animal.made_by,
    )
    return {"code": animal.code, "pk": made.pk}


def with_a_dose() -> dict[str, Any]:
    """One that is due today."""
    from habitats.health.models.treatments import Treatment

    found = with_a_treatment()
    first_day = Treatment.objects.get(pk=found["pk"]).first_day
    return {**found, "dose": f"{first_day}-0000"}


def with_a_weighing() -> dict[str, Any]:
    animal = group_at_home()[1]
    return {"code": animal.code, "pk": animal.weighings.get().pk}


def with_an_act() -> dict[str, Any]:
    from habitats.animals.models.acts import Act

    _group, animal = group_at_home()
    return {"pk": Act.objects.of_animals([animal]).latest_first()[0].pk}


def with_a_member() -> dict[str, Any]:
    group, animal = group_at_home()
    return {"code": group.code, "animal": animal.code}


def traced() -> dict[str, Any]:
    """A trace of a group that lives in a home that fosters look after."""
    from habitats.traces.models.traces import Trace

    group, animal = group_at_home()
    by, since = group.made_by, animal.came_on
    return {"code": Trace.objects.begin(group, since, "ringworm", by=by).code}


def adopting() -> dict[str, Any]:
    from habitats.adoptions.models.adopters import Adopter

    return {"code": Adopter.objects.write_down(by=somebody(), name="Rue").code}


def reserved() -> dict[str, Any]:
    from habitats.adoptions.models.adopters import Adopter
    from habitats.adoptions.models.steps import AdoptionStep, reserve
    from habitats.animals.models.animals import Animal

    adopter = Adopter.objects.get(**adopting())
    came = adopter.made_at.date()
    pair = [
        Animal.objects.take_in(
            by=adopter.made_by, name=name, species="guinea_pig", sex="F", came_on=came
        )
        for name in ("Pip", "Moss")
    ]
    step = AdoptionStep(came, adopter.made_by, uuid.uuid4())
    return {"code": reserve(adopter, pair, step, notes="").code}


def with_a_follow_up() -> dict[str, Any]:
    from habitats.adoptions.models.adoptions import Adoption
    from habitats.adoptions.models.steps import AdoptionStep, adopt

    adoption = Adoption.objects.get(**reserved())
    on = adoption.made_at.date()
    adopt(adoption, AdoptionStep(on, adoption.made_by, uuid.uuid4()), [on])
    return {"code": adoption.code, "pk": adoption.follow_ups.get().pk}


def with_a_death() -> dict[str, Any]:
    from habitats.adoptions.models.adoptions import Adoption
    from habitats.adoptions.models.deaths import record_death
    from habitats.adoptions.models.steps import AdoptionStep

    adoption = Adoption.objects.get(code=with_a_follow_up()["code"])
    step = AdoptionStep(adoption.made_at.date(), adoption.made_by, uuid.uuid4())
    death = record_death(adoption, adoption.open_animals()[0], step)
    return {"code": adoption.code, "pk": death.pk}


def wishing() -> dict[str, Any]:
    from habitats.adoptions.models.adopters import Adopter
    from habitats.adoptions.models.wishes import Wish

    adopter = Adopter.objects.get(**adopting())
    wish = Wish.objects.create(
        adopter=adopter,
        species="guinea_pig",
        since=adopter.made_at.date(),
        made_by=adopter.made_by,
    )
    return {"pk": wish.pk}
