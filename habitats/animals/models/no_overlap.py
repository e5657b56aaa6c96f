"""Spans that may not overlap, held apart by the database itself.

An animal is in one group at a time, a group in one enclosure, an enclosure holds one group and
stands in one home. Neither database can say so in a plain constraint that both know, so a trigger
does; it is put in place after each migration, because SQLite drops triggers when a migration
rebuilds their table. A refused row is an ``IntegrityError`` that names the rule.
"""

from typing import Any, NamedTuple


class Rule(NamedTuple):
    """Spans in ``table`` with the same value in ``column`` do not overlap."""

    name: str
    table: str
    column: str


RULES = (
    Rule("animal_in_one_group", "habitats_membership", "animal_id"),
    Rule("group_in_one_enclosure", "habitats_stay", "group_id"),
    Rule("one_group_in_an_enclosure", "habitats_stay", "enclosure_id"),
    Rule("enclosure_in_one_home", "habitats_standing", "enclosure_id"),
)

_CLASH = """
    EXISTS (
        SELECT 1 FROM {table} other
        WHERE other.{column} = NEW.{column} AND other.id <> NEW.id
        AND (other.until IS NULL OR other.since < other.until)
        AND (NEW.until IS NULL OR NEW.since < NEW.until)
        AND (NEW.until IS NULL OR other.since < NEW.until)
        AND (other.until IS NULL OR NEW.since < other.until)
    )
"""
# SQLite has not numbered a new row before it is in.
_SQLITE = """
CREATE TRIGGER {name}_{when} AFTER {when} ON {table} WHEN {clash}
BEGIN SELECT RAISE(ABORT, '{name}'); END
"""
_FUNCTION = """
CREATE OR REPLACE FUNCTION {name}() RETURNS trigger AS $$
BEGIN
    IF {clash} THEN RAISE EXCEPTION '{name}' USING ERRCODE = 'exclusion_violation'; END IF;
    RETURN NEW;
END $$ LANGUAGE plpgsql
"""
_POSTGRESQL = """
CREATE OR REPLACE TRIGGER {name} AFTER INSERT OR UPDATE ON {table}
FOR EACH ROW EXECUTE FUNCTION {name}()
"""


def keep_spans_apart(using: str, **_signal: Any) -> None:
    """Put the triggers in place, anew; for ``post_migrate``. Tables not there yet are left out."""
    from django.db import connections

    connection = connections[using]
    with connection.cursor() as cursor:
        tables = set(connection.introspection.table_names(cursor))
        for rule in RULES:
            if rule.table in tables:
                for statement in _statements(rule, connection.vendor):
                    cursor.execute(statement)


def _statements(rule: Rule, vendor: str) -> list[str]:
    words = {**rule._asdict(), "clash": _CLASH.format(**rule._asdict())}
    if vendor == "postgresql":
        return [_FUNCTION.format(**words), _POSTGRESQL.format(**words)]
    statements = []
    for when in ("INSERT", "UPDATE"):
        statements.append(f"DROP TRIGGER IF EXISTS {rule.name}_{when}")
        statements.append(_SQLITE.format(**words, when=when))
    return statements
