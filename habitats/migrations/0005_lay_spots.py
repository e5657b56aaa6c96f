"""Enclosures that were set up before linens were known get the spots of their design."""

from django.db import migrations

from habitats.designs.models.structures import structure_of
from habitats.rotation.spots import spots_for
from habitats.structure.read import design_from


def lay_spots(apps, schema_editor):
    Enclosure = apps.get_model("habitats", "Enclosure")
    Spot = apps.get_model("habitats", "Spot")
    LinenSize = apps.get_model("habitats", "LinenSize")
    bare = Enclosure.objects.filter(spots__isnull=True).select_related("revision")
    for enclosure in bare.order_by("revision"):
        structure = structure_of(design_from(enclosure.revision.document))
        for one in spots_for(structure) if structure else ():
            width, length = one.width_mm, one.length_mm
            if one.sort == "liner":
                width, length = sorted((width, length))
            size, _is_new = LinenSize.objects.get_or_create(
                sort=one.sort, width_mm=width, length_mm=length
            )
            Spot.objects.create(enclosure=enclosure, key=one.key, name=one.name, size=size)


class Migration(migrations.Migration):
    dependencies = [("habitats", "0004_linens")]

    operations = [migrations.RunPython(lay_spots, migrations.RunPython.noop)]
