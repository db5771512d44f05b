"""A finished plan on paper and in files: plan sheet, calendar, JSON and drawings, all from one record."""

from slackwater.report.calendar import calendar_bytes
from slackwater.report.figures import tank_svg
from slackwater.report.jsonback import plan_from_dict
from slackwater.report.jsonfile import dumps, plan_json, plan_to_dict
from slackwater.report.png import tank_png
from slackwater.report.pressure import pressure_svg
from slackwater.report.sheet import sheet_bytes, write_sheet

__all__ = [
    "calendar_bytes",
    "dumps",
    "plan_from_dict",
    "plan_json",
    "plan_to_dict",
    "pressure_svg",
    "sheet_bytes",
    "tank_png",
    "tank_svg",
    "write_sheet",
]
