"""`manage.py cut JOB.json`: lay a job's pieces out on its stock sheets."""

import json
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from builds.common.deadline import stop_after
from builds.cutting import BadJob, cut, plan_as_json, read_job_file


class Command(BaseCommand):
    help = (
        "Lay pieces out on stock sheets. Reads a job and prints a plan, both JSON. "
        "A job with faults is refused: one line for each on standard error, exit 2."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("job", help="a file with the job, or - for standard input")

    def handle(self, *args: Any, job: str, **options: Any) -> None:
        try:
            read = read_job_file(job)
        except BadJob as error:
            for fault in error.faults:
                self.stderr.write(str(fault))
            sys.exit(2)
        plan = cut(read, stop_after(read.seconds))
        self.stdout.write(json.dumps(plan_as_json(plan), indent=2))
