"""The scan of requirements: what was found, what could not be asked; only faults fail."""

import json

from tests.support.audit import verdict

KNOWN = {"id": "ID-1", "fix_versions": ["2.0"]}


def told(*dependencies: dict[str, object]) -> str:
    return json.dumps({"dependencies": dependencies})


def test_a_known_fault_fails_and_says_which_version_mends_it():
    found = verdict(told({"name": "hay", "version": "1.0", "vulns": [KNOWN]}))

    assert found == ("hay 1.0: ID-1, mended in 2.0", False)


def test_without_a_network_it_says_so_and_does_not_fail():
    nobody = "Known faults of requirements: nobody could be asked (no network?)."

    assert verdict("") == (nobody, True)
    assert verdict(told({"name": "hay", "skip_reason": "not found"})) == (nobody, True)


def test_what_could_not_be_asked_about_is_counted():
    fine = {"name": "straw", "version": "1.0", "vulns": []}

    assert verdict(told(fine)).words == "1 requirements: no fault is known."
    assert "; 1 could not be" in verdict(told(fine, {"name": "hay", "skip_reason": "?"})).words
