"""How long an answer to a drill took.

Revision ID: 0006
Revises: 0005
"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the response time, from which drills are scheduled."""
    op.add_column("drill_event", sa.Column("seconds", sa.Double(), nullable=True))
