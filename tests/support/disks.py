"""A small disk of its own, in a file: it can be filled, and fail, as the machine's own may not."""

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

MB = 1_000_000


class Disk:
    def __init__(self, folder: Path, megabytes: int) -> None:
        self._image, self.path = folder / "disk.img", folder / "disk"
        self.path.mkdir()
        with self._image.open("wb") as image:
            image.truncate(megabytes * MB)
        _run("mkfs.ext4", "-q", "-F", "-m", "0", self._image)

    def mount(self) -> None:
        # As Debian's installer writes it: a fault makes it read-only.
        _run("mount", "-o", "loop,errors=remount-ro", self._image, self.path)

    def unmount(self) -> None:
        _run("umount", self.path)

    @contextmanager
    def full(self) -> Iterator[None]:
        """To the last block."""
        filler = self.path / "filler"
        with filler.open("wb", buffering=0) as file:
            for size in (MB, 4096, 1):
                while _written(file.write, b"\0" * size):
                    pass
        try:
            yield
        finally:
            filler.unlink()

    def sync(self) -> None:
        """What was written long ago is on the disk."""
        _run("sync", "-f", self.path)

    def fail(self) -> None:
        """The kernel finds a fault in it, and writes nothing more."""
        device = _run("findmnt", "-no", "SOURCE", self.path).strip()
        Path(f"/sys/fs/ext4/{Path(device).name}/trigger_fs_error").write_text("1")

    def mend(self) -> None:
        """What is on it stays; nobody may be using it."""
        self.unmount()
        # 1: faults were found, and mended.
        _run("e2fsck", "-fy", self._image, fine=(0, 1))
        self.mount()


def _written(write: object, content: bytes) -> bool:
    try:
        return write(content) == len(content)  # type: ignore[operator]
    except OSError:
        return False


def _run(*command: object, fine: tuple[int, ...] = (0,)) -> str:
    words = [str(word) for word in command]
    done = subprocess.run(words, capture_output=True, text=True)
    if done.returncode not in fine:
        pytest.fail(
            f"This machine gives us no disk of our own (root and loop devices are needed): "
            f"`{' '.join(words)}` says {done.stderr.strip()}"
        )
    return done.stdout


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Disk]:
    made = Disk(tmp_path, 48)
    made.mount()
    yield made
    made.unmount()
    shutil.rmtree(tmp_path, ignore_errors=True)
