"""Plans that were kept, due looks and what came of them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from slackwater.store.types import UtcTime

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables."""
    op.create_table(
        "plan",
        *_numbered(),
        sa.Column("revision", sa.Integer, nullable=False),
        *(
            sa.Column(name, sa.Text, nullable=False)
            for name in ("plan", "program", "facts", "rules", "house_notes", "why")
        ),
        *_signed(),
        sa.Index(None, "tank_id", "change"),
    )
    op.create_table(
        "look",
        *_numbered(),
        sa.Column("due_at", UtcTime, nullable=False, index=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("animals", "asks", "reason", "forecast")),
        sa.Column("p", sa.Float),
        *_signed(),
        sa.Index(None, "tank_id", "change"),
    )
    op.create_table(
        "look_result",
        sa.Column("tank_id", sa.Integer, sa.ForeignKey("tank.id", ondelete="CASCADE"), primary_key=True),
        sa.Column("look", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("outcome", sa.String(32), nullable=False),
        sa.Column("happened", sa.Boolean),
        sa.Column("note", sa.Text, nullable=False),
        *_signed(),
        sa.ForeignKeyConstraint(["tank_id", "look"], ["look.tank_id", "look.number"], ondelete="CASCADE"),
        sa.Index(None, "tank_id", "change"),
    )


def downgrade() -> None:
    """Take them away again."""
    for name in ("look_result", "look", "plan"):
        op.drop_table(name)


def _numbered() -> tuple[sa.Column[int], ...]:
    return (
        sa.Column("tank_id", sa.Integer, sa.ForeignKey("tank.id", ondelete="CASCADE"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
    )


def _signed() -> tuple[sa.Column[object], ...]:
    return (
        sa.Column("written_at", UtcTime, nullable=False),
        sa.Column("written_by", sa.Text, nullable=False),
        sa.Column("change", sa.Integer, nullable=False),
    )
