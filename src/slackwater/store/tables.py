"""The tables. Nothing in them is overwritten but a tank's counters, its keeper, and a link withdrawn.

Whatever is written about a tank carries `change`, a number that counts up with each writing, so
that a reader can ask for all that came after the last one it saw. Structures are kept as compact
JSON text, alike on both databases.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    Float,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
)

from slackwater.store.types import UtcTime

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _tank_id() -> Column[int]:
    return Column("tank_id", Integer, ForeignKey("tank.id", ondelete="CASCADE"), primary_key=True)


def _number() -> Column[int]:
    return Column("number", Integer, primary_key=True, autoincrement=False)


def _signed() -> tuple[Column[object], ...]:
    """Return the columns that say when something was written, by whom, and as which change."""
    return (
        Column("written_at", UtcTime, nullable=False),
        Column("written_by", Text, nullable=False),
        Column("change", Integer, nullable=False),
    )


keeper = Table(
    "keeper",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("name_key", Text, nullable=False, unique=True),
    Column("contact", Text, nullable=False),
    Column("note", Text, nullable=False),
    Column("since", UtcTime, nullable=False),
)

tank = Table(
    "tank",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("keeper_id", Integer, ForeignKey("keeper.id", ondelete="CASCADE"), index=True),
    Column("name", Text, nullable=False),
    Column("name_key", Text, nullable=False, unique=True),
    Column("since", UtcTime, nullable=False),
    Column("change", Integer, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("entries", Integer, nullable=False),
)

revision = Table(
    "revision",
    metadata,
    _tank_id(),
    _number(),
    Column("text", Text, nullable=False),
    Column("content", Text, nullable=False),
    Column("why", Text, nullable=False),
    *_signed(),
    Index(None, "tank_id", "change"),
)

entry = Table(
    "entry",
    metadata,
    _tank_id(),
    _number(),
    Column("root", Integer, nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("kind", String(32), nullable=False, index=True),
    Column("seen", Text, nullable=False),
    Column("note", Text, nullable=False),
    Column("photographs", Text, nullable=False),
    *_signed(),
    Index(None, "tank_id", "at", "number"),
    Index(None, "tank_id", "root", "number"),
    Index(None, "tank_id", "change"),
)

entry_animal = Table(
    "entry_animal",
    metadata,
    Column("tank_id", Integer, primary_key=True),
    Column("animal", Text, primary_key=True),
    Column("number", Integer, primary_key=True),
    ForeignKeyConstraint(["tank_id", "number"], ["entry.tank_id", "entry.number"], ondelete="CASCADE"),
)

plan = Table(
    "plan",
    metadata,
    _tank_id(),
    _number(),
    Column("revision", Integer, nullable=False),
    Column("plan", Text, nullable=False),
    Column("program", Text, nullable=False),
    Column("facts", Text, nullable=False),
    Column("rules", Text, nullable=False),
    Column("house_notes", Text, nullable=False),
    Column("why", Text, nullable=False),
    *_signed(),
    Index(None, "tank_id", "change"),
)

look = Table(
    "look",
    metadata,
    _tank_id(),
    _number(),
    Column("due_at", UtcTime, nullable=False, index=True),
    Column("animals", Text, nullable=False),
    Column("asks", Text, nullable=False),
    Column("reason", Text, nullable=False),
    Column("forecast", Text, nullable=False),
    Column("p", Float),
    *_signed(),
    Index(None, "tank_id", "change"),
)

look_result = Table(
    "look_result",
    metadata,
    _tank_id(),
    Column("look", Integer, primary_key=True, autoincrement=False),
    _number(),
    Column("outcome", String(32), nullable=False),
    Column("happened", Boolean),
    Column("note", Text, nullable=False),
    *_signed(),
    ForeignKeyConstraint(["tank_id", "look"], ["look.tank_id", "look.number"], ondelete="CASCADE"),
    Index(None, "tank_id", "change"),
)

link = Table(
    "link",
    metadata,
    _tank_id(),
    _number(),
    Column("secret", Text, nullable=False),
    Column("shows_diary", Boolean, nullable=False),
    Column("expires_at", UtcTime, nullable=False),
    Column("withdrawn_at", UtcTime),
    *_signed(),
    Index(None, "tank_id", "change"),
)
