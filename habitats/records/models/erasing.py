"""What import files have of a person of the team who is erased."""

from habitats.people.models.erasing import person_erased
from habitats.records.models.import_files import ImportFile

ABOUT_PEOPLE = ("people", "contacts")


def forget_lines(sender: object, **_more: object) -> None:
    """Lists of people that nobody took in, and what was wrong with lines of those that were.

    All of them, since a line that was left out may name anybody in any spelling; how many lines
    each had stays.
    """
    files = ImportFile.objects.filter(kind__in=ABOUT_PEOPLE)
    files.waiting().delete()
    files.taken().update(skipped=[])


def listen() -> None:
    person_erased.connect(forget_lines, dispatch_uid="forget_lines")
