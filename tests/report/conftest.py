from __future__ import annotations

import pytest
from tests.report.sample import clashing_plan, sample_plan

from slackwater.plan.records import Plan


@pytest.fixture
def plan() -> Plan:
    return sample_plan()


@pytest.fixture
def clashing() -> Plan:
    return clashing_plan()
