"""Entry point for a WSGI server, which, unlike `runserver`, does not run the system checks."""

import io
import os

from django.core.management import call_command
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "habitats.settings")

application = get_wsgi_application()
# Refuse to start on a fault rather than show it to the first visitor as a 500. Warnings go to
# standard error; that all is well need not be said.
call_command("check", stdout=io.StringIO())
