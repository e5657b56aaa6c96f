"""Settings from the environment: what is unclear is refused."""

import pytest
from django.core.exceptions import ImproperlyConfigured

from habitats import environment


@pytest.mark.parametrize(("given", "on"), [("on", True), ("TRUE", True), ("0", False), ("", True)])
def test_a_switch_is_on_or_off_or_its_default(monkeypatch, given, on):
    monkeypatch.setenv("HTTPS", given)

    assert environment.switch("HTTPS", default=True) is on


def test_an_unclear_switch_stops_the_start(monkeypatch):
    monkeypatch.setenv("DEBUG", "flase")

    with pytest.raises(ImproperlyConfigured, match=r"DEBUG is 'flase'\. Allowed: on or off\."):
        environment.switch("DEBUG", default=False)


@pytest.mark.parametrize("given", ["steep", "61", "4.9", "nan", "inf"])
def test_a_number_out_of_range_stops_the_start(monkeypatch, given):
    monkeypatch.setenv("RAMP_LIMIT_DEG", given)

    with pytest.raises(ImproperlyConfigured, match="Allowed: a number from 5 to 60"):
        environment.number("RAMP_LIMIT_DEG", default=30, low=5, high=60)


def test_a_number_within_range_is_taken(monkeypatch):
    monkeypatch.setenv("RAMP_LIMIT_DEG", "32.5")

    assert environment.number("RAMP_LIMIT_DEG", default=30, low=5, high=60) == 32.5


@pytest.mark.parametrize("given", ["Europe/Nowhere", "../../etc/passwd", "/etc"])
def test_an_unknown_time_zone_stops_the_start(monkeypatch, given):
    monkeypatch.setenv("TIME_ZONE", given)

    with pytest.raises(ImproperlyConfigured, match="time zone database"):
        environment.time_zone("TIME_ZONE", default="UTC")


def test_a_secret_comes_from_the_file_that_is_named(monkeypatch, tmp_path):
    (tmp_path / "named").write_text("out of a file\n")
    monkeypatch.delenv("SECRET_KEY")
    monkeypatch.setenv("SECRET_KEY_FILE", str(tmp_path / "named"))

    assert environment.secret("SECRET_KEY", fallback_file=tmp_path / "none") == "out of a file"


def test_a_named_secret_file_that_cannot_be_read_stops_the_start(monkeypatch, tmp_path):
    monkeypatch.delenv("SECRET_KEY")
    monkeypatch.setenv("SECRET_KEY_FILE", str(tmp_path / "absent"))

    with pytest.raises(ImproperlyConfigured, match="cannot be read"):
        environment.secret("SECRET_KEY", fallback_file=tmp_path / "none")


def test_no_secret_anywhere_is_empty(monkeypatch, tmp_path):
    monkeypatch.delenv("SECRET_KEY")

    assert environment.secret("SECRET_KEY", fallback_file=tmp_path / "none") == ""
