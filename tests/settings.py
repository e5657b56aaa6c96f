"""The project's settings, as the tests want them: said through the environment, like anyone's."""

import os

os.environ.update(DEBUG="off", HTTPS="off", SECRET_KEY="only-for-tests", ALLOWED_HOSTS="")
# Apart from what a run on this machine left.
os.environ["DATA_DIR"] = ".pytest_cache/data"
os.environ["PRINTS_MB"] = "0"  # each test prints its own
# Playwright's sync interface runs an event loop in this thread, at which Django would balk.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

from habitats.settings import *  # noqa: F403
from habitats.settings import ALLOWED_HOSTS, STORAGES

ALLOWED_HOSTS = [*ALLOWED_HOSTS, "testserver"]
PRINTS_APART = False  # so that a test may print with a printer of its own
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # quick, not safe
# Straight from static/, with nothing collected before.
STORAGES = STORAGES | {
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    # Photos of tests are gone with the test run.
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
}
WHITENOISE_AUTOREFRESH = True
