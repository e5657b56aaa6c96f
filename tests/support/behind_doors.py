"""What is behind an address that needs an id: made, and told as the arguments of the address.

For `tests/house/test_access_by_role.py`, and others that open every page.
"""

import uuid
from collections.abc import Callable
from typing import Any

from django.utils import timezone

from habitats.enclosures.models.setting_up import set_up

COORDINATOR = "coordinator"
BUILDER = "builder"
FOSTER = "foster"
LAUNDRY = "laundry"
EVERYBODY = (BUILDER, FOSTER, LAUNDRY)


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


def drawing(**more: str) -> Callable[[], dict[str, Any]]:
    """The code of a new design, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.designs.models.designs import Design
        from habitats.people.models.people import Person
        from tests.support.designs import make_design

        drawer = Person.objects.create_user("drawer", roles=COORDINATOR)
        return {"code": Design.objects.draw(make_design(), by=drawer).code, **more}

    return make


def cutting(is_cut: bool = False, **more: object) -> Callable[[], dict[str, Any]]:
    """The code of a job that is worked out, or cut, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.people.models.people import Person
        from tests.support.sheets import cut_up, make_job

        maker = Person.objects.create_user("maker", roles=COORDINATOR)
        job = make_job(maker)
        return {"code": (cut_up(job, maker) if is_cut else job).code, **more}

    return make


def placing_run():
    """The number of a placing that is worked out."""
    from builds.placing.models.asked import PlacingAsked, What
    from builds.placing.models.by_hand import ByHand
    from builds.placing.models.runs import begin_run
    from builds.placing.models.what_if import WhatIf
    from habitats.people.models.people import Person

    maker = Person.objects.create_user("maker", roles=COORDINATOR)
    run, _is_new = begin_run(PlacingAsked(What.PROPOSAL, ByHand(), WhatIf()), "mark", by=maker)
    return {"number": run.pk}


def batching(**more: object) -> Callable[[], dict[str, Any]]:
    """The code of a new batch, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.people.models.people import Person
        from tests.support.sheets import make_batch

        maker = Person.objects.create_user("maker", roles=COORDINATOR)
        return {"code": make_batch(maker).code, **more}

    return make


def built(*, state: str = "building", **more: object) -> Callable[[], dict[str, Any]]:
    """The code of a build that all builders are on, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from tests.support.builds import make_build

        return {"code": make_build(state=state).code, **more}

    return make


def a_step() -> dict[str, Any]:
    from tests.support.builds import make_build, steps_of

    build = make_build(state="building")
    return {"code": build.code, "key": steps_of(build)[0].key}


def two_cells():
    """A design of two cells: its papers are printed soonest."""
    from habitats.designs.models.designs import Design
    from tests.support.builds import planner
    from tests.support.designs import make_design

    return Design.objects.draw(make_design(["##"]), by=planner())


