"""A photo that could not be written to its end leaves no file behind."""

import pytest
from django.core.files.base import ContentFile

from habitats.common.whole_files import WholeFiles


def chunks(*parts):
    yield from parts
    raise OSError(28, "No space left on device")


def test_a_file_for_which_there_is_no_space_is_not_there_at_all(tmp_path, monkeypatch):
    half = ContentFile(b"all of it")
    monkeypatch.setattr(half, "chunks", lambda: chunks(b"all"))

    with pytest.raises(OSError, match="No space left"):
        WholeFiles(tmp_path).save("pip.jpg", half)

    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_stays_as_it_is(tmp_path):
    (tmp_path / "pip.jpg").write_bytes(b"the first")

    WholeFiles(tmp_path).save("pip.jpg", ContentFile(b"another"))

    assert (tmp_path / "pip.jpg").read_bytes() == b"the first"
    assert len(list(tmp_path.iterdir())) == 2
