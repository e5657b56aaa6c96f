"""The form of an intake, as it is sent."""

from io import BytesIO

from PIL import Image

from habitats.animals.models.animals import Animal

SENT = {
    "since": "2027-03-10",
    "species": "guinea_pig",
    "origin": "seized",
    "came_from": "a flat in North Quay",
    "found_by": "the city's vet",
    "is_apart": "on",
}


def photo(colour="brown"):
    file = BytesIO()
    Image.new("RGB", (64, 48), colour).save(file, "JPEG")
    file.seek(0)
    file.name = "pip.jpg"
    return file


def rows(*animals):
    """Fields of so many rows: `rows({"name": "Pip"})`."""
    return {
        f"a{number}-{field}": value
        for number, one in enumerate(animals, start=1)
        for field, value in {"name": "", "sex": "", **one}.items()
    }


def names():
    return set(Animal.objects.values_list("name", flat=True))
