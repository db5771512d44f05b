"""Why not everything: the smallest clashing sets of a wish list, with animals, rules and sources."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from slackwater.plan.choose_model import Bounds
from slackwater.plan.question import Wanted
from slackwater.plan.room import group_volume_l
from slackwater.plan.search import Search
from slackwater.plan.tank_rows import Shared
from slackwater.plan.trials import Trial, Wishes, stripped
from slackwater.taxa.facts import Species, load_facts, load_traits

_MOST_PAIRS = 24


@dataclass(frozen=True)
class Clashing:
    """Wishes that cannot be had together, none of which can be left out of the clash.

    `keys` and `names` are those of the wishes, `rule` the outcome or limit that they break,
    `sources` what it rests on, `by` the scientific names of whoever is to blame.
    """

    keys: tuple[str, ...]
    names: tuple[str, ...]
    rule: str
    sentence: str
    sources: tuple[str, ...]
    by: tuple[str, ...] = ()


def why_not(search: Search, known: Iterable[Wishes], chosen: Sequence[Wishes]) -> tuple[Clashing, ...]:
    """Return the smallest clashing sets that stand between a wish list and all of it.

    Parameters
    ----------
    search
        The list, its table, and the full model.
    known
        Clashes that the search has met.
    chosen
        The companies that were chosen, the best first.

    Notes
    -----
    Single wishes, then pairs, then handfuls that the full model refuses and bears again without
    any one of them; for a wish that is still unexplained, what it clashes with in the chosen
    company; then the budget and the releases. Nothing is listed that contains another clash, nor
    what larger company makes bearable in a choice, nor a wish that another size or sex can meet.
    """
    found = _alone(search)
    found += _without_supersets([*_pairs(search, found), *known], found)
    found += _with_the_chosen(search, found, chosen[0])
    told = [_told(search, core) for core in found if not any(core <= own for own in chosen)]
    return (*told, *_limits(search, search.bounds))


def _alone(search: Search) -> list[Wishes]:
    pool = search.pool
    grown = [n for n in range(len(pool.wishes)) if pool.outgrown[pool.residents + n]]
    fits = [n for n in range(len(pool.wishes)) if n not in grown]
    refused = [n for n in fits if search.trials.refuses(frozenset({n}))]
    return [frozenset({n}) for n in sorted((*grown, *refused))]


def _pairs(search: Search, alone: list[Wishes]) -> list[Wishes]:
    """Return the pairs that the table suspects and the full model refuses, the surest first."""
    pool, barred = search.pool, frozenset[int]().union(*alone)
    here, count = pool.residents, len(pool.wishes)
    blow = pool.swallowed + pool.eaten[:, _heads(search)] + (pool.fought + pool.bitten)[:, _heads(search)]
    suspects = sorted(
        ((-float(max(blow[here + i, here + j], blow[here + j, here + i])), i, j))
        for i in range(count)
        for j in range(i + 1, count)
        if not {i, j} & barred
    )
    pairs = (frozenset({i, j}) for _, i, j in suspects[:_MOST_PAIRS])
    return [pair for pair in pairs if search.trials.refuses(pair)]


def _heads(search: Search) -> list[int]:
    """Return the first animal of each line."""
    line = search.pool.line.tolist()
    return [line.index(n) for n in range(len(search.pool.outgrown))]


def _without_supersets(cores: Iterable[Wishes], smaller: list[Wishes]) -> list[Wishes]:
    kept: list[Wishes] = []
    for core in sorted(dict.fromkeys(cores), key=lambda c: (len(c), sorted(c))):
        if not any(other <= core for other in (*smaller, *kept)):
            kept.append(core)
    return kept


def _with_the_chosen(search: Search, found: list[Wishes], best: Wishes) -> list[Wishes]:
    """Return a clash for each left-out wish that no other clash names, with the chosen company."""
    more: list[Wishes] = []
    explained = frozenset[int]().union(*found)
    for n in range(len(search.pool.wishes)):
        whole = best | {n}
        if n in best or n in explained or len(more) >= _MOST_CROWDS:
            continue
        clashes = search.starves if search.starves(whole) else search.trials.refuses
        if clashes(whole):
            more.append(stripped(whole, clashes))
            explained |= more[-1]
    return more


_MOST_CROWDS = 3


def _told(search: Search, core: Wishes) -> Clashing:
    """Return a clash in words, by what makes it."""
    wishes = [search.pool.wishes[n] for n in sorted(core)]
    keys, names = tuple(w.key for w in wishes), tuple(w.species.common_name for w in wishes)
    single = wishes[0].species
    if len(core) == 1 and search.pool.outgrown[search.pool.residents + min(core)]:
        count = wishes[0].count
        who = (
            f"A grown {single.common_name} needs"
            if count == 1
            else f"{count} {single.common_name}, grown, need"
        )
        said = (
            f"{who} a tank of {single.number('min_length_cm'):.0f} cm and "
            f"{group_volume_l(single, count, search.rules):.0f} L."
        )
        return Clashing(keys, names, "outgrown", said, _says(single, "min_length_cm", "min_volume_l"))
    trial = search.trials.of(core)
    victim, by, outcome = trial.blamed()
    return Clashing(keys, names, outcome, *_words(search, trial, victim, by, outcome), by[:2])


_TRAITS = {
    "eaten": (("gape_ratio", "appetite_fish"), ("body_depth_ratio",)),
    "fought": (("temper_own", "intolerance"), ("boldness",)),
    "bitten": (("bites", "bite_rate"), ("swim_style", "fins")),
    "outcompeted": (("feeding_speed",), ("feeding_speed", "feeds_needed")),
    "unmet need": ((), ("needs_cover", "needs_sand_cm", "needs_host", "company_min")),
    "jumped": ((), ("jumps",)),
}


def _words(
    search: Search, trial: Trial, victim: str, by: tuple[str, ...], outcome: str
) -> tuple[str, tuple[str, ...]]:
    """Return the sentence of a clash and what it rests on."""
    facts, whom = load_facts(), _species_of(search, victim)
    attackers = [facts.species(name) for name in by[:2]]
    hunter, prey = _TRAITS.get(outcome, ((), ()))
    sources = [line for a in attackers for line in _says(a, *hunter)] + list(_says(whom, *prey))
    sources += [_rule(search, name) for name in _RULES.get(outcome, ())]
    return _sentence(trial, whom.common_name, [a.common_name for a in attackers], outcome), tuple(
        dict.fromkeys(sources)
    )


_RULES = {
    "eaten": ("eaten_from",),
    "fought": ("kappa", "x0_per_h"),
    "bitten": ("kappa", "x0_per_h"),
    "outcompeted": ("starve_per_d",),
}


def _sentence(trial: Trial, whom: str, by: list[str], outcome: str) -> str:
    who = " and ".join("its own kind" if name == whom else name for name in by) or "the others"
    beside = "beside so many" if len(trial.borne) > 1 else "with so few feeds"
    share = max((b.p for b in trial.borne if not b.is_bearable), default=0.0)
    said = {
        "eaten": f"{who} would eat {whom}; order, rock and feeding do not change that.",
        "fought": f"{whom} would be chased more than it should be by {who}, even in the best order.",
        "bitten": f"{whom} would be bitten by {who}, which does so by habit in any order.",
        "outcompeted": f"{whom} would go short at the food {beside}.",
        "unmet need": f"{whom} lacks here what it needs, whoever else is chosen.",
        "jumped": f"{whom} jumps, and there is no lid.",
    }.get(outcome, f"{whom} would not do well here: {outcome}.")
    told = f" Chance of harm over its worst 90 days: {100.0 * share:.0f} %." if share else ""
    return said[:1].upper() + said[1:] + told


def _species_of(search: Search, name: str) -> Species:
    """Return a species by its name or by the key of one of its lines."""
    lines = (*search.pool.question.residents, *search.pool.wishes)
    return next(w.species for w in lines if name in {w.key, w.species.name})


def _says(species: Species, *traits: str) -> tuple[str, ...]:
    told = []
    for trait in traits:
        known = species.known(trait)
        label, value = trait.replace("_", " "), known.fact.value.replace("_", " ")
        unit = load_traits()[trait].unit
        if unit not in {"", "-"}:
            label, value = label.rsplit(" ", 1)[0], f"{value} {unit}"
        told.append(f"{species.common_name}: {label} {value} ({known.says_who()})")
    return tuple(told)


def _rule(search: Search, name: str) -> str:
    row = search.rules.rule(name)
    return f"{row.meaning}: {row.value:g} {row.unit} ({row.kind} [{row.source}])".replace(" -", "")


def _limits(search: Search, bounds: Bounds) -> list[Clashing]:
    """Return the clashes with budget and releases, each with none to spare."""
    found, wishes = [], search.pool.wishes
    if bounds.spend is not None and sum(bounds.prices) > bounds.spend:
        over = _dearest(bounds.prices, bounds.spend)
        cost = sum(bounds.prices[n] for n in over)
        said = f"Together they cost {cost:.2f}; the budget is {bounds.spend:.2f}."
        found.append(_limit([wishes[n] for n in over], "budget", said))
    found += [clash for shared in bounds.shared if (clash := _too_much(search, shared))]
    groups = search.pool.question.groups
    if bounds.releases is not None and len(groups) > bounds.releases:
        first = [wishes[members[0]] for members in groups[: bounds.releases + 1]]
        said = f"There are {len(groups)} kinds to release and time for {bounds.releases} releases."
        found.append(_limit(first, "releases", said))
    return found


def _dearest(parts: Sequence[float], most: float) -> list[int]:
    """Return the wishes that take most, just as many as exceed a limit."""
    kept, taken = [], 0.0
    for n in sorted(range(len(parts)), key=lambda n: -parts[n]):
        if taken > most:
            break
        kept.append(n)
        taken += parts[n]
    return kept


_SHORT_OF = {
    "oxygen": ("grown, they would bring the oxygen below {kept:g} mg/L by night", "oxygen_kept"),
    "holes": ("there are not {kept:g} holes for each of them in this rock", "holes_each"),
}


def _too_much(search: Search, shared: Shared) -> Clashing | None:
    """Return the clash over something that all share, none where there is enough for everyone."""
    here, wishes = search.pool.residents, search.pool.wishes
    takes, most = shared.takes[here:], shared.left(here)
    if sum(takes) <= most:
        return None
    said, rule = _SHORT_OF[shared.rule]
    over = [wishes[n] for n in sorted(_dearest(takes, most))]
    names = " and ".join(w.species.common_name for w in over)
    beside = " beside those who live there" if any(shared.takes[:here]) else ""
    sentence = f"{names}{beside}: {said.format(kept=search.rules[rule])}."
    return replace(
        _limit(over, shared.rule, sentence[:1].upper() + sentence[1:]), sources=(_rule(search, rule),)
    )


def _limit(wishes: list[Wanted], rule: str, sentence: str) -> Clashing:
    names = tuple(w.species.common_name for w in wishes)
    return Clashing(tuple(w.key for w in wishes), names, rule, sentence, ("the tank file: limits",))
