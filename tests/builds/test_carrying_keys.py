"""Keys made of words become keys made of work, on both databases, with all that hangs on them."""

import json
import os
import subprocess
import sys

import pytest
from django.conf import settings

LAST, THIS = "0011_sheets_once", "0012_step_keys"

# What both scripts share: designs, and how far a build is, told from the rows alone.
SHARED = """
import hashlib, json, uuid
from datetime import UTC, datetime
from habitats.structure.lattice import Side
from habitats.structure.read import document_of
from tests.support.designs import Divider, make_design, ramp_from

def bay(**changes):
    ramps = (ramp_from(0, 3, Side.W, panels=3),)
    return make_design(upper=["...#", "...#"], ramps=ramps, **changes)

DESIGNS = [make_design(), bay(), bay(dividers=(Divider(0, 1, 0, Side.E),)),
           bay(dividers=(Divider(0, 1, 1, Side.E),))]

def steps_of(model, build):
    return model("BuildStep").objects.filter(plan__build=build.pk).order_by("pk")

def how_far(model):
    told = {}
    for build in model("Build").objects.order_by("code"):
        last = {}
        for tick in model("Tick").objects.filter(build=build).order_by("pk"):
            last[tick.step_key] = tick.is_done
        newest = model("BuildPlan").objects.filter(build=build).order_by("-number").first()
        steps = list(model("BuildStep").objects.filter(plan=newest).order_by("number"))
        numbers = {step.key: step.number for step in steps}
        acts = {
            name: [numbers.get(one.step_key, one.step_key and "gone")
                   for one in model(name).objects.filter(build=build).order_by("pk")]
            for name in ("Start", "BuildNote", "BuildPhoto", "Shortage")
        }
        told[build.code] = {
            "done": [step.number for step in steps if last.get(step.key)],
            "gone": sorted(done for key, done in last.items() if key not in numbers),
            **acts,
        }
    return told
"""

BEFORE = """
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from builds.making.repairing import Trouble, repair_steps
from builds.plans.models.plan_cards import UNITS, cards_of_steps, said_by
from habitats.upkeep.kinds import FaultKind

old = MigrationExecutor(connection).loader.project_state([("builds", LAST)]).apps
model = lambda name, app="builds": old.get_model(app, name)
cora = model("Person", "habitats").objects.create(username="cora", role="coordinator")
NOON = datetime(2027, 1, 1, 12, tzinfo=UTC)
said = lambda: {"once": uuid.uuid4(), "made_by": cora}
drawn = model("Design", "habitats").objects.create(
    name="Bay", species="guinea_pig", code="AAAAAA", made_by=cora)
revisions = [
    model("DesignRevision", "habitats").objects.create(
        design=drawn, number=number, document=document_of(one), is_sound=True, **said())
    for number, one in enumerate(DESIGNS, start=1)
]

def plan(build, number, cards, revision, **more):
    made = model("BuildPlan").objects.create(
        build=build, number=number, revision=revision, parts=[], points=[{}] * 12, **more, **said())
    for at, card in enumerate(cards, start=1):
        card = {name: one for name, one in card.items() if name != "facts"}
        if card["id"] == "sort" and build.code == "DDDDDD":
            card = {**card, "adds": [{"what": "a thing of an older version", "count": 7}]}
        text = json.dumps(card, sort_keys=True, ensure_ascii=False)
        key = hashlib.sha256(text.encode()).hexdigest()[:12]
        model("BuildStep").objects.create(
            plan=made, number=at, key=key, card=card, pictures=b"")
    return list(made.steps.order_by("number"))

def act(name, build, key, **more):
    model(name).objects.create(build=build, step_key=key, at=NOON, **more, **said())

def build(code):
    return model("Build").objects.create(name=code, code=code, **said())

# In the middle, with one opened again, and all kinds of acts.
one = build("BBBBBB")
steps = plan(one, 1, said_by(DESIGNS[1]), revisions[1])
for step in steps[:9]:
    act("Tick", one, step.key)
act("Tick", one, steps[4].key, is_done=False)
act("Start", one, steps[9].key)
act("BuildNote", one, steps[2].key, text="bent")
act("BuildNote", one, "", text="of the whole")
act("BuildPhoto", one, steps[3].key, image="builds/x.jpg")
act("Shortage", one, steps[5].key, kind="missing", what="cable tie", count=1)
# Planned anew twice: a divider came, and went elsewhere; told alike, so its tick stayed.
two = build("CCCCCC")
for number in (1, 2, 3):
    steps = plan(two, number, said_by(DESIGNS[number]), revisions[number])
    for step in steps[:3] + [one for one in steps if "divider" in one.card["id"]]:
        act("Tick", two, step.key)
# A step that is not found again, as of an older version.
three = build("DDDDDD")
for step in plan(three, 1, said_by(DESIGNS[1]), revisions[1])[:4]:
    act("Tick", three, step.key)
# An alteration, and a repair.
four = build("EEEEEE")
cards = said_by(DESIGNS[1], DESIGNS[0])
for step in plan(four, 1, cards, revisions[1], standing=revisions[0])[:12]:
    act("Tick", four, step.key)
five = build("FFFFFF")
troubles = [Trouble("7", FaultKind.TIE, "north side", "loose"), Trouble("8", FaultKind.RAMP)]
cards = cards_of_steps(dict.fromkeys(UNITS, repair_steps(troubles, 12)))
for step in plan(five, 1, cards, revisions[1], is_repair=True)[:2]:
    act("Tick", five, step.key)
every = model("Build").objects.all()
keys = {one.code: [step.key for step in steps_of(model, one)] for one in every}
print("told", json.dumps([how_far(model), keys]))
"""

