"""Who may open which address: one row an address, and no address without a row.

A new page fails `test_every_address_has_its_row` until somebody has decided, here, who may see it.
`roles` are those besides the coordinator, who may open all. Where an address needs an id, `make`
returns its arguments, and makes what it points at; `method` is how the page is asked for.
"""

import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from habitats.enclosures.models.setting_up import set_up

COORDINATOR = "coordinator"
BUILDER = "builder"
FOSTER = "foster"
LAUNDRY = "laundry"
EVERYBODY = (BUILDER, FOSTER, LAUNDRY)


@dataclass(frozen=True)
class Door:
    roles: tuple[str, ...] = ()
    public: bool = False
    method: str = "get"
    make: Callable[[], dict[str, Any]] = dict


def somebody():
    from habitats.people.models.people import Person

    return Person.objects.create_user("somebody")


def feed():
    from habitats.board.models.calendar_feeds import CalendarFeed

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

        drawer = Person.objects.create_user("drawer", role=COORDINATOR)
        return {"code": Design.objects.draw(make_design(), by=drawer).code, **more}

    return make


def cutting(is_cut: bool = False, **more: object) -> Callable[[], dict[str, Any]]:
    """The code of a job that is worked out, or cut, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.people.models.people import Person
        from tests.support.sheets import cut_up, make_job

        maker = Person.objects.create_user("maker", role=COORDINATOR)
        job = make_job(maker)
        return {"code": (cut_up(job, maker) if is_cut else job).code, **more}

    return make


def batching(**more: object) -> Callable[[], dict[str, Any]]:
    """The code of a new batch, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.people.models.people import Person
        from tests.support.sheets import make_batch

        maker = Person.objects.create_user("maker", role=COORDINATOR)
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

    words = {"supplier": None, "by": planner(), "once": uuid.uuid4()}
    return {"pk": receive([(make_item(), 3)], make_place(), **words).pk}


def supplying() -> dict[str, Any]:
    from builds.store.models.suppliers import Supplier

    packed()
    return {"pk": Supplier.objects.get().pk}


def offcut() -> dict[str, Any]:
    from builds.store.models.sheets import Offcut
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
    home.people.set(Person.objects.filter(role=FOSTER))
    return home


def homed(**more: object) -> Callable[[], dict[str, Any]]:
    """The code of a home that fosters look after, and whatever else its address asks for."""
    return lambda: {"code": fostered_home().code, **more}


def handed_in() -> dict[str, Any]:
    """A file that waits for somebody to decide."""
    from habitats.records.models.import_files import ImportFile

    once = uuid.uuid4()
    ImportFile.objects.hand_in(b"name\nWren", kind="homes", name="h.csv", by=somebody(), once=once)
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
    from habitats.enclosures.models.enclosures import State
    from habitats.people.models.people import Person

    _home, enclosure = home_with_an_enclosure()
    by = enclosure.made_by
    day = enclosure.made_at.date()
    enclosure.say(State.STANDING, on=day, by=by)
    animal = Animal.objects.take_in(by=by, name="Pip", species="guinea_pig", came_on=day)
    animal.keep_photo(b"a photo")
    animal.weigh(800, day, by=Person.objects.filter(role=FOSTER).first() or by)
    group = Group.objects.begin("guinea_pig", by=by)
    group.admit(animal, day, by=by)
    move_in(group, enclosure, day, by=by)
    return group, animal


def faulty() -> dict[str, Any]:
    """A fault with a photo of an enclosure in a home that fosters look after."""
    from habitats.enclosures.models.enclosures import State
    from habitats.faults.models.faults import report
    from habitats.upkeep.kinds import FaultKind
    from habitats.upkeep.urgency import FaultUrgency

    _home, enclosure = home_with_an_enclosure()
    by, day = enclosure.made_by, enclosure.made_at.date()
    enclosure.say(State.STANDING, on=day, by=by)
    kind, urgency = FaultKind.TIE, FaultUrgency.SOON
    return {"pk": report(enclosure, kind, urgency, on=day, by=by, photo=b"a photo").pk}


def grouped() -> dict[str, Any]:
    return {"code": group_at_home()[0].code}


def with_an_animal() -> dict[str, Any]:
    return {"code": group_at_home()[1].code}


def with_a_weighing() -> dict[str, Any]:
    animal = group_at_home()[1]
    return {"code": animal.code, "pk": animal.weighings.get().pk}


