"""The same tables and the same refusals on PostgreSQL, through the project's own settings."""

import os
import subprocess
import sys

import pytest
from django.conf import settings

ROUND_TRIP = """
from django.db import IntegrityError, connection, transaction
from habitats.models import Person

assert connection.vendor == "postgresql"
Person.objects.create_user("cora", password="joint-disc-41", roles="coordinator")
person = Person.objects.get(username="cora")
assert person.is_coordinator and person.check_password("joint-disc-41")
try:
    with transaction.atomic():
        Person.objects.update(roles="owner")
except IntegrityError as refused:
    assert "person_roles_are_known" in str(refused)
else:
    raise AssertionError("An unknown role was kept.")
print("kept and refused")
"""

COMPILES = """
from django.db import connection

with connection.cursor() as cursor:
    cursor.execute("SHOW jit")
    print("compiling is", *cursor.fetchone())
"""

ASKED_OFTEN = """
from django.db import connection
from habitats.models import Person

for username in ("cora", "fay", "lou", "tom", "una"):
    Person.objects.filter(username=username).exists()
with connection.cursor() as cursor:
    cursor.execute("SELECT count(*) FROM pg_prepared_statements WHERE statement LIKE '%username%'")
    print("plans kept:", *cursor.fetchone())
"""
AS_A_SERVER = "from habitats.start import keep_plans; keep_plans()\n"

# Another process changes a table, or PostgreSQL closes what this one has open.
ELSEWHERE = """
import os
import psycopg
from django.db import close_old_connections, connection, transaction
from habitats.models import Person

def elsewhere(what):
    with psycopg.connect(os.environ["DATABASE_URL"], autocommit=True) as other:
        other.execute(what)

def ask():
    return [Person.objects.filter(username="cora").first() for _ in range(5)]

"""
TABLE_CHANGED = """
ask()
elsewhere("ALTER TABLE habitats_person ALTER COLUMN first_name TYPE varchar(151)")
print("asked", len(ask()))
elsewhere("ALTER TABLE habitats_person ALTER COLUMN first_name TYPE varchar(150)")
try:
    with transaction.atomic():
        ask()
except Exception as refused:
    print("in a transaction", type(refused).__name__)
with transaction.atomic():
    print("then", len(ask()))
"""
CLOSED = """
ask()
elsewhere("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid()")
close_old_connections()  # as a page begins
print("asked", len(ask()))
"""

OVERLAP = """
from datetime import date
from django.db import IntegrityError, transaction
from habitats.models import Animal, Group, Membership, Person

lea = Person.objects.create_user("lea", password="joint-disc-41", roles="coordinator")
pip = Animal.objects.take_in(by=lea, name="Pip", species="guinea_pig", came_on=date(2027, 1, 1))
group = Group.objects.begin("guinea_pig", by=lea)
group.admit(pip, date(2027, 1, 5), by=lea).end(date(2027, 2, 1), lea)
try:
    with transaction.atomic():
        Membership.objects.create(group=group, animal=pip, since=date(2027, 1, 31), made_by=lea)
except IntegrityError as refused:
    assert "animal_in_one_group" in str(refused)
else:
    raise AssertionError("An animal was in a group twice.")
Membership.objects.create(group=group, animal=pip, since=date(2027, 2, 1), made_by=lea)
print("kept apart")
"""

POINTED_AT = """
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from django.db import connection, connections, transaction
from habitats.designs.models.designs import Design
from habitats.enclosures.models.setting_up import set_up
from habitats.enclosures.models.standing import stand
from habitats.models import Home, Person
from habitats.readings.models.readings import Reading
from tests.support.designs import make_design

today = date(2027, 1, 1)
uma = Person.objects.create_user("uma", password="joint-disc-41", roles="coordinator")
design = Design.objects.draw(make_design(["####", "####"]), by=uma)
home = Home.objects.take_on(by=uma, name="Swift", most_enclosures=1)
enclosure = set_up(design.current, "Elm", by=uma, state="standing", on=today)

def read():
    with connection.cursor() as cursor:
        cursor.execute("SET lock_timeout = '5s'")
    Reading.objects.make_missing(today)
    connections.close_all()

Reading.objects.all().delete()  # as of one that nobody has looked at
with transaction.atomic(), ThreadPoolExecutor() as others:
    stand(enclosure, home, today, by=uma)
    others.submit(read).result()
print("read meanwhile:", Reading.objects.filter(day=today).count())
"""

