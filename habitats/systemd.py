"""Units for systemd: the server, its worker if it has one, and what is to be done each night.

Pure: text for the folder and the user that are told. The directives are those of systemd.exec(5),
systemd.service(5), systemd.timer(5) and systemd.time(7).
"""

from pathlib import Path
from typing import NamedTuple

# gunicorn ends so where the settings or the database are wrong; to try again would not help.
FAULT_AT_START = 3
# Styles and scripts are written by `make install`; the server only reads them.
SERVER = """\
[Unit]
Description=Habitats, {folder}
After=network.target{after}
StartLimitIntervalSec=300
StartLimitBurst=5

[Service]
Type=notify
NotifyAccess=main
{who}
# Backs up first where a new version changes the database.
ExecStartPre={manage} upgrade
ExecStart={gunicorn} habitats.wsgi --bind {bind} --workers {workers} --threads 4 \\
    --preload --no-control-socket
KillMode=mixed
Restart=on-failure
RestartSec=5
RestartPreventExitStatus={fault}
TimeoutStartSec=infinity
TimeoutStopSec=40
{shut_in}

[Install]
WantedBy=multi-user.target
"""
# What it has begun is told as stopped, or taken up by the next, if it does not end in time.
WORKER = """\
[Unit]
Description=Habitats, long work, {folder}
After=network.target {name}.service{after}

[Service]
Type=exec
{who}
ExecStart={manage} worker
KillMode=mixed
Restart=on-failure
RestartSec=15
TimeoutStopSec=40
Nice=5
{shut_in}

[Install]
WantedBy=multi-user.target
"""
JOB = """\
[Unit]
Description=Habitats, {what}, {folder}
After=network.target{after}

[Service]
Type=oneshot
{who}
{commands}
Nice=10
{shut_in}
"""
TIMER = """\
[Unit]
Description=Habitats, {what}, {folder}

[Timer]
OnCalendar={when}
# At once after the machine was off at that time.
Persistent=true
RandomizedDelaySec={delay}

[Install]
WantedBy=timers.target
"""
WHO = """\
User={user}
Group={group}
WorkingDirectory={folder}
Environment=XDG_CACHE_HOME=%C/{name}
CacheDirectory={name}
UMask=0077"""
SHUT_IN = """\
NoNewPrivileges=true
PrivateTmp=true
PrivateDevices=true
ProtectSystem=strict
ProtectHome=read-only
ProtectKernelTunables=true
ProtectKernelModules=true
ProtectControlGroups=true
RestrictAddressFamilies=AF_UNIX AF_INET AF_INET6
RestrictSUIDSGID=true
LockPersonality=true
ReadWritePaths={writes}"""


class Setup(NamedTuple):
    """Where the program is and who runs it. ``writes``: folders that it writes to."""

    folder: Path
    python_folder: Path
    user: str
    group: str
    writes: tuple[Path, ...]
    time_zone: str
    bind: str = "127.0.0.1:8000"
    workers: int = 2
    name: str = "habitats"
    has_own_database: bool = True
    has_worker: bool = False

    def words(self) -> dict[str, str]:
        known = {
            "folder": plain(self.folder),
            "user": self.user,
            "group": self.group,
            "name": self.name,
            "bind": self.bind,
            "workers": str(self.workers),
            "fault": str(FAULT_AT_START),
            "after": "" if self.has_own_database else " postgresql.service",
            "manage": f"{_program(self.python_folder / 'python')} manage.py",
            "gunicorn": _program(self.python_folder / "gunicorn"),
            "shut_in": SHUT_IN.format(writes=" ".join(map(quoted, self.writes))),
        }
        return {**known, "who": WHO.format(**known)}


def plain(path: Path) -> str:
    """The path in a line of its own, where systemd looks for nothing but its specifiers."""
    return str(path).replace("%", "%%")


def quoted(path: Path) -> str:
    """The path as one word of a line of several."""
    told = plain(path).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{told}"' if set(told) & set(" \t'\"\\;") else told


def _program(path: Path) -> str:
    """A program to start, where a dollar would name a variable."""
    return quoted(path).replace("$", "$$")


def units(setup: Setup) -> dict[str, str]:
    """The text of each unit by its name, those for ``systemctl enable`` among them."""
    words = setup.words()
    night = ("read_enclosures", "tidy")
    jobs = {
        "backup": ("backup", ("backup",), f"*-*-* 03:15:00 {setup.time_zone}", "15min"),
        # Soon after midnight, before anybody opens the first page of the day.
        "night": ("the work of the night", night, f"*-*-* 00:05:00 {setup.time_zone}", "5min"),
    }
    made = {f"{setup.name}.service": SERVER.format(**words)}
    if setup.has_worker:
        made[f"{setup.name}-worker.service"] = WORKER.format(**words)
    for job, (what, commands, when, delay) in jobs.items():
        lines = "\n".join(f"ExecStart={words['manage']} {command}" for command in commands)
        stem = f"{setup.name}-{job}"
        made[f"{stem}.service"] = JOB.format(**words, what=what, commands=lines)
        made[f"{stem}.timer"] = TIMER.format(**words, what=what, when=when, delay=delay)
    return made


def to_enable(setup: Setup) -> list[str]:
    """The units that start by themselves; the others are started by their timers."""
    worker = [f"{setup.name}-worker.service"] if setup.has_worker else []
    timers = [f"{setup.name}-backup.timer", f"{setup.name}-night.timer"]
    return [f"{setup.name}.service", *worker, *timers]
