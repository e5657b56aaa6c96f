"""The Containerfile tried, by docker or podman where one answers, else in a bare Debian root.

    python -m tests.support.bare_root [FOLDER]

makes the root in the folder, or takes a bare one that is there, does the steps, and starts the
server once; without a folder in one that is removed again. Root does it; Debian's mirror and the
package index have to answer. It is no container: the network, processes and the kernel's limits are
the machine's own, and layers, volumes and the compose file are not tried.
"""

import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, nullcontext
from pathlib import Path

ROOT = Path(__file__).parents[2]
SUITE, MIRROR = "trixie", "http://deb.debian.org/debian"
IMAGE = "debian:13-slim"
# How this machine reaches the network, as a container program would hand it on.
NETWORK = ("/etc/resolv.conf", "/etc/hosts")
TRUSTED, TRUSTED_THERE = Path("/etc/ssl/certs/ca-certificates.crt"), "etc/ssl/machine.crt"
ADDRESS, PATIENCE_S = "http://127.0.0.1:8000/log-in/", 120


class Containerfile:
    """Its steps in order, each as its word and what follows."""

    def __init__(self, text: str) -> None:
        plain = re.sub(r"^#.*\n", "", text, flags=re.MULTILINE).replace("\\\n", " ")
        self.steps = [tuple(line.split(None, 1)) for line in plain.splitlines() if line.strip()]

    def said(self, word: str) -> str:
        return " ".join(rest for step, rest in self.steps if step == word)

    @property
    def environment(self) -> dict[str, str]:
        return dict(pair.split("=", 1) for pair in self.said("ENV").split())


class BareRoot:
    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.file = Containerfile((ROOT / "Containerfile").read_text())
        self.place = self.file.said("WORKDIR")

    def build(self) -> None:
        for word, rest in self.file.steps:
            print(f"{word} {rest}", flush=True)
            if word == "FROM":
                assert rest == IMAGE, f"{SUITE} is not {rest}"
                if not (self.folder / "etc/debian_version").exists():
                    _run("debootstrap", "--variant=minbase", SUITE, self.folder, MIRROR)
                self._bring_network()
            elif word == "COPY":
                assert rest == ". .", rest
                self._copy()
            elif word == "RUN":
                with self.mounted():
                    self.run(rest, user="root")

    def run(self, command: str, *, user: str, **environment: str) -> None:
        _run(*self.words(command, user, environment))

    def words(self, command: str, user: str, environment: dict[str, str]) -> list[str]:
        given = {"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", **environment}
        env = ["env", "-i", *(f"{name}={value}" for name, value in given.items())]
        inside = f"mkdir -p {self.place} && cd {self.place} && {command}"
        chroot = ["chroot", f"--userspec={user}:{user}", str(self.folder)]
        return [*chroot, *env, "/bin/sh", "-c", inside]

    def _bring_network(self) -> None:
        for path in map(Path, NETWORK):
            if path.exists():
                there = self.folder / path.relative_to("/")
                there.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy(path, there)
        if TRUSTED.exists():
            (self.folder / TRUSTED_THERE).parent.mkdir(exist_ok=True)
            shutil.copy(TRUSTED, self.folder / TRUSTED_THERE)
            (self.folder / "etc/pip.conf").write_text(f"[global]\ncert = /{TRUSTED_THERE}\n")

    def _copy(self) -> None:
        """What is committed: less than the ignore file lets in."""
        there = self.folder / self.place.lstrip("/")
        there.mkdir(parents=True, exist_ok=True)
        with subprocess.Popen(["git", "archive", "HEAD"], cwd=ROOT, stdout=subprocess.PIPE) as told:
            subprocess.run(["tar", "-x", "-C", there], stdin=told.stdout, check=True)

    @contextmanager
    def mounted(self) -> Iterator[None]:
        with ExitStack() as at_the_end:
            for name, kind in (("proc", "proc"), ("dev/shm", "tmpfs")):
                there = self.folder / name
                there.mkdir(parents=True, exist_ok=True)
                _run("mount", "-t", kind, kind, there)
                at_the_end.callback(_run, "umount", "-l", there)
            yield

    @contextmanager
    def serving(self, **environment: str) -> Iterator[None]:
        """As the entry point starts it, as its user; once it answers."""
        entry = f"exec {self.place}/.ci/container serve"
        words = self.words(entry, self.file.said("USER"), self.file.environment | environment)
        with self.mounted(), subprocess.Popen(words) as server:
            try:
                _wait(server)
                yield
            finally:
                server.terminate()


def _wait(server: subprocess.Popen[bytes]) -> None:
    until = time.monotonic() + PATIENCE_S
    while server.poll() is None and time.monotonic() < until:
        try:
            with urllib.request.urlopen(ADDRESS, timeout=10) as answer:
                assert answer.status == 200
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.5)
    raise AssertionError("The server in the bare root does not answer.")


def _run(*command: object) -> None:
    subprocess.run([str(word) for word in command], check=True)


def _program() -> str | None:
    """One that runs what the image starts from; installed alone it may lack registry or rights."""
    for name in filter(shutil.which, ("docker", "podman")):
        tried = [name, "run", "--rm", IMAGE, "true"]
        try:
            if subprocess.run(tried, capture_output=True, timeout=PATIENCE_S).returncode == 0:
                return name
        except subprocess.TimeoutExpired:
            pass
        print(f"{name} cannot run {IMAGE} here.")
    return None


@contextmanager
def _in_container(program: str, environment: dict[str, str]) -> Iterator[None]:
    _run(program, "build", "-f", "Containerfile", "-t", "habitats-tried", ROOT)
    given = [word for name, value in environment.items() for word in ("-e", f"{name}={value}")]
    port = "127.0.0.1:8000:8000"
    words = [program, "run", "--rm", "--name", "habitats-tried", "-p", port, *given]
    with subprocess.Popen([*words, "habitats-tried"]) as server:
        try:
            _wait(server)
            yield
        finally:
            _run(program, "stop", "habitats-tried")


@contextmanager
def _own_folder() -> Iterator[Path]:
    folder = Path(tempfile.mkdtemp(prefix="root"))
    folder.chmod(0o755)  # it is the root of others than root, too
    try:
        yield folder
    finally:
        # Not what should still be mounted there.
        _run("rm", "-rf", "--one-file-system", folder)


def main(folders: list[str]) -> None:
    environment = {"HTTPS": "off", "FIRST_PERSON_NAME": "cora"}
    environment["FIRST_PERSON_PASSWORD"] = secrets.token_urlsafe()
    with socket.socket() as one:
        one.bind(("127.0.0.1", 8000))  # another server there would answer in its place
    if program := _program():
        with _in_container(program, environment):
            print(f"The server answers in a container, made by {program}.")
        return
    if os.geteuid():
        sys.exit("Neither docker nor podman runs here, and only root makes a bare Debian root.")
    with nullcontext(Path(folders[0])) if folders else _own_folder() as folder:
        bare = BareRoot(folder)
        bare.build()
        with bare.serving(**environment):
            print("No program ran a container. In a bare Debian root the server answers.")


if __name__ == "__main__":
    main(sys.argv[1:])