IN_ONE_ORDER = """
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from django.db import connection, connections, transaction
from habitats.linens.models.pool_dates import PoolDates
from habitats.models import Home, Person, Pool

pia = Person.objects.create_user("pia", password="joint-disc-41", roles="coordinator")
homes = [Home.objects.take_on(by=pia, name=name, most_enclosures=1) for name in ("Elm", "Ash")]
first, second = (Pool.objects.set_up(home.name, home) for home in homes)
PoolDates.objects.all().delete()  # as of pools of which nobody has foreseen anything

def foresee():
    try:
        return len(PoolDates.objects.foreseen([second, first], date(2027, 1, 1)))
    finally:
        connections.close_all()

def is_waiting():
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_stat_activity WHERE wait_event_type = 'Lock'")
        return cursor.fetchone()[0]

with ThreadPoolExecutor() as others:
    with transaction.atomic():
        PoolDates.objects.create(pool=first)
        page = others.submit(foresee)
        until = time.monotonic() + 20
        while not is_waiting() and time.monotonic() < until:
            time.sleep(0.01)
        PoolDates.objects.create(pool=second)
    print("foreseen beside it:", page.result())
"""

NUL = """
from datetime import date
from django.conf import settings
from django.test import Client, override_settings
from habitats.models import Animal, Group, Person

nia = Person.objects.create_user("nia", password="joint-disc-41", roles="coordinator")
pip = Animal.objects.take_in(by=nia, name="Pip", species="guinea_pig", came_on=date(2026, 1, 1))
group = Group.objects.begin("guinea_pig", by=nia)
group.admit(pip, date(2026, 1, 5), by=nia)
client = Client(SERVER_NAME="localhost", raise_request_exception=False)
client.force_login(nia, backend="django.contrib.auth.backends.ModelBackend")
plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
with override_settings(STORAGES=settings.STORAGES | {"staticfiles": plain}):
    found = [
        client.post(f"/groups/{group.code}/move/", {"enclosure": "AB\\0C"}),
        client.post(f"/groups/{group.code}/admit/", {"animal": "AB\\0C"}),
        client.post("/groups/new/", {"animal": "AB\\0C"}),
        client.post("/homes/new/", {"name": "Elm\\0"}),
        client.get("/l/AB%00CD/"),
        client.get("/homes/?words=Elm%00"),
        client.get("/designs/?species=guinea_pig&words=" + "9" * 30),
        client.get("/store/items/9223372036854775808/"),
        client.get("/people/99999999999999999999/"),
    ]
print("answered", *(one.status_code for one in found))
"""

AT_ONCE = """
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from django.db import connections
from habitats.animals.models.home_limits import PastLimit, judged_at_the_door
from habitats.animals.models.stays import move_in
from habitats.designs.models.designs import Design
from habitats.enclosures.models.setting_up import set_up
from habitats.enclosures.models.standing import stand
from habitats.models import Animal, Group, Home, Person
from tests.support.designs import make_design

today = date(2027, 1, 1)
ada = Person.objects.create_user("ada", password="joint-disc-41", roles="coordinator")
home = Home.objects.take_on(by=ada, name="Lark", most_enclosures=1)
design = Design.objects.draw(make_design(["####", "####"]), by=ada)

def group_of(name):
    animal = Animal.objects.take_in(by=ada, name=name, species="guinea_pig", came_on=today)
    group = Group.objects.begin("guinea_pig", by=ada)
    group.admit(animal, today, by=ada)
    return group

def free(label):
    enclosure = set_up(design.current, label, by=ada, state="standing", on=today)
    stand(enclosure, home, today, by=ada)
    return enclosure

pairs = [(group_of(name), free(name)) for name in ("Pip", "Ida")]
gate = threading.Barrier(2)

def move(pair):
    gate.wait()
    try:
        with judged_at_the_door():
            move_in(*pair, today, by=ada)
    except PastLimit as past:
        return "told"
    finally:
        connections.close_all()
    return "moved"

with ThreadPoolExecutor(2) as pool:
    print(*sorted(pool.map(move, pairs)))
"""

WRITTEN_OFF = """
from builds.models import Item, Place
from builds.store.models import movements
from habitats.models import Person

cleo = Person.objects.create_user("cleo", password="joint-disc-41", roles="coordinator")
rack = Place.objects.create(code="RACK", name="Rack")
item = Item.objects.create(name="White panel", kind="panel", panel_mm=355, panel_squares=9)
movements.take_in(item, rack, 3, by=cleo)
movements.write_off(item, rack, 2, by=cleo)
print("done")
"""

