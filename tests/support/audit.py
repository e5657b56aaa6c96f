"""What pip-audit says of the requirements; where it could ask nobody, that, and no failure."""

import json
import subprocess
import sys
from typing import NamedTuple

REQUIREMENTS = "requirements.txt"


class Verdict(NamedTuple):
    """``is_sound``: nothing is known against what is installed, of what could be asked."""

    words: str
    is_sound: bool


def verdict(output: str) -> Verdict:
    """Of pip-audit's JSON; anything else means that it did not get that far."""
    try:
        found = json.loads(output)["dependencies"]
    except (ValueError, KeyError):
        found = []
    asked = [one for one in found if "skip_reason" not in one]
    faults = [(one, fault) for one in asked for fault in one["vulns"]]
    if faults:
        lines = (
            f"{one['name']} {one['version']}: {fault['id']}, mended in "
            f"{', '.join(fault['fix_versions']) or 'no version yet'}"
            for one, fault in faults
        )
        return Verdict("\n".join(lines), is_sound=False)
    if not asked:
        return Verdict("Known faults of requirements: nobody could be asked (no network?).", True)
    left = (
        f"; {len(found) - len(asked)} could not be asked about" if len(asked) < len(found) else ""
    )
    return Verdict(f"{len(asked)} requirements: no fault is known{left}.", True)


def main(program: str) -> int:
    done = subprocess.run(
        [
            *[program, "--requirement", REQUIREMENTS, "--require-hashes", "--disable-pip"],
            *["--timeout", "10", "--progress-spinner", "off", "--format", "json"],
        ],
        capture_output=True,
        text=True,
    )
    found = verdict(done.stdout)
    print(found.words)
    return 0 if found.is_sound else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
