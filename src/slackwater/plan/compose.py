"""The whole plan from a question: order, dates, stages, reasons, drawings and cards."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from slackwater.plan import cards, outlook
from slackwater.plan.clash import Bearable, bearable, largest_bearable, trouble
from slackwater.plan.dates import Slot, schedule
from slackwater.plan.drawing import pressure_map, tank_drawing
from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import (
    AnimalLine,
    Before,
    Citation,
    Comfort,
    Plan,
    Release,
    Stage,
)
from slackwater.plan.sequence import Sequence, best_sequence, coarse
from slackwater.plan.unknowns import the_question
from slackwater.rules import Rules, load_rules
from slackwater.society.company import Individual
from slackwater.society.explain import explain
from slackwater.society.harm import Ease, Mood
from slackwater.society.judge import Judgement, Lot, Settings, judge
from slackwater.society.space import room_of, shortfall
from slackwater.sources import load_sources

Tick = Callable[[str], None]

BOX_DAYS = 5


@dataclass(frozen=True)
class Draft:
    """What the sheet is written from: the wishes kept, their order, dates and judgement."""

    question: Question
    kept: Bearable
    sequence: Sequence
    slots: tuple[Slot, ...]
    verdict: Judgement
    rules: Rules

    @property
    def days(self) -> dict[str, float]:
        """Day of release by key. [d]"""
        q = self.question
        return {
            q.wishes[item].key: q.day_of(slot.release) for slot in self.slots for item in slot.items
        }

    def company(self) -> tuple[Wanted, ...]:
        """Return residents, then wishes in the order of release."""
        q = self.question
        wishes = tuple(q.wishes[i] for i in self.sequence.order())
        return (*q.residents, *wishes)

    def lots(self, wanted: Wanted) -> tuple[Lot, ...]:
        """Return how the animals of one line fare."""
        return tuple(lot for lot in self.verdict.lots if lot.animal.party.key == wanted.key)


def draft(question: Question, rules: Rules, tick: Tick) -> Draft:
    """Return the best bearable plan, boxes included, judged at answer resolution."""
    tick("order of release")
    kept = largest_bearable(question, rules)
    best = best_sequence(kept.question, rules)
    slots = schedule(kept.question, best.steps, rules)
    tick("comfort of every animal")
    made = _judged(question, kept, best, slots, rules)
    boxed = _boxed(made, rules)
    if boxed is None:
        return made
    tick("with acclimation boxes")
    return _judged(question, Bearable(boxed, kept.left_out, kept.clashes), best, slots, rules)


def _judged(
    question: Question, kept: Bearable, best: Sequence, slots: tuple[Slot, ...], rules: Rules
) -> Draft:
    q = kept.question
    days = {q.wishes[i].key: q.day_of(s.release) for s in slots for i in s.items}
    return Draft(q, kept, best, slots, judge(q.situation(days), Settings(), rules), rules)


def _boxed(made: Draft, rules: Rules) -> Question | None:
    """Return the question with boxes for the newcomers that would be chased, or None."""
    from dataclasses import replace

    hard = {
        w.key
        for w in made.question.wishes
        if max(lot.harm["fought"] for lot in made.lots(w)) >= rules["hard_release"]
        and w.length_cm <= 15.0
    }
    if not hard:
        return None
    wishes = tuple(
        replace(w, box_days=float(BOX_DAYS)) if w.key in hard else w for w in made.question.wishes
    )
    return replace(made.question, wishes=wishes)


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
    asked = the_question(made.question, made.days, made.verdict, rules)
    tick("what not to add")
    tempting = outlook.not_to_add(made.question, made.days, rules)
    tick("the sheet")
    q = made.question
    lines = tuple(_line(made, w) for w in made.company())
    worst = max(lines, key=lambda line: line.comfort.p) if lines else None
    chaser = _chaser(made)
    return Plan(
        title=q.title,
        number=_number(question),
        made_on=q.made_on,
        start=q.start,
        tank=tank_drawing(q),
        animals=lines,
        mood=made.verdict.mood.value,
        verdict=_verdict(made),
        watch_points=_watch_points(made),
        releases=tuple(_release(made, n, slot) for n, slot in enumerate(made.slots)),
        befores=_befores(made),
        proof=made.sequence.proof,
        stages=stages,
        assumptions=q.assumptions,
        question=asked,
        worst_key=worst.key if worst else "",
        pressure=pressure_map(made.verdict, worst.key if worst else ""),
        feeding=cards.feeding_card(q),
        watching=cards.watching(made.verdict.lots),
        ladder=cards.ladder(chaser),
        ahead=outlook.ahead(q, rules),
        not_to_add=tempting,
        out_of_order=_out_of_order(made),
        takes_back=(
            "Agree before buying who takes an animal back: the shop, or a keeper whose tank was "
            "judged in the same way. Its notes go with it."
        ),
        power_cut=outlook.power_cut(q) if lines else None,
        hazards=outlook.hazards(q),
        cautions=outlook.cautions(q),
        uncertain=_uncertain(made),
        sources=_sources(made),
        clashes=made.kept.clashes,
        left_out=tuple(f"{w.said} ({w.species.name})" for w in made.kept.left_out),
        no_order_bearable=bool(made.kept.clashes),
    )


def _number(question: Question) -> str:
    """Return a plan number that follows from the question and the day."""
    parts = [question.title, question.made_on.isoformat(), f"{question.glass}"]
    parts += [f"{w.key}|{w.species.name}|{w.count}" for w in (*question.residents, *question.wishes)]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:8].upper()


def _worst_lot(lots: tuple[Lot, ...]) -> Lot:
    return max(lots, key=lambda lot: lot.p)


def _comfort(made: Draft, wanted: Wanted) -> Comfort:
    lot = _worst_lot(made.lots(wanted))
    word = made.verdict.ease(lot)
    harm = {k: round(v, 6) for k, v in sorted(lot.harm.items())}
    cause = max(harm, key=lambda k: harm[k])
    by = max(lot.by, key=lambda s: lot.by[s]) if lot.by else ""
    blamed = by if cause in {"fought", "bitten"} and lot.by.get(by, 0.0) > 0.01 else None
    low, high = (float(v) for v in np.quantile(lot.draws, (0.05, 0.95)))
    split = float((lot.draws < made.rules["ease.jostled"]).mean())
    two = 0.2 < split < 0.8 and high > made.rules["ease.pressed"]
    return Comfort(
        p=lot.p,
        word=word.value,
        harm=harm,
        chases_per_hour=lot.chases_per_h,
        worst_from=_common(made, blamed) if blamed else None,
        sentence=_comfort_sentence(made, wanted, lot, cause, blamed),
        low=low,
        high=high,
        two_outcomes=two,
    )


def _common(made: Draft, name: str) -> str:
    for wanted in (*made.question.residents, *made.question.wishes):
        if wanted.species.name == name:
            return wanted.species.common_name
    return name


def _comfort_sentence(
    made: Draft, wanted: Wanted, lot: Lot, cause: str, blamed: str | None
) -> str:
    if lot.p < made.rules["ease.at_ease"]:
        return "no trouble expected"
    if cause in {"fought", "bitten"} and blamed:
        verb = "chased" if cause == "fought" else "nipped"
        own = blamed == wanted.species.name
        who = "its own kind" if own else _common(made, blamed)
        return f"{verb} by {who}, about {lot.chases_per_h:.1f} times an hour"
    return {
        "outcompeted": "may come off worst at the food",
        "cramped": "grows too large for this tank",
        "unmet need": "lacks something it needs",
        "jumped": "jumps: a lid",
        "eaten": "may be eaten",
    }.get(cause, "some chasing")


def _line(made: Draft, wanted: Wanted) -> AnimalLine:
    party = next(
        n for n, p in enumerate(made.verdict.situation.parties) if p.key == wanted.key
    )
    home = np.mean([f.homes[party] for f in made.verdict.fields[:1]], axis=0)
    adult = wanted.species.number("adult_length_cm")
    notes = [t for t in (wanted.species.text("company_note"),) if t and wanted.count > 1]
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
        comfort=_comfort(made, wanted),
        homes_cm=_homes(home, wanted.count),
        assumed=() if wanted.length_told else ("length",),
        notes=tuple(notes),
        home_kind=wanted.species.word("home_kind"),
    )


def _homes(home: np.ndarray, count: int) -> tuple[tuple[float, float, float], ...]:  # type: ignore[type-arg]
    """Return a place for each animal of a group, side by side about its home."""
    x, y, z = (float(v) for v in home)
    drawn = min(count, 8)
    return tuple((x + 5.0 * (n - (drawn - 1) / 2.0), y, z + 3.0 * (n % 2)) for n in range(drawn))


def _verdict(made: Draft) -> str:
    """Return the verdict as one sentence with order, and the worst-off animal."""
    q = made.question
    lots = made.verdict.lots
    if not lots:
        return "There is nobody to judge yet."
    worst = max(lots, key=lambda lot: lot.p)
    name = worst.animal.species.common_name
    if not bearable(made.verdict, made.rules):
        return f"As it stands this company will not do: {name} bears too much. See what would settle it."
    order = ", then ".join(
        " with ".join(q.wishes[i].species.common_name for i in slot.items) for slot in made.slots
    )
    start = f"Yes, in this order: {order}" if order else "The company there now lives in peace"
    ease = made.verdict.ease(worst)
    if ease is Ease.AT_EASE:
        return f"{start}; no animal is expected to come to harm."
    if made.verdict.mood is Mood.SETTLED:
        return f"{start}; {name} has the least comfort and is expected to cope."
    return f"{start}; watch {name}, which bears most."


def _watch_points(made: Draft) -> tuple[tuple[str, str], ...]:
    points = []
    for lot in sorted(made.verdict.lots, key=lambda one: -one.p):
        name = lot.animal.species.common_name
        if lot.p < made.rules["ease.at_ease"] or any(name in p[0] for p in points):
            continue
        cause = max(lot.harm, key=lambda k: lot.harm[k])
        points.append(_point(made, lot, name, cause))
    return tuple(points[:3])


def _point(made: Draft, lot: Lot, name: str, cause: str) -> tuple[str, str]:
    if cause in {"fought", "bitten"}:
        by = _common(made, max(lot.by, key=lambda s: lot.by[s]))
        by = "its own kind" if by == name else by
        return f"{name} may be harried by {by}", "more than 2 chases in 10 minutes after day 5, torn fins"
    signs = {
        "outcompeted": ("comes off worst at the food", "belly hollow behind the head by week 3"),
        "cramped": ("grows too large for this tank", "turns at every pane, thin or restless"),
        "unmet need": ("lacks something it needs", "hides all day, pale, off its food"),
        "jumped": ("jumps", "an open gap in the lid"),
        "eaten": ("may be swallowed", "a head count that does not come out"),
    }
    what, sign = signs.get(cause, ("is not at ease", "hides all day"))
    return f"{name} {what}", sign


def _release(made: Draft, number: int, slot: Slot) -> Release:
    q = made.question
    wanted = [q.wishes[i] for i in slot.items]
    lots = [_worst_lot(made.lots(w)) for w in wanted]
    worst = _worst_lot(tuple(lots))
    hard = worst.harm["fought"] >= made.rules["hard_release"]
    bully = _common(made, max(worst.by, key=lambda s: worst.by[s])) if hard else ""
    box = int(max(w.box_days for w in wanted))
    sheet = cards.run_sheet(q, wanted[lots.index(worst)], bully, box) if hard else ()
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
    )


def _counted(wanted: Wanted) -> str:
    if wanted.sex.value == "pair":
        return f"a pair of {wanted.species.common_name}"
    return f"{wanted.count} {wanted.species.common_name}" if wanted.count > 1 else wanted.species.common_name


def _befores(made: Draft) -> tuple[Before, ...]:
    """Return the "A before B" that matter, each with its reason."""
    cost, order = made.sequence.cost, made.sequence.order()
    q = made.question
    day_of = {item: n for n, slot in enumerate(made.slots) for item in slot.items}
    rows = []
    for a, i in enumerate(order):
        for j in order[a + 1 :]:
            gain = float(cost[j, i] - cost[i, j])
            if gain >= made.rules["matters"] and day_of[i] != day_of[j]:
                rows.append((gain, i, j))
    rows.sort(key=lambda row: (-row[0], row[1], row[2]))
    return tuple(
        Before(
            q.wishes[i].species.common_name,
            q.wishes[j].species.common_name,
            _why_before(made, q.wishes[i], q.wishes[j]),
            gain,
        )
        for gain, i, j in rows[:5]
    )


def _first(made: Draft, wanted: Wanted) -> Individual:
    return made.lots(wanted)[0].animal


def _why_before(made: Draft, first: Wanted, then: Wanted) -> str:
    told = explain(made.verdict, _first(made, then), _first(made, first))
    name, other = then.species.common_name, first.species.common_name
    if told.trouble == "recognition":
        return f"{name} takes {other} for a rival; as owner it would chase it three times as much"
    return f"{name} would own the rock and treat {other} as an intruder"


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


def _chaser(made: Draft) -> Wanted | None:
    if not made.verdict.lots:
        return None
    by, _, _ = trouble(made.verdict)
    company = (*made.question.residents, *made.question.wishes)
    return next((w for w in company if w.species.name == by), None)


def _out_of_order(made: Draft) -> str:
    befores = _befores(made)
    if not befores:
        return "The order may be changed freely with what is in stock; keep the spacing and the quarantine."
    rules = "; ".join(f"{b.first} before {b.then}" for b in befores)
    return (
        f"Keep: {rules}. The rest may be swapped with what is in stock. If one of these cannot be "
        "kept, box the later one for a week and move the rock that evening."
    )


def _uncertain(made: Draft) -> tuple[str, ...]:
    lines = [
        "Individuals differ more than neighbouring species do: half to double the chases is usual.",
        "How many chases do harm was never measured in a fish; these coefficients are assumed.",
        "Tempers and group rules are common practice without a source; sizes are from memory, rounded.",
    ]
    if len(made.question.rockworks) > 1:
        lines.append("Only a word for the rock is known: answers are the mean of three layouts of it.")
        lines.append(_spread(made))
    split = [line for line in (_comfort(made, w) for w in made.company()) if line.two_outcomes]
    if split:
        lines.append("For some animals two outcomes are possible: it depends on the individual.")
    return tuple(lines)


def _spread(made: Draft) -> str:
    """Return the spread over the layouts for the worst-off animal, in words."""
    lot = max(made.verdict.lots, key=lambda one: one.p)
    parts = np.split(lot.draws, len(made.question.rockworks))
    means = [float(part.mean()) for part in parts]
    return (
        f"For {lot.animal.species.common_name} the layouts give {100 * min(means):.0f} to "
        f"{100 * max(means):.0f} % chance of harm over its worst 90 days."
    )


def _sources(made: Draft) -> tuple[Citation, ...]:
    known = load_sources()
    used = {"cp", "mem", "assumed", "geange2010", "rhodes1998", "almany2004"}
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
