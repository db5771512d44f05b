"""The water of a tank in figures: load, next addition, ammonia, drift, oxygen, power cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from slackwater.plan.filter import filter_of, is_young, load_of, net_l, system_l, water_of
from slackwater.plan.power_failure import power_report
from slackwater.plan.question import Question, Wanted
from slackwater.plan.water_records import (
    AmmoniaLine,
    ChangeLine,
    Drift,
    LoadLine,
    NextAddition,
    WaterReport,
)
from slackwater.rules import Rules
from slackwater.water.ammonia import Criterion, tan_limit_mg_l, unionised_fraction
from slackwater.water.drift import (
    alkalinity_loss_dkh_d,
    nitrate_mg_l_d,
    oxygen_for_nitrification_mg_d,
    phosphate_mg_l_d_yellowtail2009,
    settled_mg_l,
)
from slackwater.water.gas_exchange import Aeration, oxygen_balance, oxygen_uptake_l_h
from slackwater.water.load import Ration, ammonia_load, tan_g_d_timmons2007
from slackwater.water.nitrifiers import capacity_from_dose
from slackwater.water.oxygen import oxygen_mg_l_garcia1992
from slackwater.water.power_cut import USUAL, Case, resting_tank
from slackwater.water.spacing import Releases, spacing

WEEKLY_SHARES = (0.10, 0.15, 0.25)

_WEEK_D = 7.0
_TEN_G = 10.0


@dataclass(frozen=True)
class DoseTest:
    """Ammonia tested twice after a dose, without animals. [mg N/L, mg N/L, h]"""

    first_mg_l: float
    later_mg_l: float
    hours: float


def water_report(
    question: Question, rules: Rules, dose: DoseTest | None = None, room_c: float | None = None
) -> WaterReport:
    """Return all that is known and assumed of the water of a tank.

    Parameters
    ----------
    question
        The tank, its residents and the wishes.
    rules
        Thresholds and what is assumed of pumps.
    dose
        A dose test, which takes the place of the assumed filter.
    room_c
        Temperature of the room in a power cut, if told. [C]

    Raises
    ------
    InputError
        If a value is beyond all sense.
    """
    company = (*question.residents, *question.wishes)
    tested = _tested(question, dose)
    return WaterReport(
        title=question.title,
        net_l=net_l(question),
        system_l=system_l(question),
        temperature_c=question.temperature_c,
        salinity=question.salinity,
        loads=_loads(question, company, rules),
        additions=_additions(question, tested, rules),
        is_young=is_young(question, rules),
        tested_mg_l_d=tested,
        ammonia=_ammonia(question, rules),
        drift=_drift(question, company, rules),
        full_mg_l=oxygen_mg_l_garcia1992(question.temperature_c, question.salinity).value,
        oxygen_mg_l=_with_pumps(question, company, rules),
        power=power_report(question, rules, room_c),
        assumed=_assumed(question, rules, tested),
    )


def _tested(question: Question, dose: DoseTest | None) -> float | None:
    if dose is None:
        return None
    return capacity_from_dose(filter_of(question), dose.first_mg_l, dose.later_mg_l, dose.hours)


def _loads(question: Question, company: Sequence[Wanted], rules: Rules) -> tuple[LoadLine, ...]:
    grown = [replace(w, length_cm=max(w.length_cm, w.species.number("adult_length_cm"))) for w in company]
    cases = [("now", question.residents), ("with the wishes", company), ("once all are grown", grown)]
    if not question.wishes:
        cases.pop(1)
    return tuple(_load(when, some, question, rules) for when, some in cases)


def _load(when: str, company: Sequence[Wanted], question: Question, rules: Rules) -> LoadLine:
    found = load_of(company, question, rules)
    mass_g = math.fsum(w.count * w.species.mass_g(w.length_cm) for w in company)
    by_litre = found.per_litre(system_l(question))
    return LoadLine(when, mass_g, found.feed_g_d, found.tan_mg_d, by_litre, found.in_range)


def _additions(question: Question, tested_mg_l_d: float | None, rules: Rules) -> tuple[NextAddition, ...]:
    present = load_of(question.residents, question, rules).per_litre(system_l(question))
    found = spacing(
        filter_of(question),
        Releases((0.0,), present),
        water_of(question, rules),
        tested_mg_l_d=tested_mg_l_d,
    )
    if tested_mg_l_d is not None:
        return (_addition("as tested", found.ripe.largest_first_mg_l_d, question),)
    return (
        _addition("young", found.young.largest_first_mg_l_d, question),
        _addition("ripe", found.ripe.largest_first_mg_l_d, question),
    )


def _addition(which: str, added_mg_l_d: float, question: Question) -> NextAddition:
    ration = Ration()
    added_mg_d = added_mg_l_d * system_l(question)
    per_feed_mg = 1000.0 * tan_g_d_timmons2007(1.0, ration.protein_share)
    one_mg_d = ammonia_load([(_TEN_G, 1.0)], ration).tan_mg_d
    return NextAddition(which, added_mg_d, added_mg_d / per_feed_mg, math.floor(added_mg_d / one_mg_d))


def _ammonia(question: Question, rules: Rules) -> AmmoniaLine:
    water = water_of(question, rules)
    share = unionised_fraction(water)
    return AmmoniaLine(
        ph=water.ph,
        ph_told=question.ph is not None,
        unionised_share=share.value,
        four_days_mg_l=tan_limit_mg_l(water, Criterion.FOUR_DAYS).value,
        hour_mg_l=tan_limit_mg_l(water, Criterion.HOUR).value,
        in_range=share.in_range,
    )


def _drift(question: Question, company: Sequence[Wanted], rules: Rules) -> Drift:
    """Return what the whole company makes drift; sand that takes nitrate is not counted."""
    found, volume_l = load_of(company, question, rules), system_l(question)
    nitrate = _WEEK_D * nitrate_mg_l_d(found.tan_mg_d, volume_l)
    alkalinity = _WEEK_D * alkalinity_loss_dkh_d(found.per_litre(volume_l))
    changes = [(share, settled_mg_l(nitrate, share)) for share in WEEKLY_SHARES]
    return Drift(
        nitrate_mg_l=nitrate,
        nitrate_most_mg_l=_WEEK_D * nitrate_mg_l_d(found.ceiling_mg_d, volume_l),
        phosphate_mg_l=_WEEK_D * phosphate_mg_l_d_yellowtail2009(found.feed_g_d, volume_l),
        alkalinity_dkh=alkalinity,
        changes=tuple(
            ChangeLine(share, at.before_mg_l, at.after_mg_l, settled_mg_l(alkalinity, share).before_mg_l)
            for share, at in changes
        ),
    )


def _with_pumps(question: Question, company: Sequence[Wanted], rules: Rules) -> tuple[float, float]:
    """Return where the oxygen settles under a moving surface; weirs and skimmers would add to it. [mg/L]"""
    hard = _pumped_mg_l(question, company, USUAL.hard, rules["pumped_k600.low"], rules)
    easy = pumped_mg_l(question, company, rules)
    return hard, easy


def pumped_mg_l(question: Question, company: Sequence[Wanted], rules: Rules) -> float:
    """Return where the oxygen settles with good pumps and a light load on the bed. [mg/L]

    Parameters
    ----------
    question
        The tank.
    company
        Who lives in it, as long as told.
    rules
        What is assumed of pumps.
    """
    return _pumped_mg_l(question, company, USUAL.easy, rules["pumped_k600.high"], rules)


def _pumped_mg_l(
    question: Question, company: Sequence[Wanted], case: Case, k600_cm_h: float, rules: Rules
) -> float:
    fish = [(w.species.mass_g(w.length_cm), 1.0) for w in company for _ in range(w.count)]
    surface_m2, temperature_c = question.glass.footprint_m2, question.temperature_c
    tank = resting_tank(net_l(question), fish, surface_m2, temperature_c, question.salinity)
    filtered = oxygen_for_nitrification_mg_d(load_of(company, question, rules).tan_mg_d) / 24.0
    demand = case.fish_rate * tank.resting_mg_h + case.bed_mg_m2_h * surface_m2 + filtered
    uptake = oxygen_uptake_l_h(Aeration(surface_m2, k600_cm_h), temperature_c)
    return max(oxygen_balance(tank.volume_l, tank.full_mg_l, demand, uptake.value).settles_mg_l, 0.0)


def _assumed(question: Question, rules: Rules, tested_mg_l_d: float | None) -> tuple[str, ...]:
    area = filter_of(question).area_m2
    lines = [
        "food of 45 % protein; the energy budget of one anemonefish of 0.2 to 1.3 g, drawn out to all sizes",
        "grazers and fish that swim all day eat half as much again or twice as much",
    ]
    if tested_mg_l_d is None:
        lines.append(
            f"{area:g} m2 of film on rock, sand and medium, young or ripe; the dose test replaces it"
        )
    if question.ph is None:
        lines.append(f"pH {rules['usual_ph']:g}; at 8.4 only about half as much ammonia may be there")
    lines.append("a surface moved by pumps takes up oxygen at 10 to 30 cm/h; no weir or skimmer is counted")
    lines.append("no plants, corals or sand take nitrate up")
    return tuple(lines)
