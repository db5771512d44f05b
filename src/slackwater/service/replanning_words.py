"""The sentences of a plan made anew: what changed beside the old one, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from slackwater.plan.records import Plan
from slackwater.plan.replan import Happened, Kept, Planned, Standing

_CLEARLY = 0.02


def changed(was: Standing | None, now: Standing | None) -> str:
    """Return in words what changed for one line of animals."""
    if was is None:
        return "new"
    if now is None:
        return "no longer in the plan"
    parts = [
        _moved(was, now),
        f"{now.count} in place of {was.count}" if now.count != was.count else "",
        f"{now.word} in place of {was.word}" if now.word != was.word else "",
    ]
    return "; ".join(part for part in parts if part) or "as before"


def _moved(was: Standing, now: Standing) -> str:
    if was.date is None or now.date == was.date:
        return ""
    if now.date is None:
        return "is there now"
    days = (now.date - was.date).days
    return f"{abs(days)} days {'later' if days > 0 else 'earlier'}"


def sentences(
    steps: Sequence[Planned], happened: Happened, kept: Kept, made: Plan, names: Mapping[str, str]
) -> tuple[str, ...]:
    """Return what changed and why, in the order in which a customer would ask.

    Parameters
    ----------
    steps
        The old plan's releases.
    happened
        What happened since.
    kept
        The question as it is today, and whether the old order holds.
    made
        The new plan.
    names
        Common names by key.
    """
    lines = (
        *_done(happened, names),
        *_missed(steps, happened, names),
        *_order(kept, made),
        *_dates(made),
    )
    return tuple(line[:1].upper() + line[1:] for line in lines)


def _done(happened: Happened, names: Mapping[str, str]) -> Iterator[str]:
    for r in happened.released:
        yield f"{names[r.key]} has lived there since {_day(r.date)}; that stays."
    for d in happened.died:
        many = f"{d.count} " if d.count > 1 else ""
        yield f"{many}{names[d.key]} died on {_day(d.date)}: nobody new comes in the two weeks after a loss."
    for t in happened.taken:
        if t.species is not None:
            yield f"{t.species.common_name} comes in place of {names[t.key]}."
        else:
            yield f"{names[t.key]} is one of {t.length_cm:g} cm; everything was judged again with it."
    if happened.delay_days:
        yield f"what is still to come is put off by {happened.delay_days} days."


def _missed(steps: Sequence[Planned], happened: Happened, names: Mapping[str, str]) -> Iterator[str]:
    """Say which releases were planned before today and were not told of."""
    settled = happened.gone | {d.key for d in happened.died}
    for step in steps:
        missed = [names[k] for k in step.keys if k not in settled]
        if missed and step.date < happened.today:
            yield f"{' and '.join(missed)} was planned for {_day(step.date)} and is taken as not yet let go."


def _order(kept: Kept, made: Plan) -> Iterator[str]:
    if not made.releases and not kept.question.wishes:
        yield "nothing is left to be let go."
    elif kept.keeps_order:
        yield "the order stands as it was."
    else:
        order = ", then ".join(release.title for release in made.releases)
        yield f"in the old order somebody would bear too much now; the new order is: {order or 'nobody'}."
    for name in made.left_out:
        yield f"{name} no longer fits. " + " ".join(clash.sentence for clash in made.clashes)


def _dates(made: Plan) -> Iterator[str]:
    for release in made.releases:
        yield f"{release.title}: {_day(release.date)}, {release.reason}."


def _day(date: dt.date) -> str:
    months = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
    return f"{date.day} {months[date.month - 1]} {date.year}"
