"""`choose`, `without`, `also` and `many`: who should live together, who leave, who come, how many."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.show import AsJson, as_json, bar, heading, paragraphs, points, table
from slackwater.cli.telling import TankFile, tells_a_tank, today
from slackwater.errors import InputError

if TYPE_CHECKING:
    from slackwater.plan.also import Also
    from slackwater.plan.many import HowMany
    from slackwater.plan.taking_out import TakingOut
    from slackwater.service.choosing import ChoiceAnswer, Offer
    from slackwater.service.counter import Told

Comfort = Literal["at ease", "jostled", "pressed"]


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "choose",
        short_help="The best company from a wish list.",
        epilog="Example: slackwater choose reef.yaml --most 5",
    )(choose)
    app.command("without", short_help="Who to take out.", epilog="Example: slackwater without reef.yaml")(
        without
    )
    app.command(
        "also",
        short_help="What else could live here.",
        epilog='Example: slackwater also --with "clown trigger" --length 300cm',
    )(also)
    app.command(
        "many",
        short_help="How many of a kind.",
        epilog='Example: slackwater many "green chromis" --length 120cm',
    )(many)


def choose(
    file: TankFile,
    most: Annotated[int, typer.Option("--most", min=1, max=10, help="How many choices to offer.")] = 3,
    comfort: Annotated[
        Comfort, typer.Option("--comfort", help="The least comfort in which a chosen animal may live.")
    ] = "jostled",
    *,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Choose the best company from a wish list, and others that clearly differ.

    The dearest wishes that can live in peace with one another and with those who are there, within
    budget, quarantine and dates. Says for what the best is proven, and which wishes clash. A long
    search may be stopped with Ctrl-C; the best so far is then shown.
    """
    from slackwater.service.choosing import choose_file
    from slackwater.society.harm import Ease

    with notes(house, beside=file), bar("choosing") as shown:
        answer = choose_file(
            file,
            today(),
            most=most,
            comfort=Ease(comfort),
            tick=lambda step: shown.step(label=step),
        )
    if json:
        as_json(answer)
        return
    _show_choices(answer)


def without(file: TankFile, *, house: House = None, json: AsJson = False) -> None:
    """Say who to take out: the whole company without each animal in turn, and who bullies next."""
    from slackwater.service.living import without_file

    with notes(house, beside=file), bar("without each in turn") as shown:
        answer = without_file(file, today(), lambda step: shown.step(label=step))
    if json:
        as_json(answer)
        return
    _show_without(answer)


@tells_a_tank
def also(
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="The tank file.", show_default=False)
    ] = None,
    *,
    told: Told,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say what else could live here: ten that would fit next, and popular ones that would break it.

    With a tank file its wishes count as living there. Without one, tell the tank and who lives
    there as for a counter check: that answers what can live with an animal.
    """
    from slackwater.service.living import also_file, also_told

    _refuse_both(file, told.length_cm is not None or bool(told.residents) or told.volume_l is not None)
    with notes(house, beside=file), bar("what else could live here") as shown:
        step = lambda label: shown.step(label=label)  # noqa: E731 - the same step for both
        answer = also_file(file, today(), step) if file else also_told(told, today(), step)
    if json:
        as_json(answer)
        return
    _show_also(answer)


@tells_a_tank
def many(
    animal: Annotated[str, typer.Argument(metavar="ANIMAL", help="The kind, with length and sex if known.")],
    *,
    told: Told,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say how many of a kind do well together: groups of 1 to 12, released on one day."""
    from slackwater.service.living import many_told

    with notes(house), bar("how many") as shown:
        answer = many_told(animal, told, today(), lambda step: shown.step(label=step))
    if json:
        as_json(answer)
        return
    _show_many(answer)


def _refuse_both(file: Path | None, told: bool) -> None:  # noqa: FBT001 - one of two, told apart here
    if file is not None and told:
        raise InputError(
            field="the tank",
            given="a file and options",
            limit="it is told in one way or the other",
            remedy="Write the tank into the file, or leave the file out.",
        )


def _show_choices(answer: ChoiceAnswer) -> None:
    paragraphs(answer.sentence)
    for offer in answer.offers:
        heading(f"Choice {offer.number}")
        _show_offer(offer)
    if answer.clashes:
        heading("What clashes")
        points([_clash(clash.names, clash.sentence) for clash in answer.clashes])
        heading("Says who")
        sources = list(dict.fromkeys(source for clash in answer.clashes for source in clash.sources))
        more = len(sources) - _MOST_SOURCES
        points([*sources[:_MOST_SOURCES], f"{more} more: see --json." if more > 0 else ""])
    heading("How sure")
    points([answer.proof, *answer.notes])


_MOST_SOURCES, _FELT = 8, 0.01


def _clash(names: Sequence[str], sentence: str) -> str:
    """Return a clash in a line; a sentence that begins with the only name says it once."""
    who = " + ".join(names)
    return sentence if sentence.lower().startswith(who.lower()) else f"{who}: {sentence}"


def _show_offer(offer: Offer) -> None:
    rows = [
        (
            f"{animal.count}",
            animal.common_name,
            animal.sex or "",
            f"{animal.length_cm:.0f} cm",
            animal.price or "",
            animal.word,
            animal.stock,
        )
        for animal in offer.animals
    ]
    table(("", "animal", "sex", "size", "price", "comfort", ""), rows, right=(0, 3))
    cost = f"Together {offer.price:.2f} {offer.currency}".rstrip() if offer.price else ""
    missing = f", without a price for {', '.join(offer.unpriced)}" if cost and offer.unpriced else ""
    left = f"Left out: {', '.join(offer.left_out)}." if offer.left_out else ""
    paragraphs(f"Released: {offer.sentence}", *offer.quarantine, f"{cost}{missing}." if cost else "", left)


def _show_without(answer: TakingOut) -> None:
    paragraphs(answer.sentence)
    heading("Without each in turn")
    rows = [
        (row.taken, row.after.mood, f"{row.after.worst}, {row.after.word}", row.after.bully or "nobody")
        for row in answer.removals
    ]
    table(("without", "tank", "least comfort", "does most harm then"), rows)


def _show_also(answer: Also) -> None:
    heading(f"Would fit next, of {answer.screened} kinds")
    if answer.fits:
        rows = [(f.common_name, f"{f.length_cm:.0f} cm", f.reason) for f in answer.fits]
        table(("", "size", ""), rows, (1,))
    else:
        paragraphs("Nobody that was tried would live here in peace.")
    heading("Popular, and would break it")
    table(("", ""), [(row.common_name, row.reason) for row in answer.breaks])
    paragraphs("One animal of each kind, released last; nothing is known of its own temper yet.")


def _show_many(answer: HowMany) -> None:
    paragraphs(answer.sentence)
    heading("By number")
    rows = [
        (
            f"{size.count}",
            f"{100.0 * size.p:.0f} %",
            size.word,
            size.outcome if size.p >= _FELT else "",
            size.others_word or "",
            "" if size.has_room else "no room",
        )
        for size in answer.sizes
    ]
    table(("", "chance of harm", "worst-off of them", "mostly", "of the others", ""), rows, right=(0, 1))
    paragraphs(answer.note)
