"""The whole plan from a question: order, dates, stages, reasons, drawings and cards."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping
from dataclasses import replace

from slackwater.plan import cards, outlook, years
from slackwater.plan.dates import Slot
from slackwater.plan.deeds import deeds_of
from slackwater.plan.draft import Draft, Tick, draft, worst_lot
from slackwater.plan.drawing import pressure_map, tank_drawing
from slackwater.plan.feeding import feeding_card
from slackwater.plan.filter import filter_needs
from slackwater.plan.quarantine import apart_in_quarantine
from slackwater.plan.question import Question, Wanted
from slackwater.plan.reasons import befores, chaser, comfort, common, order_count
from slackwater.plan.receiving_card import bags, choosing, receiving_card
from slackwater.plan.records import (
    AnimalLine,
    Assumption,
    Citation,
    Plan,
    Release,
    Stage,
)
from slackwater.plan.sequence import coarse
from slackwater.plan.shelter import shelter_card
from slackwater.plan.sitter import sitter_card
from slackwater.plan.unknowns import what_is_unknown
from slackwater.plan.wording import out_of_order, uncertain, verdict_sentence, watch_points
from slackwater.rules import Rules, load_rules
from slackwater.society.space import room_of, shortfall
from slackwater.sources import load_sources


def make_plan(question: Question, rules: Rules | None = None, tick: Tick = lambda _: None) -> Plan:
    """Return the whole plan.

    Parameters
    ----------
    question
        The tank, its residents, the wishes and the limits.
    rules
        The coefficients; those of the package if left out.
    tick
        Called with the name of each step of the work.
    """
    rules = rules or load_rules()
    made = draft(question, rules, tick)
    tick("stages on the way")
    stages = _stages(made)
    tick("what could turn the verdict")
    asked = what_is_unknown(made.question, made.days, rules)
    tick("what not to add")
    tempting = outlook.not_to_add(made.question, made.days, rules)
    tick("the sheet")
    q = made.question
    lines = tuple(_line(made, w) for w in made.company())
    worst = max(lines, key=lambda line: line.comfort.p) if lines else None
    feeding = feeding_card(q, rules)
    return Plan(
        title=q.title,
        number=_number(question),
        made_on=q.made_on,
        start=q.start,
        tank=tank_drawing(q),
        animals=lines,
        mood=made.verdict.mood.value,
        verdict=verdict_sentence(made),
        watch_points=watch_points(made),
        releases=tuple(_release(made, n, slot) for n, slot in enumerate(made.slots)),
        befores=befores(made),
        proof=made.sequence.proof,
        stages=stages,
        assumptions=tuple(replace(a, cost=_cost(a, asked.costs)) for a in q.assumptions),
        orders=order_count(made),
        question=asked.question,
        worst_key=worst.key if worst else "",
        pressure=pressure_map(made.verdict, worst.key if worst else ""),
        feeding=feeding,
        watching=cards.watching(made.verdict.lots),
        ladder=cards.ladder(chaser(made)),
        ahead=years.ahead(q, rules),
        not_to_add=tempting,
        out_of_order=out_of_order(made),
        takes_back=(
            "Agree before buying who takes an animal back: the shop, or a keeper whose tank was "
            "judged in the same way. Its notes go with it."
        ),
        power_cut=outlook.power_cut(q) if lines else None,
        hazards=outlook.hazards(q),
        cautions=outlook.cautions(q),
        uncertain=uncertain(made, tempting),
        sources=_sources(),
        clashes=made.kept.clashes,
        left_out=tuple(f"{w.said} ({w.species.name})" for w in made.kept.left_out),
        no_order_bearable=bool(made.kept.clashes),
        sitter=sitter_card(q, feeding, made.days),
        growth=years.growth(q),
        milestones=years.milestones(q, made.days, rules),
        filter=filter_needs(q, [slot.items for slot in made.slots], rules),
        receiving=receiving_card(q),
        shelter=shelter_card(q, made.verdict),
    )


def _cost(assumed: Assumption, costs: Mapping[str, str]) -> str:
    """Return what an assumption costs, in general and in this tank."""
    here = costs.get(assumed.what, "")
    return "; ".join(part for part in (assumed.cost, here) if part)


def _number(question: Question) -> str:
    """Return a plan number that follows from the question and the day."""
    parts = [question.title, question.made_on.isoformat(), f"{question.glass}"]
    parts += [f"{w.key}|{w.species.name}|{w.count}" for w in (*question.residents, *question.wishes)]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:8].upper()


def _line(made: Draft, wanted: Wanted) -> AnimalLine:
    adult = wanted.species.number("adult_length_cm")
    notes = [wanted.stock] if wanted.stock else []
    if shortfall(wanted.species, room_of(made.question.glass)) > made.rules["space_grace"]:
        notes.append("outgrows this tank")
    return AnimalLine(
        key=wanted.key,
        said=wanted.said,
        scientific_name=wanted.species.name,
        common_name=wanted.species.common_name,
        count=wanted.count,
        sex=None if wanted.sex.value == "unknown" else wanted.sex.value,
        length_cm=wanted.length_cm,
        adult_length_cm=adult,
        form=wanted.species.word("form"),
        body_depth_ratio=wanted.species.number("body_depth_ratio"),
        resident=wanted.resident,
        wish=wanted.wish,
        price=wanted.price,
        comfort=comfort(made, wanted),
        homes_cm=made.homes[wanted.key],
        notes=tuple(notes),
        home_kind=wanted.species.word("home_kind"),
    )


def _release(made: Draft, number: int, slot: Slot) -> Release:
    q = made.question
    wanted = [q.wishes[i] for i in slot.items]
    hardest = max(wanted, key=lambda w: worst_lot(made.lots(w)).p)
    worst = worst_lot(made.lots(hardest))
    box = int(max(w.box_days for w in wanted))
    hard = box > 0 or worst.harm["fought"] >= made.rules["hard_release"]
    bully = common(made, max(worst.by, key=lambda s: worst.by[s])) if hard else ""
    sheet = cards.run_sheet(q, hardest, bully, box) if hard else ()
    return Release(
        number=number + 1,
        date=slot.release,
        keys=tuple(w.key for w in wanted),
        title=" with ".join(_counted(w) for w in wanted),
        quarantine_from=slot.quarantine_from,
        quarantine_to=slot.quarantine_to,
        box_days=box,
        reason=slot.why,
        go_when="everyone eats and no one is chased more than twice in 10 minutes for 5 days",
        wait_if="anyone is off its food, marked or breathing fast; after a loss wait two weeks",
        hard=hard,
        run_sheet=sheet,
        place=f"at the end farthest from {bully}" if bully else "beside a free hole",
        choosing=choosing(wanted),
        bags=bags(wanted),
        quarantine_note=apart_in_quarantine(q, slot.items, made.rules) if slot.quarantine_from else "",
        deeds=deeds_of(q, slot.items),
    )


def _counted(wanted: Wanted) -> str:
    if wanted.sex.value == "pair":
        return f"a pair of {wanted.species.common_name}"
    return f"{wanted.count} {wanted.species.common_name}" if wanted.count > 1 else wanted.species.common_name


def _stages(made: Draft) -> tuple[Stage, ...]:
    """Return how the tank stands after each release, judged at search resolution."""
    q = made.question
    stages = []
    inside: dict[str, float] = {}
    for slot in made.slots:
        inside = inside | {q.wishes[i].key: q.day_of(slot.release) for i in slot.items}
        verdict = coarse(q, inside, made.rules)
        worst = max(verdict.lots, key=lambda lot: lot.p)
        stages.append(
            Stage(
                slot.release,
                " and ".join(q.wishes[i].species.common_name for i in slot.items),
                verdict.mood.value,
                worst.animal.species.common_name,
                worst.p,
            )
        )
    return tuple(stages)


def _sources() -> tuple[Citation, ...]:
    known = load_sources()
    used = {"geange2010", "rhodes1998", "almany2004"}
    return tuple(
        Citation(key, _cited(known[key].authors, known[key].year, known[key].title))
        for key in sorted(used)
        if key in known
    )


def _cited(authors: str, year: object, title: str) -> str:
    return ". ".join(str(part) for part in (authors, year, title) if part)


def today_plan_date(today: dt.date) -> dt.date:
    """Return the first Saturday at least a week ahead, when no start was given."""
    soon = today + dt.timedelta(days=7)
    return soon + dt.timedelta(days=(5 - soon.weekday()) % 7)
