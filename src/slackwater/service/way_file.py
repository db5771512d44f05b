"""A changed question as a tank file, with the course of events that no tank file holds beside it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from slackwater.plan.course import Course, DeedOn
from slackwater.plan.question import Question, Wanted
from slackwater.service.company_rows import as_said, row_of
from slackwater.service.planning import question_of
from slackwater.service.tankfile import TankFile, load
from slackwater.service.tankfile_copy import Plain, plain_copy
from slackwater.society.company import Deed
from slackwater.tank.rock import preset

_LISTED = "as listed"


@dataclass(frozen=True)
class Written:
    """A changed question as it is read back from its tank file, that file, and the course beside it.

    `renamed` is the key that each line goes by now, by its old key.
    """

    question: Question
    tank_file: Plain
    course: Plain
    renamed: Mapping[str, str]


def written(tank_file: TankFile, before: Question, after: Question) -> Written:
    """Return a changed question written as a tank file and read back.

    Parameters
    ----------
    tank_file
        The file that was asked about.
    before
        Its question, the order fixed.
    after
        The question with the changes made.
    """
    copy = plain_copy(tank_file) | _company(tank_file, before, after)
    copy |= _tank(copy, before, after) | _rock(before, after) | _keeping(copy, before, after)
    if after.divider_cm is not None:
        sheet = "clear" if after.divider_clear else "opaque"
        copy["divider"] = {"at": f"{float(after.divider_cm)!r} cm", "sheet": sheet}
    read = question_of(load(json.dumps(copy)), after.made_on, after.title)
    read = as_said(read, after.residents, after.wishes)
    lines, now = (*after.residents, *after.wishes), (*read.residents, *read.wishes)
    renamed = {w.key: new.key for w, new in zip(lines, now, strict=True)}
    course = course_renamed(after.course, renamed)
    return Written(replace(read, course=course), copy, plain_course(course), renamed)


def plain_course(course: Course) -> Plain:
    """Return what of a course a plan made anew has to know: the spacing and the deeds, as plain values."""
    deeds = [
        {"key": d.key, "do": d.do.value, "species": d.species, "days": d.days, "until": d.until}
        for d in course.deeds
    ]
    spacing: Plain = {} if course.spacing_days is None else {"spacing_days": course.spacing_days}
    return spacing | ({"deeds": deeds} if deeds else {})


def course_from(plain: Mapping[str, Any]) -> Course:
    """Return the course that plain values tell.

    Raises
    ------
    KeyError, TypeError, ValueError
        If they are not as they were written.
    """
    deeds = tuple(
        DeedOn(str(d["key"]), Deed(d["do"]), d["species"], float(d["days"]), str(d["until"]))
        for d in plain.get("deeds", ())
    )
    spacing = plain.get("spacing_days")
    return Course(spacing_days=None if spacing is None else float(spacing), deeds=deeds)


def course_renamed(course: Course, renamed: Mapping[str, str]) -> Course:
    """Return a course with its wishes by other keys; what is said of those that are gone is left out."""
    steps = tuple(tuple(renamed[key] for key in step if key in renamed) for step in course.steps)
    deeds = tuple(
        replace(deed, key=renamed[deed.key], until=renamed.get(deed.until, ""))
        for deed in course.deeds
        if deed.key in renamed
    )
    return replace(course, steps=tuple(step for step in steps if step), deeds=deeds)


def still_to_do(course: Course, coming: Mapping[str, str], order: tuple[str, ...], there: set[str]) -> Course:
    """Return what is still to be done of a course once some wishes were let go.

    Parameters
    ----------
    course
        The course of the old plan.
    coming
        The key that each wish still to come goes by now, by its old key.
    order
        The wishes still to come by their old keys, in their order.
    there
        Scientific names of those that live there.

    Notes
    -----
    A deed of a release that is over is done. One that lasts until another release goes on from the
    next; whoever is out of sight stays so until the last that is still to come.
    """
    deeds = []
    for deed in course.deeds:
        lasts = bool(deed.until) and bool(order)
        if (deed.species is not None and deed.species not in there) or not (deed.key in coming or lasts):
            continue
        key = deed.key if deed.key in coming else order[0]
        until = deed.until if deed.until in coming or not lasts else order[-1]
        deeds.append(replace(deed, key=key, until=until))
    return course_renamed(replace(course, deeds=tuple(deeds)), coming)


def _company(tank_file: TankFile, before: Question, after: Question) -> Plain:
    was = {w.key: w for w in (*before.residents, *before.wishes)}
    return {
        "company": [row_of(_measured(w, was), tank_file) for w in after.residents],
        "wishes": [row_of(_measured(w, was), tank_file) for w in after.wishes],
    }


def _measured(wanted: Wanted, was: Mapping[str, Wanted]) -> Wanted:
    """Return animals with their length told where a change, or the stock, has set it."""
    old = was[wanted.key]
    same = old.species.name == wanted.species.name
    is_set = bool(wanted.stock) or (same and wanted.length_cm != old.length_cm)
    return replace(wanted, length_told=(same and wanted.length_told) or is_set)


def _tank(copy: Plain, before: Question, after: Question) -> Plain:
    tank = copy.get("tank")
    told = dict(tank) if isinstance(tank, dict) else {}
    if after.glass != before.glass:
        sides = {
            "length": after.glass.length_cm,
            "width": after.glass.width_cm,
            "height": after.glass.height_cm,
        }
        kept = {key: value for key, value in told.items() if key in {"lid", "sump"}}
        told = {key: f"{float(side_cm)!r} cm" for key, side_cm in sides.items()} | kept
    if after.keeping.lid != before.keeping.lid:
        told["lid"] = after.keeping.lid
    return {"tank": told}


def _rock(before: Question, after: Question) -> Plain:
    """Return the word for the rock, with the mass that gives the same layouts; nothing for listed rock."""
    if after.rock_word == _LISTED or (after.rockworks == before.rockworks and after.glass == before.glass):
        return {}
    rock, sand_cm = after.rockworks[0], after.rockworks[0].sand_cm
    for mass_kg in (before.rockworks[0].mass_kg, rock.mass_kg):
        if preset(after.rock_word, after.glass, sand_cm, 0, mass_kg) == rock:
            return {"rock": {"layout": after.rock_word, "mass": f"{float(mass_kg)!r} kg"}}
    return {"rock": {"layout": after.rock_word}}


def _keeping(copy: Plain, before: Question, after: Question) -> Plain:
    keeping = copy.get("keeping")
    told = dict(keeping) if isinstance(keeping, dict) else {}
    if after.keeping.feeds_per_day != before.keeping.feeds_per_day:
        told["feeds_per_day"] = after.keeping.feeds_per_day
    if after.keeping.stations != before.keeping.stations:
        told["stations"] = after.keeping.stations
    return {"keeping": told} if told else {}
