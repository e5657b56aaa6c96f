"""What a home adds to the database in a year: `python -m tests.benchmarks.growth [HOMES]`; 60.

The demo is drawn with so many homes into a database of its own, by the program's own code. Of each
table the rows are counted that carry a day of its last days, for as long as the demo tells of every
home: a year of weights, moves and states, a week of linens. Bytes are those that SQLite uses for a
row with its indexes. What the demo does seldom (builds, photos) is told by the piece instead.
"""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

YEAR, WEEK = 365, 7
# Table, the column with its day, and for how many days back the demo tells of every home.
DATED = (
    ("habitats_linenevent", "on", WEEK),
    ("habitats_linenchange", "on", WEEK),
    ("habitats_load", "on", WEEK),
    ("habitats_weighing", "on", YEAR),
    ("habitats_membership", "since", YEAR),
    ("habitats_stay", "since", YEAR),
    ("habitats_enclosureevent", "on", YEAR),
    ("habitats_lookover", "on", YEAR),
    ("habitats_animal", "came_on", YEAR),
)
# What is there once, however long it lasts; and what comes with one build.
STANDING = ("habitats_linen", "habitats_spot", "habitats_reading", "habitats_duerow")
OF_A_BUILD = ("builds_buildplan", "builds_buildstep", "builds_tick", "builds_movement")


class Growth(NamedTuple):
    table: str
    rows: float
    bytes_a_row: float

    def __str__(self) -> str:
        return f"{self.table:26} {self.rows:9.1f} rows {self.bytes_a_row:7.0f} B/row " + (
            f"{self.rows * self.bytes_a_row / 1000:9.1f} kB"
        )


def main() -> None:
    homes = int(sys.argv[1]) if sys.argv[1:] else 60
    with TemporaryDirectory() as folder:
        file = Path(folder) / "habitats.sqlite3"
        for words in (["upgrade"], ["demo", "--homes", str(homes)], ["read_enclosures"]):
            subprocess.run(
                [sys.executable, "manage.py", *words],
                env=os.environ | {"DATA_DIR": folder, "DEBUG": "on"},
                check=True,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
        with closing(sqlite3.connect(file)) as rows:
            _tell(rows)


def _tell(rows: sqlite3.Connection) -> None:
    homes, enclosures, builds = (
        rows.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
        for table in ("habitats_home", "habitats_enclosure", "builds_build")
    )
    print(f"{homes} homes, {enclosures} enclosures, {builds} builds")
    grown = [_growth(rows, *one, homes) for one in DATED]
    _print("A home and year", grown)
    _print("A home, once", [Growth(t, _count(rows, t) / homes, _bytes(rows, t)) for t in STANDING])
    _print("A build", [Growth(t, _count(rows, t) / builds, _bytes(rows, t)) for t in OF_A_BUILD])


def _print(heading: str, grown: list[Growth]) -> None:
    print(f"\n{heading}: {sum(one.rows * one.bytes_a_row for one in grown) / 1000:.0f} kB")
    for one in sorted(grown, key=lambda one: -one.rows * one.bytes_a_row):
        print(f"  {one}")


def _growth(rows: sqlite3.Connection, table: str, day: str, days: int, homes: int) -> Growth:
    # Today is not over.
    found = rows.execute(
        f'SELECT count(*) FROM {table} WHERE "{day}" < date("now") '
        f"AND \"{day}\" >= date('now', '-{days} days')"
    ).fetchone()[0]
    return Growth(table, found / homes * YEAR / days, _bytes(rows, table))


def _count(rows: sqlite3.Connection, table: str) -> int:
    found: int = rows.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
    return found


def _bytes(rows: sqlite3.Connection, table: str) -> float:
    """Of a row with its indexes."""
    (size,) = rows.execute(
        "SELECT sum(pgsize) FROM dbstat WHERE name IN "
        "(SELECT name FROM sqlite_master WHERE tbl_name = ?)",
        [table],
    ).fetchone()
    return float(size) / max(1, _count(rows, table))


if __name__ == "__main__":
    main()
