"""What is said of copies and archives is so: nobody finds out after a loss."""

import re
from pathlib import Path

from django.apps import apps
from django.urls import reverse

from habitats.linens.models.loads import WASHABLE
from habitats.management.commands.backup import Command
from habitats.records.models.exports import NOT_IN_IT, TABLES
from habitats.rotation.states import State

ROOT = Path(__file__).resolve().parents[2]
# Worked out from the others, for a while, or not for people.
NO_NEWS = {
    "Reading",
    "DueRow",
    "Unhoused",
    "UnhousedSearch",
    "TaskWorker",
    "PoolDates",
    "ImportFile",
    "LastChange",
    "MendedSeen",
    "Person_groups",
    "Person_user_permissions",
}
# In tables of others, or in a file of their own.
ELSEWHERE = {
    "AbsenceEnd",
    "LinenSize",
    "FaultMended",
    "AdopterDeathStrike",
    "TreatmentStop",
    "AdoptionFollowUpDone",
    "Rescue",
    "Design",
    "DesignRevision",
}
MISSING = {
    "alterations": {"Alteration"},
    "contact tracing": {"Trace", "TraceTick", "TraceEnd"},
    "calendar addresses": {"CalendarFeed"},
    "log-ins and second factors": {"AccessEvent", "Device"},
    "undone entries with their reasons": {"Act", "ActPart", "Undone"},
}


def nouns(app: str) -> set[str]:
    models = apps.get_app_config(app).get_models(include_auto_created=True)
    return {model.__name__ for model in models}


def exported() -> set[str]:
    source = "".join(
        (ROOT / "habitats" / "records" / "models" / name).read_text()
        for name in ("exports.py", "adoption_tables.py", "health_tables.py", "linen_tables.py")
    )
    found = set(re.findall(r"(\w+)\.objects\.", source))
    return found - {"through"} | {"Home_people"}


def test_every_noun_is_in_the_archive_or_named_as_missing(db) -> None:
    missing = set().union(*MISSING.values())

    assert nouns("habitats") == exported() | NO_NEWS | ELSEWHERE | missing
    assert set(MISSING) <= set(NOT_IN_IT)
    # Of builds and the store nothing is in it.
    assert not nouns("builds") & exported()
    assert {"kits", "builds with their steps and history", "the store and its suppliers"} <= set(
        NOT_IN_IT
    )
    assert "photos" in NOT_IN_IT
    assert not any("photo" in column for table in TABLES for column in table.columns)


def test_the_page_says_what_is_not_in_the_archive(client_of, coordinator) -> None:
    page = " ".join(client_of(coordinator).get(reverse("export")).content.decode().split())

    assert all(words in page for words in NOT_IN_IT)
    assert "The archive is not a backup." in page
    assert "copy of the whole" not in page


def test_the_backup_command_says_what_it_takes() -> None:
    assert "Back up the database, the photos and the secret key" in Command.help


def test_the_readme_says_what_the_archive_and_the_backup_leave_out() -> None:
    readme = " ".join((ROOT / "README.md").read_text().split())

    assert "everything goes out as one archive" not in readme
    assert "one file: the database, the photos and the key" in readme
    assert "the `loads` that leave the fewest" not in readme


def test_no_page_offers_to_wash_what_the_wash_refuses() -> None:
    assert State.CLEAN not in WASHABLE
    pages = [page.read_text() for page in (ROOT / "templates").rglob("*.html")]
    assert not any("a clean one can be washed" in page for page in pages)