def with_a_member() -> dict[str, Any]:
    group, animal = group_at_home()
    return {"code": group.code, "animal": animal.code}


def traced() -> dict[str, Any]:
    """A trace of a group that lives in a home that fosters look after."""
    from habitats.traces.models.traces import Trace

    group, animal = group_at_home()
    by, since = group.made_by, animal.came_on
    return {"code": Trace.objects.begin(group, since, "ringworm", by=by).code}


DOORS: dict[str, Door] = {
    "home": Door(EVERYBODY),
    "login": Door(EVERYBODY, public=True),
    # A phone whose log-in has ended is told so as JSON.
    "who": Door(EVERYBODY, public=True),
    "logout": Door(EVERYBODY, method="post", public=True),
    "own_settings": Door(EVERYBODY),
    "own_password": Door(EVERYBODY),
    "calendar": Door(EVERYBODY),
    "renew_calendar": Door(EVERYBODY, method="post"),
    "revoke_calendar": Door(EVERYBODY, method="post"),
    "calendar_feed": Door(EVERYBODY, public=True, make=feed),
    "people": Door(),
    "new_person": Door(),
    "person": Door(make=lambda: {"pk": somebody().pk}),
    "unlock_person": Door(method="post", make=lambda: {"pk": somebody().pk}),
    "new_password": Door(make=lambda: {"pk": somebody().pk}),
    "homes": Door((FOSTER,)),
    "new_home": Door(),
    "home_page": Door((FOSTER,), make=homed()),
    "edit_home": Door(make=homed()),
    "home_contact": Door((FOSTER,), make=homed()),
    "home_people": Door(make=homed()),
    "leave_home": Door(method="post", make=left_home),
    "close_home": Door(method="post", make=homed()),
    "reopen_home": Door(method="post", make=homed()),
    "home_cards_pdf": Door((FOSTER,), make=lambda: {"code": home_with_an_enclosure()[0].code}),
    "enclosures": Door((BUILDER, FOSTER)),
    "new_enclosure": Door(),
    "enclosure": Door((BUILDER, FOSTER), make=enclosed),
    "edit_enclosure": Door(make=enclosed),
    "enclosure_state": Door((BUILDER,), method="post", make=enclosed),
    "check_enclosure": Door((BUILDER, FOSTER), make=enclosed),
    "report_fault": Door((BUILDER, FOSTER), make=enclosed),
    "faults": Door((BUILDER,)),
    "fault": Door((BUILDER, FOSTER), make=faulty),
    "fault_photo": Door((BUILDER, FOSTER), make=faulty),
    "move_enclosure": Door(make=enclosed),
    "enclosure_card_pdf": Door((FOSTER,), make=enclosed),
    "enclosure_linens": Door((FOSTER,), make=enclosed),
    "change_linens": Door((FOSTER,), make=enclosed),
    "spot_clean": Door((FOSTER,), method="post", make=enclosed),
    "changes": Door((FOSTER,)),
    "laundry": Door((FOSTER, LAUNDRY)),
    "new_load": Door((FOSTER, LAUNDRY), make=pooled),
    "load": Door((FOSTER, LAUNDRY), make=loaded),
    "measure_linen": Door((FOSTER, LAUNDRY), make=labelled),
    "linen_labels": Door((LAUNDRY,)),
    "scan_linen": Door((FOSTER, LAUNDRY)),
    "linen_link": Door((FOSTER, LAUNDRY), make=labelled),
    "linens": Door((LAUNDRY,)),
    "new_linens": Door(),
    "linen_page": Door((LAUNDRY,), make=labelled),
    "say_of_linen": Door(method="post", make=labelled),
    "move_linen": Door(method="post", make=labelled),
    "linen_kinds": Door(),
    "new_linen_kind": Door(),
    "linen_kind": Door(make=kind_of_linen),
    "new_shrink_test": Door(method="post", make=kind_of_linen),
    "put_kind_away": Door(method="post", make=kind_of_linen),
    "pools": Door((LAUNDRY,)),
    "new_pool": Door(),
    "pool_page": Door((LAUNDRY,), make=pooled),
    "edit_pool": Door(make=pooled),
    "new_programme": Door(method="post", make=pooled),
    "put_programme_away": Door(method="post", make=with_a_programme),
    "pool_homes": Door(make=pooled),
    "stop_drawing": Door(method="post", make=with_a_drawing_home),
    "transfer_linens": Door(make=pooled),
    "close_pool": Door(method="post", make=pooled),
    "reopen_pool": Door(method="post", make=pooled),
    "builds:alter_enclosure": Door(make=enclosed),
    "builds:plan_repair": Door(make=enclosed),
    "builds:retire_enclosure": Door(make=enclosed),
    "enclosure_link": Door((BUILDER, FOSTER), make=enclosed),
    "board": Door(),
    "today": Door((FOSTER,)),
    "report": Door(),
    "report_pdf": Door(),
    "report_csv": Door(),
    "import_csv": Door(),
    "import_template": Door(make=lambda: {"kind": "homes"}),
    "import_check": Door(make=handed_in),
    "import_faults": Door(make=handed_in),
    "drop_import": Door(method="post", make=handed_in),
    "export": Door(),
    "export_zip": Door(),
    "animals": Door((FOSTER,)),
    "new_animal": Door(),
    "animal": Door((FOSTER,), make=with_an_animal),
    "edit_animal": Door(make=with_an_animal),
    "animal_photo": Door((FOSTER,), make=with_an_animal),
    "keep_photo": Door((FOSTER,), method="post", make=with_an_animal),
    "drop_photo": Door(method="post", make=with_an_animal),
    "weigh": Door((FOSTER,)),
    "weigh_animal": Door((FOSTER,), make=with_an_animal),
    "strike_weighing": Door((FOSTER,), method="post", make=with_a_weighing),
    "birth": Door(make=with_an_animal),
    "quarantine": Door(make=with_an_animal),
    "leaving": Door(make=with_an_animal),
    "come_back": Door(method="post", make=with_an_animal),
    "groups": Door(),
    "new_group": Door(),
    "group": Door((FOSTER,), make=grouped),
    "edit_group": Door(make=grouped),
    "admit": Door(make=grouped),
    "part_from": Door(method="post", make=with_a_member),
    "let_be": Door(method="post", make=grouped),
    "move_group": Door(make=grouped),
    "leave_enclosure": Door(method="post", make=grouped),
    "rescue": Door(),
    "own_figures": Door(make=lambda: {"species": "rabbit"}),
    "drop_own_figures": Door(method="post", make=lambda: {"species": "rabbit"}),
    "rule_sets": Door((BUILDER, FOSTER)),
    "traces": Door((LAUNDRY,)),
    "new_trace": Door(),
    "trace": Door((FOSTER, LAUNDRY), make=traced),
    "trace_pdf": Door((FOSTER, LAUNDRY), make=traced),
    "tick_trace": Door((FOSTER, LAUNDRY), method="post", make=traced),
    "set_aside_linens": Door(method="post", make=traced),
    "close_trace": Door(method="post", make=traced),
    "reopen_trace": Door(method="post", make=traced),
    "builds:designs": Door((BUILDER,)),
    "builds:archived_designs": Door((BUILDER,)),
    "builds:new_design": Door(),
    "builds:import_design": Door(),
    "builds:short_link": Door((BUILDER,), make=drawing()),
    "builds:design": Door((BUILDER,), make=drawing()),
    "builds:corner_view": Door((BUILDER,), make=drawing()),
    "builds:design_file": Door((BUILDER,), make=drawing()),
    "builds:blank_file": Door((BUILDER,), make=drawing(number="1", form="svg")),
    "builds:packet": Door((BUILDER,), make=drawing()),
    "builds:packet_pdf": Door((BUILDER,), make=drawing()),
    "builds:rename_design": Door(make=drawing()),
    "builds:copy_design": Door(method="post", make=drawing()),
    "builds:archive_design": Door(method="post", make=drawing()),
    "builds:unarchive_design": Door(method="post", make=drawing()),
    "builds:board": Door(make=drawing()),
    "builds:undo": Door(method="post", make=drawing()),
    "builds:redo": Door(method="post", make=drawing()),
    "builds:step": Door(method="post", make=drawing(step="lid")),
    "builds:design_sheets": Door((BUILDER,), make=drawing()),
    "builds:design_sheets_pdf": Door((BUILDER,), make=drawing()),
    "builds:design_sheet_file": Door((BUILDER,), make=drawing(number="1", form="svg")),
    "builds:cut_design": Door(method="post", make=drawing()),
    "builds:builds": Door((BUILDER,)),
    "builds:arrival": Door((BUILDER,)),
    "builds:new_build": Door(),
    "builds:build": Door((BUILDER,), make=built()),
    "builds:build_link": Door((BUILDER,), make=built()),
    "builds:edit_build": Door(make=built()),
    "builds:say_build": Door((BUILDER,), method="post", make=built()),
    "builds:replan_build": Door(make=built()),
    "builds:inspect_build": Door((BUILDER,), make=built()),
    "builds:mend_repair": Door((BUILDER,), make=a_repair),
    "builds:hand_over_build": Door(make=built(state="inspected")),
    "builds:build_packet": Door((BUILDER,), make=built()),
    "builds:build_packet_pdf": Door((BUILDER,), make=built()),
    "builds:service_worker": Door(EVERYBODY, public=True),
    "builds:manifest": Door(EVERYBODY, public=True),
    "builds:no_signal": Door(EVERYBODY, public=True),
    "builds:unsent": Door(EVERYBODY, public=True),
    # A phone whose log-in has ended is told so as JSON.
    "builds:acts": Door((BUILDER,), method="post", public=True, make=built()),
    "builds:ticks": Door((BUILDER,), make=built()),
    "builds:stray_photo": Door((BUILDER,), make=with_a_stray_photo),
    "builds:read_overtaken": Door((BUILDER,), method="post", make=with_a_late_tick),
    "builds:note_build": Door((BUILDER,), make=built()),
    "builds:photo_build": Door((BUILDER,), make=built()),
    "builds:build_photo": Door((BUILDER,), make=a_photo),
    "builds:report_shortage": Door((BUILDER,), make=built()),
    "builds:build_step": Door((BUILDER,), make=a_step),
    "builds:tick_step": Door((BUILDER,), method="post", make=a_step),
    "builds:untick_step": Door((BUILDER,), method="post", make=a_step),
    "builds:start_step": Door((BUILDER,), method="post", make=a_step),
    "builds:kits": Door((BUILDER,)),
    "builds:kit": Door((BUILDER,), make=a_kit()),
    "builds:pack_kit": Door((BUILDER,), method="post", make=a_kit()),
    "builds:weigh_kit": Door((BUILDER,), method="post", make=a_kit()),
    "builds:kit_linens": Door((BUILDER,), make=a_kit()),
    "builds:kit_set": Door((BUILDER,), make=a_kit()),
    "builds:kit_pdf": Door((BUILDER,), make=a_kit()),
    "builds:hand_over_kit": Door(make=a_kit()),
    "builds:kit_follow_ups": Door(make=a_kit()),
    "builds:ask_kit": Door(make=a_follow_up),
    "builds:new_kit_link": Door(make=a_kit()),
    "builds:revoke_kit_link": Door(method="post", make=a_kit_link),
    "builds:adopter": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_step": Door(EVERYBODY, public=True, make=for_an_adopter(has_step=True)),
    "builds:adopter_tick": Door(
        EVERYBODY, public=True, method="post", make=for_an_adopter(has_step=True)
    ),
    "builds:adopter_untick": Door(
        EVERYBODY, public=True, method="post", make=for_an_adopter(has_step=True)
    ),
    "builds:adopter_care": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_receipt": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_pdf": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_reading": Door(EVERYBODY, public=True, method="post", make=for_an_adopter()),
    "builds:pulls": Door((BUILDER,)),
    "builds:pull_build": Door((BUILDER,), make=built()),
    "builds:pull_build_pdf": Door((BUILDER,), make=built()),
    "builds:pull_build_act": Door((BUILDER,), make=built(act="back")),
    "builds:cut_build": Door(method="post", make=built()),
    "builds:pull_batch": Door((BUILDER,), make=batching()),
    "builds:pull_batch_pdf": Door((BUILDER,), make=batching()),
    "builds:pull_batch_act": Door((BUILDER,), make=batching(act="back")),
    "builds:plan_batch_builds": Door(method="post", make=batching()),
    "builds:batches": Door((BUILDER,)),
    "builds:new_batch": Door(),
    "builds:batch": Door((BUILDER,), make=batching()),
    "builds:add_line": Door(method="post", make=batching()),
    "builds:remove_line": Door(method="post", make=batching(pk=1)),
    "builds:plan_batch": Door(method="post", make=batching()),
    "builds:cutting": Door((BUILDER,), make=cutting()),
    "builds:progress": Door((BUILDER,), make=cutting()),
    "builds:cutting_build": Door((BUILDER,), make=cutting(number=1)),
    "builds:mark_cut": Door((BUILDER,), make=cutting()),
    "builds:sheets_pdf": Door((BUILDER,), make=cutting()),
    "builds:labels_pdf": Door((BUILDER,), make=cutting()),
    "builds:offcut_labels_pdf": Door((BUILDER,), make=cutting(is_cut=True)),
    "builds:job_sheet_file": Door((BUILDER,), make=cutting(number="1", form="dxf")),
    "builds:stop_search": Door(method="post", make=cutting()),
    "builds:search_on": Door(method="post", make=cutting()),
    "builds:drop_job": Door(method="post", make=cutting()),
    "builds:store": Door((BUILDER,)),
    "builds:store_places": Door((BUILDER,)),
    "builds:store_offcuts": Door((BUILDER,)),
    "builds:new_place": Door(),
    "builds:place": Door((BUILDER,), make=placed),
    "builds:edit_place": Door(make=placed),
    "builds:count_place": Door((BUILDER,), make=placed),
    "builds:put_place_away": Door(method="post", make=placed),
    "builds:new_item": Door(),
    "builds:item": Door((BUILDER,), make=counted()),
    "builds:edit_item": Door(make=counted()),
    "builds:put_item_away": Door(method="post", make=counted()),
    "builds:item_act": Door(make=counted(act="in")),
    "builds:suppliers": Door(),
    "builds:new_supplier": Door(),
    "builds:supplier": Door(make=supplying),
    "builds:edit_supplier": Door(make=supplying),
    "builds:put_supplier_away": Door(method="post", make=supplying),
    "builds:new_pack": Door(make=supplying),
    "builds:delivery": Door(make=supplying),
    "builds:edit_pack": Door(make=packed),
    "builds:put_pack_away": Door(method="post", make=packed),
    "builds:deliveries": Door(),
    "builds:delivered": Door(make=delivered),
    "builds:reverse_delivery": Door(make=delivered),
    "builds:buying": Door(),
    "builds:buying_csv": Door(),
    "builds:new_sheet_kind": Door(),
    "builds:sheet_kind": Door((BUILDER,), make=sheet_kind),
    "builds:change_sheet_kind": Door(make=sheet_kind),
    "builds:retire_sheet_kind": Door(method="post", make=sheet_kind),
    "builds:new_offcut": Door(),
    "builds:offcut": Door((BUILDER,), make=offcut),
    "builds:scrap_offcut": Door(method="post", make=offcut),
    "builds:store_labels_pdf": Door((BUILDER,), make=no_words_but_an_offcut),
}


