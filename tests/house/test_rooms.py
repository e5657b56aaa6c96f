"""Whoever opens a feature finds its tests and templates under the same name."""

from pathlib import Path

from django.conf import settings

ROOT = Path(settings.BASE_DIR)
TESTS = ROOT / "tests"
# Django's own folders of an app: what is in them belongs to features, or to the whole house.
OF_DJANGO = {"management", "migrations", "templatetags"}
# Folders of tests that are no room's, and why.
APART = {
    "benchmarks": "measures speed and quality; no tests",
    "commands": "what manage.py prints and refuses, whichever package computes it",
    "house": "rules for all rooms, and modules at the roots of the apps",
    "installed": "a started server, as users have it",
    "support": "what many tests begin with",
    "walks": "people's ways through several features, counted in clicks",
    "together": "two people with the same thing open, over all features",
}


def packages() -> set[str]:
    """Names of the features and pure packages of both apps."""
    return {
        path.parent.name
        for app in ("habitats", "builds")
        for path in (ROOT / app).glob("*/__init__.py")
    } - OF_DJANGO


def folders(holding: str) -> set[str]:
    """Names of the folders of tests that hold such a file."""
    return {path.relative_to(TESTS).parts[0] for path in TESTS.glob(f"*/**/{holding}")}


def test_a_folder_of_tests_is_named_like_a_room_or_has_a_reason():
    assert folders("*.py") - packages() == set(APART)


def test_each_room_has_tests_under_its_name():
    assert packages() <= folders("test_*.py")


def test_a_folder_of_templates_is_named_like_a_room():
    kept = {path.name for path in (ROOT / "templates").iterdir() if path.is_dir()}

    assert kept <= packages()
