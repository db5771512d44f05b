"""When one turns on another: from a tank and its diary to the mildest thing that may stop it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from slackwater.plan.alarms import Alarm
from slackwater.plan.causes import Evidence
from slackwater.plan.handing_on import (
    OwnRecord,
    message,
    next_look_sentence,
    own_record,
    trend_sentence,
)
from slackwater.plan.quarrel import quarrel_of
from slackwater.plan.question import Question
from slackwater.plan.remedies import Effect, by_animal
from slackwater.plan.remedy import Ladder, Offer, ladder
from slackwater.plan.rungs import BEYOND, TEXTS
from slackwater.plan.settling import Settling
from slackwater.plan.tallied import roll, strangers
from slackwater.plan.timeout import TimeoutPlan
from slackwater.plan.trapping import TrapPlan, trap_plan
from slackwater.plan.watch_sheet import sheet_for_quarrel
from slackwater.plan.whom_to_move import WhomToMove
from slackwater.plan.works import Tried
from slackwater.rules import load_rules
from slackwater.service.house import notes_behind
from slackwater.service.planning import PaperName, read_question
from slackwater.service.tally_file import entries_in
from slackwater.service.written import write_all
from slackwater.society.diary import Entry
from slackwater.society.harm import ease

SAYS_WHO = (
    "Rungs, trial times and what each is good for: common practice, no source. Effects on each animal: "
    "the model, with the chaser's own temper from the tally; harm from chases was never measured in a "
    "fish and is assumed. How often a rung works: the trade's word as a prior (assumed), moved by "
    "results on record."
)


@dataclass(frozen=True)
class FindingRow:
    """One cause with what speaks for and against it; `weight` adds up like ln odds (assumed). [-]"""

    cause: str
    word: str
    weight: float
    evidence: tuple[Evidence, ...]
    ask: str


@dataclass(frozen=True)
class CompanyRow:
    """How one animal fares as things stand, by the model: chance of harm over 90 days. [0 to 1]"""

    animal: str
    p: float
    word: str


@dataclass(frozen=True)
class RungRow:
    """One rung of the ladder for this quarrel.

    `chance` is how likely it is to work, `chance_low` and `chance_high` nine in ten of what that may be
    [0 to 1]; `chases_left` the share of the chases left by the model in a fortnight, None where it has
    no term for the rung.
    """

    rung: str
    name: str
    number: int
    standing: str
    do: str
    trial_low_d: float
    trial_high_d: float
    stop: str
    suits: str
    why: str
    chance: float
    chance_low: float
    chance_high: float
    worked: str
    chases_left: float | None
    effects: tuple[Effect, ...]
    side_effects: tuple[str, ...]
    gear: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class RemedyAnswer:
    """What to do when one turns on another."""

    title: str
    asked_on: dt.date
    who: str
    whom: str
    message: tuple[str, ...]
    alarms: tuple[Alarm, ...]
    trend: str
    settling: Settling
    next_look: str
    company: tuple[CompanyRow, ...]
    pattern: str
    findings: tuple[FindingRow, ...]
    begin: str
    after: str | None
    rungs: tuple[RungRow, ...]
    whom_to_move: WhomToMove
    timeout: TimeoutPlan
    trap: TrapPlan
    record: OwnRecord
    beyond: str
    notes: tuple[str, ...]
    says_who: str


@dataclass(frozen=True)
class Asked:
    """What is asked: the moment, the keeper's clock, and the two, where they are named."""

    now: dt.datetime
    who: str | None = None
    whom: str | None = None
    zone: dt.tzinfo = dt.UTC


@dataclass(frozen=True)
class Remedied:
    """The answer as it is shown, and the ladder behind it, from which papers are made."""

    answer: RemedyAnswer
    found: Ladder


def remedy_files(tank: Path | str, tally: Path, asked: Asked) -> Remedied:
    """Return what to do about a quarrel, from a tank file and a tally or diary.

    Parameters
    ----------
    tank
        The tank file's path, or its text; who lives there stands under company.
    tally
        A CSV file: date, who, whom, count, kind, minutes, or a diary as it is exported; animals by the
        words of the tank file.
    asked
        When it is asked, and about whom.

    Raises
    ------
    InputError, InputErrors
        If a file cannot be used, all faults at once; or the tally tells of no chase.
    """
    today = asked.now.astimezone(asked.zone).date()
    question = read_question(tank, today)
    return remedy_entries(question, entries_in(tally, today, asked.zone), asked)


