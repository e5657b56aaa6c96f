"""Entry point for a WSGI server."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "habitats.settings")

application = get_wsgi_application()

# Reads models, so only after the applications are set up.
from habitats.start import refuse_or_go_on  # noqa: E402

refuse_or_go_on()