def names_of_addresses(resolver: URLResolver, space: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLPattern):
            assert pattern.name, f"The address {pattern.pattern} has no name."
            yield space + pattern.name
        else:
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from names_of_addresses(pattern, inner)


def asked(client: Client, name: str, door: Door, given: dict[str, Any]) -> HttpResponse:
    """What the address answers; what the question changed is taken back."""
    with transaction.atomic():
        response: HttpResponse = getattr(client, door.method)(reverse(name, kwargs=given))
        transaction.set_rollback(True)
    return response


def is_sent_to_log_in(response: HttpResponse) -> bool:
    return response.status_code == 302 and response.url.startswith(reverse("login") + "?next=")


def is_answered(response: HttpResponse) -> bool:
    refusals = (401, 403, 404, 405, 500)
    return response.status_code not in refusals and not is_sent_to_log_in(response)


def test_every_address_has_its_row():
    assert set(names_of_addresses(get_resolver())) == set(DOORS)


@pytest.mark.parametrize("name", DOORS)
def test_each_role_opens_its_own_doors_and_no_other(name, cast, client_of, unprinted):
    door = DOORS[name]
    given = door.make()

    stranger = asked(client_of(None), name, door, given)
    answers = {role: asked(client_of(cast[role]), name, door, given) for role in cast}

    assert is_sent_to_log_in(stranger) != door.public
    for role, response in answers.items():
        if role == COORDINATOR or role in door.roles:
            assert is_answered(response), f"{role}: {response.status_code}"
        else:
            assert response.status_code == 403, f"{role}: {response.status_code}"