def remedy_entries(
    question: Question, entries: Sequence[Entry], asked: Asked, elsewhere: Sequence[Tried] = ()
) -> Remedied:
    """Return what to do about a quarrel, from a tank and its diary.

    Parameters
    ----------
    question
        The tank and who lives there.
    entries
        The diary, only what holds, oldest first.
    asked
        When it is asked, and about whom; the most chased pair if nobody is named.
    elsewhere
        Results of remedies on record from the shop's other tanks.

    Raises
    ------
    InputError
        If an animal is not in the company, or the diary tells of no chase.
    """
    rules = load_rules()
    quarrel = quarrel_of(question, entries, asked.now, (asked.who, asked.whom), rules, asked.zone)
    found = ladder(quarrel, elsewhere)
    return Remedied(_answer(found, _notes(question, entries)), found)


def write_remedy(made: Remedied, out: Path, paper: PaperName = "a4") -> tuple[Path, ...]:
    """Write the watching card, the message and the chaser's own record into a folder.

    Both are made before the first is written.

    Returns
    -------
    tuple of Path
        watch.pdf, message.txt, record.txt.
    """
    from slackwater.report.watch import watch_bytes

    sheet = watch_bytes(sheet_for_quarrel(made.found), made.answer.asked_on, paper)
    record = made.answer.record
    texts = {
        "message.txt": "\n".join(made.answer.message),
        "record.txt": "\n".join((f"Record of {record.animal}", *record.lines, record.condition)),
    }
    files = {"watch.pdf": sheet} | {name: f"{text}\n".encode() for name, text in texts.items()}
    return write_all(out, files)


def _answer(found: Ladder, notes: tuple[str, ...]) -> RemedyAnswer:
    quarrel, case = found.quarrel, found.case
    return RemedyAnswer(
        title=quarrel.question.title,
        asked_on=quarrel.today,
        who=quarrel.who,
        whom=quarrel.whom,
        message=message(found),
        alarms=found.alarms,
        trend=trend_sentence(quarrel, found.settling),
        settling=found.settling,
        next_look=next_look_sentence(found),
        company=tuple(
            CompanyRow(label, p, ease(p, quarrel.rules).value)
            for label, p in by_animal(case, case.now).items()
        ),
        pattern=found.pattern.words,
        findings=tuple(
            FindingRow(f.cause.value, f.word, f.weight, f.evidence, f.ask) for f in found.findings
        ),
        begin=found.begin.value,
        after=found.after.value if found.after else None,
        rungs=tuple(_row(offer, found) for offer in found.offers),
        whom_to_move=found.whom,
        timeout=found.timeout,
        trap=trap_plan(quarrel.who, case.attacker.species, quarrel.attacker.length_cm, case.situation),
        record=own_record(quarrel, quarrel.who, case.temper.sentence if case.temper else ""),
        beyond=BEYOND,
        notes=(*notes, *notes_behind(w.species.name for w in quarrel.question.residents)),
        says_who=SAYS_WHO,
    )


def _row(offer: Offer, found: Ladder) -> RungRow:
    return RungRow(
        rung=offer.rung.value,
        name=TEXTS[offer.rung].name,
        number=offer.number,
        standing=_standing(offer, found),
        do=offer.do,
        trial_low_d=offer.trial_low_d,
        trial_high_d=offer.trial_high_d,
        stop=offer.stop,
        suits=offer.fit.suits.value,
        why=offer.fit.why,
        chance=offer.works.mean,
        chance_low=offer.works.low,
        chance_high=offer.works.high,
        worked=offer.works.sentence,
        chases_left=offer.chases_left,
        effects=offer.effects,
        side_effects=offer.side_effects,
        gear=offer.gear,
        cautions=offer.cautions,
    )


def _standing(offer: Offer, found: Ladder) -> str:
    if offer.rung is found.begin:
        return "running" if offer.tried == "running" else "begin here"
    if offer.rung is found.after:
        return "then"
    return f"tried: {offer.tried}" if offer.tried else ""


def _notes(question: Question, entries: Sequence[Entry]) -> tuple[str, ...]:
    """Return whom the diary names and the company does not hold."""
    unknown = strangers(entries, roll(question))
    return tuple(f"{name} stands in the diary and not in the company; it was left out." for name in unknown)
