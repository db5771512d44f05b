"""`diary`: what is seen in a tank, written down with two keys, in a line, or from a table."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.keys import keys
from slackwater.cli.show import AsJson, as_json, heading, paragraphs, points, table
from slackwater.cli.signing import ByOption, counted, local, signed
from slackwater.errors import InputError, shown

if TYPE_CHECKING:
    from slackwater.service.diary import Draft, PeriodCount, Saved
    from slackwater.service.quick import QuickEntry
    from slackwater.service.unseen import SearchAnswer, UnseenAnswer
    from slackwater.society.diary import Entry
    from slackwater.society.sightings import Unseen
    from slackwater.store import Store

_WORDS = (
    "What was seen, such as: chase|display|bite|locked WHO WHOM [COUNT]; watch MINUTES; "
    "count N [MISSING...]; ate|refused ANIMAL [FOOD]; mark ANIMAL PART SIGN; water ph=8.1 nitrate=20; "
    "missing ANIMAL; note. Or what to show: list [ANIMAL]; days; unseen; search ANIMAL; "
    "write FILE or read FILE for CSV. Without words: single keys."
)


@dataclass(frozen=True)
class _Asked:
    """What was typed beside tank and words."""

    minutes: float | None
    at: str | None
    by: str | None
    note: str
    photos: tuple[Path, ...]
    correct: int | None
    kind: str
    most: int
    good_rows: bool
    json: bool


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "diary",
        short_help="What is seen in a kept tank.",
        epilog="Example: slackwater diary reef chase tang ocellaris 3 --minutes 10",
    )(diary)


def diary(
    tank: Annotated[str, typer.Argument(metavar="TANK", help="The tank's name or number.")],
    words: Annotated[list[str] | None, typer.Argument(metavar="WORDS", help=_WORDS)] = None,
    *,
    minutes: Annotated[float | None, typer.Option("--minutes", help="For how long was watched.")] = None,
    at: Annotated[
        str | None,
        typer.Option(
            "--at", help="When: 18:30, yesterday 18:30, 20 min ago, 2027-01-10 18:30.", metavar="TIME"
        ),
    ] = None,
    by: ByOption = None,
    note: Annotated[str, typer.Option("--note", help="A note beside it.")] = "",
    photo: Annotated[
        list[Path] | None, typer.Option("--photo", help="A photograph, by reference; it is never copied.")
    ] = None,
    correct: Annotated[
        int | None,
        typer.Option("--correct", help="The entry in whose place this one stands.", metavar="ENTRY"),
    ] = None,
    take_back: Annotated[
        int | None, typer.Option("--take-back", help="An entry that does not hold.", metavar="ENTRY")
    ] = None,
    kind: Annotated[str, typer.Option("--kind", help="List only this kind, such as watch.")] = "",
    most: Annotated[int, typer.Option("--most", help="List so many.", min=1, max=1000)] = 20,
    good_rows: Annotated[
        bool, typer.Option("--good-rows", help="Keep the good rows of a CSV file that has broken ones.")
    ] = False,
    json: AsJson = False,
) -> None:
    """Write down what is seen in a kept tank, and read it again.

    With a tank alone, single keys make entries: two for most of what happens, each kept at once.
    Nothing is ever overwritten; a mistake is mended by an entry that corrects it. Marks on a body
    are signs: what ails an animal is for a veterinarian.
    """
    from slackwater.service.keeping import kept

    asked = _Asked(minutes, at, by, note, tuple(photo or ()), correct, kind, most, good_rows, json)
    first, *rest = words or [""]
    with kept() as store:
        if take_back is not None:
            _take_back(store, tank, take_back, asked)
        elif first in _VERBS:
            _VERBS[first](store, tank, rest, asked)
        elif words:
            _write(store, tank, words, asked)
        else:
            _press_keys(store, tank, asked)


def _write(store: Store, tank: str, words: list[str], asked: _Asked) -> None:
    from slackwater.service.diary import add

    drafts = [_draft(store, tank, words, asked)]
    _show_saved(add(store, tank, drafts, signed(asked.by)), asked)


def _draft(store: Store, tank: str, words: list[str], asked: _Asked) -> Draft:
    from slackwater.service.diary import Draft, labels_of, photograph
    from slackwater.service.diary_words import read_words
    from slackwater.service.moments import moment

    seen = read_words(words, labels_of(store, tank), asked.minutes)
    at = moment(asked.at, dt.datetime.now(dt.UTC)) if asked.at else None
    return Draft(seen, at, asked.note, tuple(photograph(path) for path in asked.photos), asked.correct)


def _take_back(store: Store, tank: str, number: int, asked: _Asked) -> None:
    from slackwater.service.diary import take_back

    _show_saved(take_back(store, tank, number, signed(asked.by, asked.note)), asked)


def _show_saved(saved: Saved, asked: _Asked) -> None:
    from slackwater.service.diary_sentences import plain_entry

    if asked.json:
        as_json({"entries": [plain_entry(e) for e in saved.entries], "cautions": saved.cautions})
        return
    for entry in saved.entries:
        paragraphs(f"{entry.number}: {_told(entry)}")
    paragraphs(*saved.cautions)


def _list(store: Store, tank: str, rest: list[str], asked: _Asked) -> None:
    from slackwater.service.diary import Asked, labels_of, page
    from slackwater.service.diary_checks import matched
    from slackwater.service.diary_sentences import plain_entry
    from slackwater.society.diary import KINDS

    if asked.kind and asked.kind not in KINDS:
        remedy = f"Write one of: {', '.join(KINDS)}."
        raise InputError(field="--kind", given=shown(asked.kind), limit="it is no kind", remedy=remedy)
    animal = matched(" ".join(rest), labels_of(store, tank)) if rest else ""
    wanted = Asked(kinds=(asked.kind,) if asked.kind else (), animal=animal)
    found = page(store, tank, wanted, asked.most)
    if asked.json:
        as_json({"entries": [plain_entry(e) for e in found.entries], "more": found.before is not None})
        return
    rows = [(str(e.number), local(e.at), e.by, _told(e)) for e in found.entries]
    table(("", "when", "by", "what"), rows, right=(0,))
    paragraphs("" if rows else "Nothing is written there yet.")
    paragraphs(f"\nEarlier ones: --most {2 * asked.most}." if found.before else "")


def _told(entry: Entry) -> str:
    from slackwater.service.diary_sentences import sentence

    corrected = "" if entry.corrects is None else f" [corrects entry {entry.corrects}]"
    if entry.corrects == entry.number:
        corrected = " [corrected]"
    photographs = _photographs(entry)
    note = f". {entry.note}" if entry.note else ""
    return f"{sentence(entry.seen)}{note}{photographs}{corrected}"


def _photographs(entry: Entry) -> str:
    """Say how many photographs there are, and which are no longer what they were."""
    from slackwater.service.diary import photograph_state

    if not entry.photographs:
        return ""
    states = [photograph_state(one) for one in entry.photographs]
    lost = [state for state in states if state != "there"]
    return f" [{', '.join([counted(len(states), 'photograph'), *lost])}]"


def _days(store: Store, tank: str, _: list[str], asked: _Asked) -> None:
    from slackwater.service.diary import counts

    found = counts(store, tank)[-asked.most :]
    if asked.json:
        as_json({"days": found})
        return
    heads = ("day", "entries", "min watched", "in passing", "who on whom")
    table(heads, [_day(one) for one in found], right=(1, 2, 3))


def _day(one: PeriodCount) -> tuple[str, ...]:
    pairs = (
        f"{p.who} > {p.whom}: "
        + ", ".join(f"{n} {how}" for how in ("display", "chase", "bite", "locked") if (n := getattr(p, how)))
        for p in one.pairs
    )
    figures = (str(one.entries), f"{one.watched_min:.3g}", str(one.in_passing))
    return (one.start.isoformat(), *figures, "; ".join(pairs))


def _unseen(store: Store, tank: str, _: list[str], asked: _Asked) -> None:
    from slackwater.service.unseen import unseen_animals

    found = unseen_animals(store, tank, dt.datetime.now(dt.UTC))
    if asked.json:
        as_json(found)
        return
    _show_unseen(found)


def _show_unseen(found: UnseenAnswer) -> None:
    if found.news:
        heading("Unseen for longer than its kind hides")
        points([_absence(one) for one in found.news])
        paragraphs("\nWhere to look: slackwater diary TANK search ANIMAL.")
    else:
        paragraphs("Nobody is unseen for longer than its kind hides.")
    if found.never_seen:
        paragraphs(f"Never seen by the diary: {', '.join(found.never_seen)}. A head count tells.")


def _absence(one: Unseen) -> str:
    return (
        f"{one.label}: {one.days:.1f} days since {local(one.last_seen)}; news from day "
        f"{one.news_days:g}, presume it lost from day {one.lost_days:g}"
    )


def _search(store: Store, tank: str, rest: list[str], asked: _Asked) -> None:
    from slackwater.service.unseen import search_for

    found = search_for(store, tank, " ".join(rest), dt.datetime.now(dt.UTC))
    if asked.json:
        as_json(found)
        return
    _show_search(found)


def _show_search(found: SearchAnswer) -> None:
    paragraphs(found.sentence)
    heading("Where to look, in this order")
    table(("", "", ""), [(str(n), one.where, one.why) for n, one in enumerate(found.places, 1)])
    heading("Mind")
    points(found.cautions)


def _write_csv(store: Store, tank: str, rest: list[str], asked: _Asked) -> None:
    from slackwater.service.diary_csv import write_csv_file

    path = _file(rest)
    count = write_csv_file(store, tank, path)
    if asked.json:
        as_json({"file": str(path), "entries": count})
        return
    paragraphs(f"{counted(count, 'entry')} written to {path}.")


def _read_csv(store: Store, tank: str, rest: list[str], asked: _Asked) -> None:
    from slackwater.service.diary_csv import read_csv

    done = read_csv(store, tank, _file(rest), signed(asked.by), good_rows=asked.good_rows)
    if asked.json:
        taken = len(done.saved.entries)
        as_json({"taken": taken, "already": done.already, "left_out": done.left_out})
        return
    there = f" {done.already} were there already." if done.already else ""
    paragraphs(f"{counted(len(done.saved.entries), 'entry')} taken.{there}")
    if done.left_out:
        heading(f"Left out: {len(done.left_out)}")
        points(done.left_out)
    paragraphs(*done.saved.cautions)


def _file(rest: list[str]) -> Path:
    if len(rest) != 1:
        remedy = "Write: slackwater diary TANK write diary.csv."
        raise InputError(field="the file", given=shown(" ".join(rest)), limit="one is needed", remedy=remedy)
    return Path(rest[0])


def _press_keys(store: Store, tank: str, asked: _Asked) -> None:
    from slackwater.service.quick import END, HELP, QuickEntry
    from slackwater.settings import load_settings

    quick = QuickEntry(store, tank, asked.by or load_settings().who, lambda: dt.datetime.now(dt.UTC))
    _say((*quick.opening, *HELP))
    for key in keys():
        if key in END:
            break
        _say(quick.press(key))
        _ask(quick)
    _say(quick.finish())


def _ask(quick: QuickEntry) -> None:
    if quick.asks and sys.stdin.isatty():
        typer.echo(f"  {quick.asks} ", nl=False)


def _say(lines: tuple[str, ...]) -> None:
    for line in lines:
        typer.echo(line)
    sys.stdout.flush()


_VERBS: dict[str, Callable[[Store, str, list[str], _Asked], None]] = {
    "list": _list,
    "days": _days,
    "unseen": _unseen,
    "search": _search,
    "write": _write_csv,
    "read": _read_csv,
}