AFTER = """
from django.apps import apps
from builds.making.step_keys import key_of
from builds.models import Build, BuildStep
from builds.plans.models.plan_cards import said_by

model = lambda name: apps.get_model("builds", name)
rows = {one.code: list(steps_of(model, one)) for one in Build.objects.all()}
worked_out = [key_of(card["facts"]) for card in said_by(DESIGNS[3])]
print("told", json.dumps({
    "far": how_far(model),
    "former": {code: [step.former_key for step in steps] for code, steps in rows.items()},
    "keys": {code: [step.key for step in steps] for code, steps in rows.items()},
    "facts": all(key_of(step.card["facts"]) == step.key
                 for steps in rows.values() for step in steps if "facts" in step.card),
    "as_now": [step.key for step in rows["CCCCCC"]][-len(worked_out):] == worked_out,
    "found": all(BuildStep.objects.key_now(one, step.former_key) == step.key
                 for one in Build.objects.all() for step in rows[one.code] if step.former_key),
}))
"""

AS_BEFORE = """
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
old = MigrationExecutor(connection).loader.project_state([("builds", LAST)]).apps
model = lambda name: old.get_model("builds", name)
every = model("Build").objects.all()
keys = {one.code: [step.key for step in steps_of(model, one)] for one in every}
print("told", json.dumps([how_far(model), keys]))
"""


@pytest.fixture(params=["sqlite", "postgresql"])
def manage(request, tmp_path):
    """`manage("migrate")`: run manage.py on an empty database, and give what it printed."""
    if request.param == "sqlite":
        url = f"sqlite:///{tmp_path / 'old.sqlite3'}"
    else:
        url = request.getfixturevalue("postgresql_url")

    def manage(*words: str) -> str:
        env = os.environ | {"DATABASE_URL": url, "DJANGO_SETTINGS_MODULE": "habitats.settings"}
        command = [sys.executable, "manage.py", *words]
        done = subprocess.run(
            command, env=env, cwd=settings.BASE_DIR, capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    yield manage
    if request.param == "postgresql":
        manage("migrate", "habitats", "zero")


def told(manage, script):
    printed = manage("shell", "-v0", "-c", f'LAST = "{LAST}"\n{SHARED}{script}')
    return json.loads(printed.partition("told")[2])


@pytest.mark.nightly
def test_every_build_is_as_far_as_it_was_with_keys_of_its_work(manage):
    manage("migrate", "builds", LAST)
    far, keys = told(manage, BEFORE)
    assert far["BBBBBB"]["done"] == [1, 2, 3, 4, 6, 7, 8, 9]
    assert len(far["CCCCCC"]["done"]) == 4

    manage("migrate", "builds", THIS)
    now = told(manage, AFTER)

    assert now["far"] == far
    assert (now["facts"], now["as_now"], now["found"]) == (True, True, True)
    for code, former in now["former"].items():
        left_alone = {"CCCCCC": 2, "DDDDDD": 1}.get(code, 0)
        changed = [pair for pair in zip(former, keys[code], strict=True) if pair[0]]
        assert all(was == key for was, key in changed)
        assert len(former) - len(changed) <= left_alone
        assert not set(now["keys"][code]) & set(former)

    manage("migrate", "builds", LAST)
    assert told(manage, AS_BEFORE) == [far, keys]
