"""What is kept: keepers, tanks as revisions, diaries, plans and due looks, in SQLite or PostgreSQL.

`open_store` opens it; `Store.reading` and `Store.writing` are its units of work, and hand out
frozen records. Nothing above this package speaks to a database, and nothing below knows of one.
"""

from slackwater.store.backups import Backup, Restored, backup, check, restore
from slackwater.store.diaries import Asked
from slackwater.store.records import (
    Changes,
    DueLook,
    Keeper,
    KeeperLink,
    KeptPlan,
    LookResult,
    Outcome,
    RestsOn,
    Revision,
    Signed,
    Tank,
)
from slackwater.store.unit import Store, Work, open_store

__all__ = [
    "Asked",
    "Backup",
    "Changes",
    "DueLook",
    "Keeper",
    "KeeperLink",
    "KeptPlan",
    "LookResult",
    "Outcome",
    "Restored",
    "RestsOn",
    "Revision",
    "Signed",
    "Store",
    "Tank",
    "Work",
    "backup",
    "check",
    "open_store",
    "restore",
]
