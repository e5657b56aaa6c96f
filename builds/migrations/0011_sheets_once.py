"""Runs say what they take and which builds they cut whole; lines of jobs know their batch line.

What was asked for before is told likewise, and builds that were planned after their batch was cut
get the pieces that were cut for them.
"""

from collections import Counter

import django.db.models.deletion
from django.db import migrations, models


def tell_of_plans(apps, schema_editor):
    runs = apps.get_model("builds", "CuttingRun").objects.filter(plan__isnull=False)
    for run in runs.iterator():
        run.takes = dict(Counter(one["stock"] for one in run.plan["plan"]["sheets"]))
        run.whole = whole_of(run.plan)
        run.save(update_fields=["takes", "whole"])


def whole_of(plan):
    lacking = {int(one["piece"].split(".")[0]) for one in plan["plan"]["unplaced"]}
    found, number = [], 0
    for line in plan["made"]:
        numbers = range(number + 1, number + line["count"] + 1)
        number += line["count"]
        found.append(0 if line["unmade"] else sum(1 for one in numbers if one not in lacking))
    return found


def tie_lines(apps, schema_editor):
    jobs = apps.get_model("builds", "CuttingJob").objects.select_related("ending__run")
    for job in jobs.prefetch_related("lines__builds").order_by("pk"):
        free = list(job.batch.lines.order_by("pk"))
        for line in sorted(job.lines.all(), key=lambda one: one.number):
            asked = (line.revision_id, line.count, line.who_for)
            alike = [one for one in free if (one.revision_id, one.count, one.who_for) == asked]
            if alike:
                free.remove(alike[0])
                line.batch_line = alike[0]
                line.save(update_fields=["batch_line"])
                _give_pieces(job, line)


def _give_pieces(job, line):
    """To builds of the line that no job has, as many as were cut, or are to be cut."""
    ending = getattr(job, "ending", None)
    if ending and ending.what != "cut":
        return
    most = ending.run.whole[line.number - 1] if ending else line.count
    others = line.batch_line.builds.filter(job_lines__isnull=True).order_by("pk")
    line.builds.add(*others[: max(0, most - line.builds.count())])


class Migration(migrations.Migration):
    dependencies = [("builds", "0010_repairs")]

    operations = [
        migrations.AddField(
            model_name="cuttingjobline",
            name="batch_line",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="job_lines",
                to="builds.batchline",
            ),
        ),
        migrations.AddField(
            model_name="cuttingrun", name="takes", field=models.JSONField(default=dict)
        ),
        migrations.AddField(
            model_name="cuttingrun", name="whole", field=models.JSONField(default=list)
        ),
        migrations.RunPython(tell_of_plans, migrations.RunPython.noop, elidable=True),
        migrations.RunPython(tie_lines, migrations.RunPython.noop, elidable=True),
    ]