def a_kit(**more: object) -> Callable[[], dict[str, Any]]:
    """The code of a kit, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from tests.support.kits import make_kit

        return {"code": make_kit(design=two_cells()).code, **more}

    return make


def a_follow_up() -> dict[str, Any]:
    from tests.support.kits import make_kit

    return {"code": make_kit(state="handed over").code, "number": 1}


def a_kit_link() -> dict[str, Any]:
    from tests.support.kits import make_link

    link = make_link()
    return {"code": link.build.code, "pk": link.pk}


def for_an_adopter(*, has_step: bool = False) -> Callable[[], dict[str, Any]]:
    """The token of a link that is good today, and the key of a step."""

    def make() -> dict[str, Any]:
        from tests.support.builds import steps_of
        from tests.support.kits import make_link

        link = make_link(design=two_cells())
        return {"token": link.token, **({"key": steps_of(link.build)[0].key} if has_step else {})}

    return make


def a_build_day() -> dict[str, Any]:
    from tests.support.builds import make_build, make_build_day

    day = make_build_day(make_build(state="building"))
    return {"code": day.build.code, "pk": day.pk}


def a_panel_report() -> dict[str, Any]:
    from tests.support.builds import make_build, report_panels

    build = make_build(state="building")
    return {"code": build.code, "pk": report_panels(build).pk}


def a_repair() -> dict[str, Any]:
    from tests.support.builds import make_build, make_repair

    build = make_build(state="building")
    return {"code": build.code, "pk": make_repair(build).pk}


def a_photo() -> dict[str, Any]:
    from tests.support.builds import make_build, make_photo

    build = make_build(state="building")
    return {"code": build.code, "pk": make_photo(build).pk}


def with_a_stray_photo() -> dict[str, Any]:
    from builds.plans.models.build_acts import StrayAct
    from tests.support.builds import make_build, planner

    build = make_build(state="stopped")
    stray = StrayAct.objects.create(
        build=build, payload={}, why="Too late.", image=a_stored_file(), made_by=planner()
    )
    return {"code": build.code, "pk": stray.pk}


def with_a_late_tick() -> dict[str, Any]:
    from builds.plans.models.build_acts import Overtaken
    from tests.support.builds import NOON, make_build, planner, steps_of

    build, by = make_build(state="building"), planner()
    on = {"step_key": steps_of(build)[0].key, "at": NOON, "made_by": by}
    late, stands = (build.ticks.create(is_done=is_done, **on) for is_done in (True, False))
    return {
        "code": build.code,
        "pk": Overtaken.objects.create(tick=late, stands=stands, made_by=by).pk,
    }


def a_stored_file() -> str:
    from django.core.files.base import ContentFile
    from django.core.files.storage import default_storage

    return default_storage.save("stray.jpg", ContentFile(b"a photo"))


def sheet_kind() -> dict[str, Any]:
    from tests.support.sheets import make_kind

    return {"pk": make_kind().pk}


def placed() -> dict[str, Any]:
    from tests.support.sheets import make_place

    return {"code": make_place().code}


def counted(**more: str) -> Callable[[], dict[str, Any]]:
    """The key of a new item, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from tests.support.store import make_item

        return {"pk": make_item().pk, **more}

    return make


def packed() -> dict[str, Any]:
    from tests.support.store import make_item, make_pack

    return {"pk": make_pack(make_item(), 12, "24.00").pk}


def delivered() -> dict[str, Any]:
    from builds.store.models.deliveries import receive
    from tests.support.builds import planner
    from tests.support.sheets import make_place
    from tests.support.store import make_item

    words = {"supplier": None, "by": planner(), "idempotency_key": uuid.uuid4()}
    return {"pk": receive([(make_item(), 3)], make_place(), **words).pk}


def supplying() -> dict[str, Any]:
    from builds.store.models.suppliers import Supplier

    packed()
    return {"pk": Supplier.objects.get().pk}


def offcut() -> dict[str, Any]:
    from builds.store.models.offcuts import Offcut
    from tests.support.sheets import make_kind

    return {"label": Offcut.objects.store(make_kind(), 400, 600, by=somebody()).label}


def no_words_but_an_offcut() -> dict[str, Any]:
    offcut()
    return {}


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


def drawn_on(**more: str) -> Callable[[], dict[str, Any]]:
    """The code of an enclosure that stands, on which a lid was drawn, and what else is asked."""

    def make() -> dict[str, Any]:
        from dataclasses import replace
        from uuid import uuid4

        from django.utils import timezone

        from habitats.enclosures.models.drawings import begin_drawing
        from habitats.enclosures.models.enclosures import EnclosureState

        enclosure = home_with_an_enclosure()[1]
        by = enclosure.made_by
        enclosure.set_state(EnclosureState.STANDING, on=timezone.localdate(), by=by)
        drawing = begin_drawing(enclosure, by=by, idempotency_key=uuid4())
        drawing.change(replace(drawing.shape(), lid=True), by=by)
        return {"code": enclosure.code, **more}

    return make


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
