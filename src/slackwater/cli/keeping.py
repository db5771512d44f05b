"""`tanks`, `keepers`, `looks`, `backup` and `restore`: what is kept, and whose it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.show import AsJson, as_json, paragraphs, table
from slackwater.cli.signing import ByOption, OutcomeWord, Sure, ask_before_deleting, counted, local, signed
from slackwater.errors import InputError

if TYPE_CHECKING:
    from slackwater.service.keepers import Deleted, KeeperRow
    from slackwater.service.looks import LookRow
    from slackwater.service.tanks import KeptTank, RevisionRow
    from slackwater.store import DueLook, Store, Tank

Why = Annotated[str, typer.Option("--why", help="Why, in a few words.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "tanks",
        short_help="Tanks that are kept, and who changed what.",
        epilog="Example: slackwater tanks --add reef.yaml --keeper club",
    )(tanks)
    app.command(
        "keepers",
        short_help="Keepers, and all that is kept of one.",
        epilog="Example: slackwater keepers club --export club",
    )(keepers)
    app.command(
        "looks",
        short_help="Looks and calls that are due.",
        epilog='Example: slackwater looks reef --due "2027-01-14 18:00" --ask "Does the wrasse eat?"',
    )(looks)
    app.command(
        "backup",
        short_help="Copy all that is kept into one file.",
        epilog="Example: slackwater backup kept.db",
    )(backup)
    app.command(
        "restore", short_help="Put a backup back.", epilog="Example: slackwater restore kept.db --replace"
    )(restore)


def tanks(
    name: Annotated[str | None, typer.Argument(metavar="TANK", help="A tank's name or number.")] = None,
    *,
    add: Annotated[Path | None, typer.Option("--add", help="Keep a tank from a tank file.")] = None,
    save: Annotated[Path | None, typer.Option("--save", help="Save a changed tank file.")] = None,
    edited: Annotated[
        int | None, typer.Option("--from", help="The revision that was edited.", metavar="REVISION")
    ] = None,
    merge: Annotated[
        bool, typer.Option("--merge", help="Save beside what others changed elsewhere in the file.")
    ] = False,
    keeper: Annotated[str, typer.Option("--keeper", help="Whose tank it is, or whose to list.")] = "",
    text: Annotated[bool, typer.Option("--text", help="Print the tank file as it was saved.")] = False,
    revision: Annotated[int | None, typer.Option("--revision", help="Of this revision.")] = None,
    revisions: Annotated[bool, typer.Option("--revisions", help="Who changed what, newest first.")] = False,
    plans: Annotated[bool, typer.Option("--plans", help="The plans kept with it, newest first.")] = False,
    delete: Annotated[bool, typer.Option("--delete", help="Delete the tank with all of it.")] = False,
    yes: Sure = False,
    by: ByOption = None,
    why: Why = "",
    json: AsJson = False,
) -> None:
    """List the tanks that are kept, keep one from a tank file, change one, or see who changed what.

    A tank is never overwritten: every change is one more revision. Who saves an edit of an earlier
    revision is told what others changed meanwhile.
    """
    from slackwater.service import tanks as service
    from slackwater.service.keeping import kept
    from slackwater.service.plain_data import read_text

    with kept() as store:
        if add:
            _show_tank(service.add_tank_file(store, add, signed(by, why), name or "", keeper), json=json)
        elif name is None:
            _show_tanks(service.list_tanks(store, keeper), json=json)
        elif save:
            saving = service.merge_revision if merge else service.save_revision
            last = _needed(edited)
            _show_tank(saving(store, name, read_text(save), last, signed(by, why)), json=json)
        elif delete:
            ask_before_deleting(f"the tank {name} with its diary", sure=yes)
            service.delete_tank(store, name)
            paragraphs(f"{name} is deleted.")
        elif revisions:
            _show_revisions(service.revisions(store, name), json=json)
        elif plans:
            _show_plans(store, name, json=json)
        elif text:
            _print_text(store, name, revision)
        else:
            _show_tank(service.open_tank(store, name), json=json)


def _needed(edited: int | None) -> int:
    if edited is None:
        remedy = "Add --from with the number that stood beside the file."
        limit = "without it another's change could be lost"
        raise InputError(field="--from", given="missing", limit=limit, remedy=remedy)
    return edited


def _print_text(store: Store, name: str, revision: int | None) -> None:
    from slackwater.service import tanks as service

    last = service.open_tank(store, name).revision if revision is None else None
    typer.echo((last or service.revision(store, name, revision or 0)).text, nl=False)


def _show_tanks(found: Sequence[Tank], *, json: bool) -> None:
    if json:
        as_json({"tanks": found})
        return
    if not found:
        paragraphs("No tank is kept yet. Keep one: slackwater tanks --add reef.yaml")
        return
    rows = [(str(t.id), t.name, t.keeper, str(t.revision), str(t.entries), local(t.since)) for t in found]
    table(("", "tank", "keeper", "revisions", "entries", "since"), rows, right=(0, 3, 4))


def _show_tank(tank: KeptTank, *, json: bool) -> None:
    if json:
        as_json(tank)
        return
    head, last = tank.tank, tank.revision
    whose = f", {head.keeper}'s" if head.keeper else ""
    paragraphs(
        f"{head.name} (number {head.id}{whose}): revision {last.number}, saved by {last.signed.by} on "
        f"{local(last.signed.at)}{': ' + last.why if last.why else ''}; {head.entries} entries in its diary."
    )
    paragraphs(f"Its animals go by: {', '.join(tank.labels) or 'nobody lives there'}.")


def _show_revisions(rows: Sequence[RevisionRow], *, json: bool) -> None:
    if json:
        as_json({"revisions": rows})
        return
    told = [(str(r.number), local(r.at), r.by, r.why, "; ".join(d.sentence for d in r.changed)) for r in rows]
    table(("", "when", "by", "why", "what"), told, right=(0,))


def _show_plans(store: Store, name: str, *, json: bool) -> None:
    from slackwater.service.kept_plans import plan_rows

    found = plan_rows(store, name)
    if json:
        as_json({"plans": found})
        return
    rows = [
        (str(p.number), local(p.at), p.by, str(p.revision), p.verdict, ", ".join(p.changed)) for p in found
    ]
    table(("", "when", "by", "revision", "verdict", "changed since"), rows, right=(0, 3))
    paragraphs("" if rows else "No plan is kept. Keep one: slackwater plan FILE --keep TANK")


def keepers(
    name: Annotated[str | None, typer.Argument(metavar="KEEPER", help="A keeper's name.")] = None,
    *,
    contact: Annotated[str, typer.Option("--contact", help="How to reach them.")] = "",
    note: Annotated[str, typer.Option("--note", help="A note on them.")] = "",
    tank: Annotated[str, typer.Option("--tank", help="A tank that is theirs.")] = "",
    export: Annotated[
        Path | None, typer.Option("--export", help="Write all that is kept of them into a folder.")
    ] = None,
    delete: Annotated[bool, typer.Option("--delete", help="Delete all that is kept of them.")] = False,
    yes: Sure = False,
    by: ByOption = None,
    json: AsJson = False,
) -> None:
    """List the keepers, note one, hand over all that is kept of one, or delete it for good.

    Names and ways of contact are personal data: keep what the keeper agreed to, and no more.
    """
    from slackwater.service import keepers as service
    from slackwater.service.keeping import kept

    with kept() as store:
        if name is None:
            _show_keepers(service.list_keepers(store), json=json)
        elif export:
            done = service.export_keeper(store, name, export)
            if json:
                as_json(done)
                return
            paragraphs(f"{counted(done.tanks, 'tank')} and {counted(done.entries, 'entry')} written.")
            _files(done.files)
        elif delete:
            ask_before_deleting(f"all that is kept of {name}", sure=yes)
            _show_deleted(service.delete_keeper(store, name), json=json)
        else:
            _show_keepers((service.note_keeper(store, name, signed(by, note), contact, tank),), json=json)


def _show_keepers(found: Sequence[KeeperRow], *, json: bool) -> None:
    if json:
        as_json({"keepers": found})
        return
    rows = [(k.keeper.name, k.keeper.contact, ", ".join(k.tanks), k.keeper.note) for k in found]
    table(("keeper", "contact", "tanks", "note"), rows)
    paragraphs("" if rows else "No keeper is kept yet.")


def _show_deleted(done: Deleted, *, json: bool) -> None:
    if json:
        as_json(done)
        return
    gone = ", ".join(done.tanks) or "no tank"
    paragraphs(f"All that was kept of {done.keeper} is deleted: {gone}.", done.note)
    _files(done.copies)


def _files(paths: Sequence[Path]) -> None:
    """Print paths whole, however long, to be copied."""
    for path in paths:
        typer.echo(f"-  {path}")


def looks(
    tank: Annotated[str | None, typer.Argument(metavar="TANK", help="A tank's name or number.")] = None,
    *,
    ahead: Annotated[float, typer.Option("--ahead", help="Days ahead to list as well.", min=0)] = 0.0,
    due: Annotated[str | None, typer.Option("--due", help="Make a look due then.", metavar="TIME")] = None,
    ask: Annotated[list[str] | None, typer.Option("--ask", help="What to ask; may be repeated.")] = None,
    about: Annotated[list[str] | None, typer.Option("--about", help="About which animal.")] = None,
    why: Why = "",
    forecast: Annotated[str, typer.Option("--forecast", help="What is expected to happen.")] = "",
    p: Annotated[float | None, typer.Option("--chance", help="Its chance, from 0 to 1.")] = None,
    done: Annotated[int | None, typer.Option("--done", help="This look was made.", metavar="LOOK")] = None,
    outcome: Annotated[OutcomeWord, typer.Option("--outcome", help="What came of it.")] = "all well",
    happened: Annotated[
        bool | None, typer.Option("--happened/--not-happened", help="Whether the forecast came true.")
    ] = None,
    note: Annotated[str, typer.Option("--note", help="What was said.")] = "",
    by: ByOption = None,
    json: AsJson = False,
) -> None:
    """List the looks and calls that are due, make one due, or write down what came of one."""
    from slackwater.service import looks as service
    from slackwater.service.keeping import kept
    from slackwater.service.moments import moment
    from slackwater.store import Outcome

    now = dt.datetime.now(dt.UTC)
    with kept() as store:
        if tank is None:
            _show_due(service.due_looks(store, now, dt.timedelta(days=ahead)), json=json)
        elif due:
            new = service.NewLook(moment(due, now), tuple(ask or ()), why, tuple(about or ()), forecast, p)
            _show_looks((service.add_look(store, tank, new, signed(by)),), json=json)
        elif done is not None:
            who = signed(by, note)
            told = service.answer_look(store, tank, done, Outcome(outcome), who, happened=happened)
            _show_looks((told,), json=json)
        else:
            _show_looks(service.looks_of(store, tank), json=json)


def _show_due(rows: Sequence[LookRow], *, json: bool) -> None:
    if json:
        as_json({"looks": rows})
        return
    told = [(local(r.look.due_at), r.tank, r.keeper, str(r.look.number), _asks(r.look)) for r in rows]
    table(("due", "tank", "keeper", "look", "what to ask"), told, right=(3,))
    paragraphs("" if told else "Nothing is due.")


def _show_looks(found: Sequence[DueLook], *, json: bool) -> None:
    if json:
        as_json({"looks": found})
        return
    rows = [(str(k.number), local(k.due_at), _asks(k), _came(k)) for k in found]
    table(("", "due", "what to ask", "what came of it"), rows, right=(0,))


def _asks(look: DueLook) -> str:
    about = f" ({', '.join(look.animals)})" if look.animals else ""
    return " ".join(look.asks or (look.reason,)) + about


def _came(look: DueLook) -> str:
    if look.result is None:
        return ""
    true = {True: "; as forecast", False: "; not as forecast", None: ""}[look.result.happened]
    return f"{look.result.outcome.value}{true}{'. ' + look.result.note if look.result.note else ''}"


Replace = Annotated[bool, typer.Option("--replace", help="Replace what is there.")]


def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.")],
    *,
    replace: Replace = False,
    json: AsJson = False,
) -> None:
    """Copy all that is kept into one file, while others go on writing, and check the copy.

    The file holds names and ways of contact: keep it as safe as the store itself.
    """
    from slackwater.service.backups import back_up

    done = back_up(file, replace=replace)
    if json:
        as_json(done)
        return
    paragraphs(f"{done.path} holds {_held(done.rows)}, and is whole.")


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A backup.")],
    *,
    replace: Replace = False,
    json: AsJson = False,
) -> None:
    """Put a backup back, once it is found whole; what was there is copied to a file first."""
    from slackwater.service.backups import put_back

    done = put_back(file, replace=replace)
    if json:
        as_json(done)
        return
    paragraphs(f"{done.store} holds {_held(done.backup.rows)} again.")
    paragraphs(f"What was there before lies in {done.before}." if done.before else "")


def _held(rows: Mapping[str, int]) -> str:
    return f"{counted(rows['tank'], 'tank')} and {counted(rows['entry'], 'entry')}"
