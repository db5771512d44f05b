"""The pages, one module each: what was asked, one service function, one template."""

from __future__ import annotations

from fastapi import FastAPI

from slackwater.web.pages import (
    advice,
    counter,
    diary,
    keeper,
    kept,
    look,
    plan,
    species,
    tank,
    tank_plan,
    trust,
)


def add_to(app: FastAPI) -> None:
    """Add all pages; none of them stands in the description of the API."""
    for page in (advice, counter, diary, keeper, kept, look, plan, species, tank, tank_plan, trust):
        app.include_router(page.router, include_in_schema=False)
