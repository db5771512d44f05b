"""Keepers, tanks with their revisions, and the diary."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from slackwater.store.types import UtcTime

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the first tables."""
    _keepers_and_tanks()
    _revisions()
    _diary()


def downgrade() -> None:
    """Take them away again."""
    for name in ("entry_animal", "entry", "revision", "tank", "keeper"):
        op.drop_table(name)


def _keepers_and_tanks() -> None:
    op.create_table(
        "keeper",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("name_key", sa.Text, nullable=False, unique=True),
        sa.Column("contact", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("since", UtcTime, nullable=False),
    )
    op.create_table(
        "tank",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("keeper_id", sa.Integer, sa.ForeignKey("keeper.id", ondelete="CASCADE"), index=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("name_key", sa.Text, nullable=False, unique=True),
        sa.Column("since", UtcTime, nullable=False),
        sa.Column("change", sa.Integer, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("entries", sa.Integer, nullable=False),
    )


def _revisions() -> None:
    op.create_table(
        "revision",
        sa.Column("tank_id", sa.Integer, sa.ForeignKey("tank.id", ondelete="CASCADE"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        *_signed(),
        sa.Index(None, "tank_id", "change"),
    )


def _diary() -> None:
    op.create_table(
        "entry",
        sa.Column("tank_id", sa.Integer, sa.ForeignKey("tank.id", ondelete="CASCADE"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("root", sa.Integer, nullable=False),
        sa.Column("at", UtcTime, nullable=False),
        sa.Column("kind", sa.String(32), nullable=False, index=True),
        sa.Column("seen", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("photographs", sa.Text, nullable=False),
        *_signed(),
        sa.Index(None, "tank_id", "at", "number"),
        sa.Index(None, "tank_id", "root", "number"),
        sa.Index(None, "tank_id", "change"),
    )
    op.create_table(
        "entry_animal",
        sa.Column("tank_id", sa.Integer, primary_key=True),
        sa.Column("animal", sa.Text, primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True),
        sa.ForeignKeyConstraint(["tank_id", "number"], ["entry.tank_id", "entry.number"], ondelete="CASCADE"),
    )


def _signed() -> tuple[sa.Column[object], ...]:
    return (
        sa.Column("written_at", UtcTime, nullable=False),
        sa.Column("written_by", sa.Text, nullable=False),
        sa.Column("change", sa.Integer, nullable=False),
    )