CODES = """
from django.db import connection

with connection.cursor() as rows:
    rows.execute("SELECT why FROM builds_movement ORDER BY id")
    print(*(why for (why,) in rows.fetchall()))
"""


@pytest.fixture(scope="module")
def manage(postgresql_url):
    """`manage("migrate")`: run manage.py against PostgreSQL, and give what it printed."""

    def manage(*words: str) -> str:
        env = os.environ | {
            "DATABASE_URL": postgresql_url,
            "DJANGO_SETTINGS_MODULE": "habitats.settings",
        }
        command = [sys.executable, "manage.py", *words]
        done = subprocess.run(
            command, env=env, cwd=settings.BASE_DIR, capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    return manage


@pytest.fixture(scope="module")
def on_server(manage):
    """The same over the tables of all migrations, made at once as on a new server.

    By night they are made step by step, below.
    """
    manage("upgrade")
    return manage


def test_postgresql_keeps_people_and_refuses_an_unknown_role(on_server):
    assert "kept and refused" in on_server("shell", "-v0", "-c", ROUND_TRIP)


def test_postgresql_compiles_no_question_of_a_page(on_server):
    assert "compiling is off" in on_server("shell", "-v0", "-c", COMPILES)


def test_a_server_has_postgresql_keep_the_plan_of_what_it_asks_again(on_server):
    assert "plans kept: 1" in on_server("shell", "-v0", "-c", AS_A_SERVER + ASKED_OFTEN)


def test_a_command_that_may_fill_empty_tables_keeps_no_plans(on_server):
    assert "plans kept: 0" in on_server("shell", "-v0", "-c", ASKED_OFTEN)


def test_a_server_whose_pooler_knows_no_plans_can_do_without(on_server, monkeypatch):
    monkeypatch.setenv("KEEP_PLANS", "off")
    assert "plans kept: 0" in on_server("shell", "-v0", "-c", AS_A_SERVER + ASKED_OFTEN)


def test_a_table_that_is_changed_under_a_server_stops_its_pages_for_no_longer_than_that(on_server):
    told = on_server("shell", "-v0", "-c", AS_A_SERVER + ELSEWHERE + TABLE_CHANGED)

    assert "asked 5" in told
    assert "in a transaction NotSupportedError" in told
    assert "then 5" in told


def test_the_first_page_after_postgresql_was_restarted_is_answered(on_server):
    assert "asked 5" in on_server("shell", "-v0", "-c", AS_A_SERVER + ELSEWHERE + CLOSED)


def test_a_page_reads_an_enclosure_that_somebody_changes_at_that_moment(on_server):
    """Each waited for the other, and PostgreSQL ended one of them."""
    assert "read meanwhile: 1" in on_server("shell", "-v0", "-c", POINTED_AT)


def test_two_pages_that_foresee_the_same_pools_never_wait_in_a_circle(on_server):
    assert "foreseen beside it: 2" in on_server("shell", "-v0", "-c", IN_ONE_ORDER)


def test_postgresql_keeps_spans_of_days_apart(on_server):
    assert "kept apart" in on_server("shell", "-v0", "-c", OVERLAP)


def test_on_postgresql_a_nul_is_refused_and_a_huge_number_finds_nothing(on_server):
    """It takes a NUL in no text, and its integers end where SQLite's do."""
    told = on_server("shell", "-v0", "-c", NUL)

    assert "answered 404 404 422 422 404 404 200 404 404" in told


def test_on_postgresql_who_comes_second_to_a_full_home_is_told(on_server):
    assert "moved told" in on_server("shell", "-v0", "-c", AT_ONCE)


@pytest.mark.nightly
def test_postgresql_takes_our_migrations_back_and_again(manage):
    manage("migrate")

    manage("migrate", "habitats", "zero")

    assert "Applying habitats.0001" in manage("migrate")


@pytest.mark.nightly
def test_postgresql_takes_codes_of_rows_to_their_new_names_and_back(manage):
    manage("migrate")
    assert "done" in manage("shell", "-v0", "-c", WRITTEN_OFF)

    manage("migrate", "builds", "0001")
    before = manage("shell", "-v0", "-c", CODES)
    manage("migrate")

    assert "in scrap" in before
    assert "in write_off" in manage("shell", "-v0", "-c", CODES)
