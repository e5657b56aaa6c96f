"""Entry point for a WSGI server."""

import os

import django

from habitats.common.handler import Handler

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "habitats.settings")

django.setup(set_prefix=False)
application = Handler()

# Reads models, so only after the applications are set up.
from habitats.start import make_ready, refuse_or_go_on  # noqa: E402

refuse_or_go_on()
make_ready()
