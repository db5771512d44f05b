"""Links by which keepers read about their own tank."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from slackwater.store.types import UtcTime

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the table."""
    op.create_table(
        "link",
        sa.Column("tank_id", sa.Integer, sa.ForeignKey("tank.id", ondelete="CASCADE"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("secret", sa.Text, nullable=False),
        sa.Column("shows_diary", sa.Boolean, nullable=False),
        sa.Column("expires_at", UtcTime, nullable=False),
        sa.Column("withdrawn_at", UtcTime),
        sa.Column("written_at", UtcTime, nullable=False),
        sa.Column("written_by", sa.Text, nullable=False),
        sa.Column("change", sa.Integer, nullable=False),
        sa.Index(None, "tank_id", "change"),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("link")
