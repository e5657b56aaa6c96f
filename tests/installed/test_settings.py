"""How the tests' settings differ from those of a server, each difference with its reason.

A setting that the tests swap without being named here is how a page can work in every test and
nowhere else. What is named here is what `tests/installed/` has to try on a started server.
"""

import json
import re
import subprocess
import sys

import pytest
from django.conf import settings

from tests.support.server import ROOT, bare_environment

REASONS = {
    "ALLOWED_HOSTS": "Django's test client asks for `testserver`",
    "BACKUP_DIR": "a server's backups are in DATA_DIR; tests say where",
    "DATABASES": "tests have a database of their own",
    "DATA_DIR": "a server's data are where it says; tests keep none",
    "EMAIL_BACKEND": "Django's test runner keeps mail in memory; the project sends none",
    "MEDIA_ROOT": "a server's data are in DATA_DIR; tests write none",
    "MIGRATION_MODULES": "tables of tests are made from the models, which is quicker",
    "PASSWORD_HASHERS": "the cast is made anew for each test: quick, not safe",
    "PRINTS_APART": "a test may print with a printer of its own",
    "PRINTS_MB": "a test has the paper that it prints, not that of one before",
    "SECRET_KEY": "a server has one of its own",
    "STORAGES": "straight from static/, with nothing collected; photos in memory",
    "WHITENOISE_AUTOREFRESH": "straight from static/, with nothing collected",
}

# Where the settings are from; and one that is worked out when it is first asked for.
OF_DJANGO = {"SETTINGS_MODULE", "USER_SETTINGS_HOLDER", "AXES_USERNAME_FORM_FIELD"}

AS_STARTED = """
import json
import django
from django.conf import settings
django.setup()  # packages add settings of their own
print(json.dumps({k: repr(getattr(settings, k)) for k in dir(settings) if k.isupper()}))
"""


def told(value: object) -> str:
    """The value in words, without where it lies in this process's memory."""
    return re.sub(r" at 0x[0-9a-f]+", "", repr(value))


@pytest.fixture(scope="module")
def differing(django_db_setup, tmp_path_factory) -> set[str]:
    """Names of the settings that are not, here, as `make run` has them."""
    data = tmp_path_factory.mktemp("rescue")
    done = subprocess.run(
        [sys.executable, "-c", AS_STARTED],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        env=bare_environment()
        | {
            "DJANGO_SETTINGS_MODULE": "habitats.settings",
            "HTTPS": "off",
            "SECRET_KEY": "of a server",
            "DATA_DIR": str(data),
        },
    )
    as_started = json.loads(re.sub(r" at 0x[0-9a-f]+", "", done.stdout))
    here = {name: told(getattr(settings, name)) for name in dir(settings) if name.isupper()}
    both = here.keys() | as_started.keys()
    return {name for name in both if here.get(name) != as_started.get(name)} - OF_DJANGO


def test_every_setting_that_differs_from_the_servers_has_its_reason(differing):
    assert differing - REASONS.keys() == set()


def test_no_reason_is_given_for_a_setting_that_is_the_same(differing):
    assert REASONS.keys() - differing == set()
