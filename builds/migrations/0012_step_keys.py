"""Keys of steps are made of the facts of their work; before, they were made of all their words.

What is ticked, begun, noted, photographed and reported goes with its step, so that each build is as
far as it was. Facts are told by working a plan out again; a step that is not found again keeps its
key, which serves as well until its build is planned anew. The former key is kept beside the new:
phones hold pages, and acts that wait for signal, with it.
"""

from django.db import migrations, models

from builds.making.assembly import INSPECT
from builds.making.repairing import AWAY, Trouble, repair_steps
from builds.making.step_keys import coded, in_step_with, key_of
from builds.plans.models.plan_cards import said_by
from habitats.structure.faults import BadDesign
from habitats.structure.read import design_from
from habitats.upkeep.kinds import FaultKind

ACTS = ("Tick", "Start", "BuildNote", "BuildPhoto", "Shortage")


def facts_for_keys(apps, schema_editor):
    for build in apps.get_model("builds", "Build").objects.order_by("pk"):
        _rekey(apps, build)


def _rekey(apps, build):
    plans = build.plans.order_by("number").select_related("revision", "standing")
    found, before = {}, []
    for plan in plans:
        steps = list(plan.steps.order_by("number").defer("pictures"))
        facts = _facts_of(plan, steps)
        if facts and before and plan.standing is None:
            facts = dict(zip(facts, in_step_with(before, [*facts.values()]), strict=True))
        before = [*facts.values()]
        found[plan.pk] = steps, facts
    keys = _new_keys(found)
    if not keys:
        return
    for steps, facts in found.values():
        for step in steps:
            _give_key(step, keys, facts)
        apps.get_model("builds", "BuildStep").objects.bulk_update(
            steps, ["key", "former_key", "card"]
        )
    _carry_acts(apps, build, keys)


def _new_keys(found):
    """The new key by the former. The newest plan comes first: what is ticked there stays so.

    A step of an earlier plan that was another one by its words, and is the same work as one of a
    later plan, keeps its key: its tick did not count there, and says nothing now either.
    """
    keys, taken = {}, set()
    for steps, facts in reversed(found.values()):
        for step in steps:
            key = key_of(facts[step.pk]) if step.pk in facts else None
            if key and step.key not in keys and key not in taken:
                keys[step.key] = key
                taken.add(key)
    return keys


def _give_key(step, keys, facts):
    step.former_key = step.key if step.key in keys else ""
    step.key = keys.get(step.key, step.key)
    told = facts.get(step.pk)
    if told and key_of(told) == step.key:
        step.card = {**step.card, "facts": told}


def _carry_acts(apps, build, keys):
    for name in ACTS:
        acts = apps.get_model("builds", name).objects.filter(build=build.pk)
        for key in set(acts.exclude(step_key="").values_list("step_key", flat=True)):
            if key in keys:
                acts.filter(step_key=key).update(step_key=keys[key])


def _facts_of(plan, steps):
    """The facts of a plan's steps, by their row; of those that are found again."""
    try:
        told = _of_repair(plan, steps) if plan.is_repair else _worked_out_again(plan)
    except (BadDesign, ValueError, KeyError):
        return {}
    return {
        step.pk: told[step.card["id"]][0]
        for step in steps
        if step.card["id"] in told and told[step.card["id"]][1] == _counts(step.card)
    }


def _worked_out_again(plan):
    stands = design_from(plan.standing.document) if plan.standing else None
    cards = said_by(design_from(plan.revision.document), stands)
    return {card["id"]: (card["facts"], _counts(card)) for card in cards}


def _of_repair(plan, steps):
    ids = [step.card["id"] for step in steps if step.card["id"] not in (AWAY, INSPECT)]
    troubles = [
        Trouble(key, FaultKind(kind)) for kind, _, key in (one.rpartition("-") for one in ids)
    ]
    told = repair_steps(troubles, len(plan.points))
    return {
        step.id: (coded(step.facts), _counts({"adds": [{"count": one.count} for one in step.adds]}))
        for step in told
    }


def _counts(card):
    """How much a step takes and brings: numbers, which no wording changes."""
    return [[one["count"] for one in card.get(way, [])] for way in ("adds", "removes")]


def words_for_keys(apps, schema_editor):
    BuildStep = apps.get_model("builds", "BuildStep")
    for build in apps.get_model("builds", "Build").objects.order_by("pk"):
        steps = (
            BuildStep.objects.filter(plan__build=build.pk).exclude(former_key="").defer("pictures")
        )
        _carry_acts(apps, build, {step.key: step.former_key for step in steps})
        for step in steps:
            step.key = step.former_key
            step.card = {name: said for name, said in step.card.items() if name != "facts"}
        BuildStep.objects.bulk_update(steps, ["key", "card"])


class Migration(migrations.Migration):
    dependencies = [("builds", "0011_sheets_once")]

    operations = [
        migrations.AddField(
            model_name="buildstep",
            name="former_key",
            field=models.CharField(blank=True, default="", editable=False, max_length=12),
        ),
        migrations.RunPython(facts_for_keys, words_for_keys),
    ]
