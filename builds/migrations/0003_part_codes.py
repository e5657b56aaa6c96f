"""Parts are kept by their codes; their names are told when they are read."""

import re

from django.db import migrations

AT_ONCE = 500
NAMES = (
    "plain panel|doorway panel|panel to bend|connector|cable tie|lid clip|sheet tape"
    r"|(?:ground|level [1-9]\d*) tray(?:, piece [a-z]+ \([a-z-]+\))?"
    r"|ramp [1-9]\d* strip(?:, piece [a-z] \((?:top|foot|\d+ from the top)\))?"
    r"|towel for the ramp(?: [1-9]\d*)?"
    r"|liner, (?:ground|level [1-9]\d*)(?:, piece [1-9]\d*)?"
)
NAME = re.compile(NAMES, re.IGNORECASE)
UNMADE = re.compile(
    r"(?P<name>.+?) cannot be made from a sheet of (?P<width>\d+) × (?P<height>\d+) mm"
    r"(?:: (?:with walls of (?P<walls>\d+) mm|it is (?P<wide>\d+) mm|(?P<doorway>a join would)))?"
)


def code_of(told):
    """The code of a part by the name it had; what somebody typed stays as it is."""
    if not NAME.fullmatch(told.strip()):
        return told
    return re.sub(r"[^a-z0-9]+", "-", told.lower()).strip("-")


def recoded(parts):
    return [{**one, "what": code_of(one["what"])} for one in parts]


def unmade_of(sentence):
    found = UNMADE.match(sentence)
    if not found:
        return [sentence, "other", 0, 0, 0]
    why = (
        "walls"
        if found["walls"]
        else "width"
        if found["wide"]
        else "doorway"
        if found["doorway"]
        else "other"
    )
    own_mm = int(found["walls"] or found["wide"] or 0)
    return [code_of(found["name"]), why, int(found["width"]), int(found["height"]), own_mm]


def recode_words(apps, alias):
    """What one column says, each different word once."""
    for name in ("KitTick", "Shortage"):
        rows = apps.get_model("builds", name).objects.using(alias)
        for told in rows.order_by().values_list("what", flat=True).distinct():
            if (code := code_of(told)) != told:
                rows.filter(what=told).update(what=code)
    changes = apps.get_model("habitats", "LastChange").objects.using(alias)
    for change in changes.filter(fact__startswith="packed "):
        changes.filter(pk=change.pk).update(fact="packed " + code_of(change.fact[7:]))


def recode_plans(apps, alias):
    plans = apps.get_model("builds", "BuildPlan").objects.using(alias)
    for plan in plans.iterator(AT_ONCE):
        plans.filter(pk=plan.pk).update(parts=recoded(plan.parts))
    steps = apps.get_model("builds", "BuildStep").objects.using(alias)
    for step in steps.only("card").iterator(AT_ONCE):
        told = {name: recoded(step.card[name]) for name in ("adds", "removes") if name in step.card}
        steps.filter(pk=step.pk).update(card={**step.card, **told})


def recode_runs(apps, alias):
    """Blanks of sheet plans, and what could not be made of a sheet."""
    runs = apps.get_model("builds", "CuttingRun").objects.using(alias)
    for run in runs.exclude(plan=None).iterator(AT_ONCE):
        for made in run.plan["made"]:
            for blank in made["blanks"]:
                if "name" in blank:
                    blank["code"] = code_of(blank.pop("name"))
            made["unmade"] = [
                unmade_of(one) if isinstance(one, str) else one for one in made.get("unmade", [])
            ]
        runs.filter(pk=run.pk).update(plan=run.plan)


def recode(apps, schema_editor):
    alias = schema_editor.connection.alias
    recode_words(apps, alias)
    recode_plans(apps, alias)
    recode_runs(apps, alias)


class Migration(migrations.Migration):
    dependencies = [
        ("builds", "0002_write_off"),
        ("habitats", "0001_squashed_0012_last_changes"),
    ]

    operations = [migrations.RunPython(recode, migrations.RunPython.noop)]
