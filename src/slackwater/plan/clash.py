"""When no order is bearable: who clashes, and which single change would settle it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import Clash
from slackwater.plan.room import too_large_now
from slackwater.plan.sequence import best_sequence, coarse, fixed_steps, spaced
from slackwater.rules import Rules
from slackwater.society.judge import Judgement, Lot
from slackwater.society.space import room_of, shortfall
from slackwater.taxa.facts import Species, load_facts

_MOST_TRIED = 14


def bearable(verdict: Judgement, rules: Rules) -> bool:
    """Return whether every animal's lot is bearable and nobody is eaten."""
    return not verdict.any_eaten and verdict.worst_p < rules["bearable"]


def without(question: Question, keys: frozenset[str]) -> Question:
    """Return the question without some wishes."""
    return replace(question, wishes=tuple(w for w in question.wishes if w.key not in keys))


def judged(question: Question, rules: Rules) -> Judgement:
    """Return a quick judgement of a question in its best order."""
    steps = fixed_steps(question) if question.course.steps else best_sequence(question, rules).steps
    return coarse(question, spaced(question, steps, rules["spacing_days"]), rules)


def trouble(verdict: Judgement) -> tuple[str, str, str]:
    """Return attacker, victim (scientific names) and the outcome that makes the trouble."""
    for (hunter, prey), p in sorted(verdict.eaten.items(), key=lambda pair: -pair[1]):
        if p >= verdict.rules["eaten_from"]:
            return hunter, prey, "eaten"
    lot = max(verdict.lots, key=lambda one: float(verdict.community_draws(one).mean()))
    return _blame(lot), lot.animal.species.name, _outcome(lot)


def _blame(lot: Lot) -> str:
    return max(lot.by, key=lambda s: lot.by[s]) if max(lot.by.values()) > 0.0 else ""


def _outcome(lot: Lot) -> str:
    causes = {k: v for k, v in lot.harm.items() if k != "cramped"}
    return max(causes, key=lambda k: causes[k])


@dataclass(frozen=True)
class Bearable:
    """The part of the wishes that can live in peace, and why the rest stays out."""

    question: Question
    left_out: tuple[Wanted, ...]
    clashes: tuple[Clash, ...]


def largest_bearable(question: Question, rules: Rules) -> Bearable:
    """Return the question with as few wishes left out as it takes, the least dear first.

    Those that the tank is too small for at once stay out first. Then each turn names the trouble
    of the best order and leaves out the wish whose absence settles it; among several, the least
    dear to the keeper.
    """
    found: list[tuple[str, str, str, tuple[Wanted, ...]]] = []
    large = too_large_now(question, rules)
    current = without(question, frozenset(w.key for w in large))
    while current.wishes:
        verdict = judged(current, rules)
        if bearable(verdict, rules):
            break
        attacker, victim, outcome = trouble(verdict)
        out = _whom_to_leave(current, verdict, (attacker, victim), rules)
        found.append((attacker, victim, outcome, (out,) if out else ()))
        if out is None:
            break
        current = without(current, frozenset({out.key}))
    left = (*large, *(wanted for *_, out in found for wanted in out))
    clashes = tuple(_clash(question, current, *what, rules=rules) for what in found)
    no_room = tuple(_no_room(current, wanted, rules) for wanted in large)
    return Bearable(current, left, (*no_room, *clashes))


def _no_room(kept: Question, wanted: Wanted, rules: Rules) -> Clash:
    """Return that a tank is too small for a wish from the first day on, with replacements."""
    name, settle = wanted.species.common_name, _in_its_place(kept, wanted, rules)
    said = no_room_sentence(wanted, kept)
    later = f"Or come back for {name} with the larger tank."
    return Clash((wanted.key,), said, (f"Leave out {name}.", *settle, later), (name,))


def no_room_sentence(wanted: Wanted, question: Question) -> str:
    """Return that a tank is too small for a wish from the first day on, with the figures."""
    species, glass = wanted.species, question.glass
    need = f"{species.number('min_length_cm'):.0f} cm and {species.number('min_volume_l'):.0f} L"
    adult = f"an adult of {species.number('adult_length_cm'):.0f} cm"
    has = f"this one has {glass.length_cm:.0f} cm and {glass.volume_l:.0f} L"
    said = (
        f"{species.common_name} is too large for this tank from the first day: {adult} wants {need}; {has}."
    )
    return said[:1].upper() + said[1:]


def _in_its_place(kept: Question, wanted: Wanted, rules: Rules) -> list[str]:
    others = instead_of(kept, wanted, rules)
    name = wanted.species.common_name
    return [f"Or take {other.common_name} ({other.name}) in place of {name}." for other in others]


def _whom_to_leave(
    question: Question, verdict: Judgement, pair: tuple[str, str], rules: Rules
) -> Wanted | None:
    involved = [w for w in question.wishes if w.species.name in pair]
    if not involved:
        return None
    tried = []
    for wanted in involved:
        rest = judged(without(question, frozenset({wanted.key})), rules)
        tried.append((not bearable(rest, rules), wanted.wish, round(rest.worst_p, 3), wanted))
    best = min(tried, key=lambda t: t[:3])
    before = (not bearable(verdict, rules), round(verdict.worst_p, 3))
    return best[3] if (best[0], best[2]) < before or verdict.any_eaten else None


def _clash(
    question: Question,
    kept: Question,
    attacker: str,
    victim: str,
    outcome: str,
    out: tuple[Wanted, ...],
    *,
    rules: Rules,
) -> Clash:
    """Return a clash in words, with replacements that the rest of the plan can bear."""
    facts = load_facts()
    who = facts.species(attacker).common_name if attacker else "no one"
    whom = facts.species(victim).common_name
    said = {
        "eaten": f"{who} would eat {whom}; order, rock and feeding do not change that.",
        "fought": f"{who} would give {whom} no peace, in any order of release.",
        "bitten": f"{who} bites {whom} by habit; order and rock do not change that.",
        "jumped": f"{whom} would jump out of a tank without a lid.",
        "outcompeted": f"{whom} would be too slow at the food beside the others.",
        "unmet need": f"{whom} would lack something it needs: sand, cover, host, company or food.",
    }.get(outcome, f"{whom} would not do well here: {outcome}.")
    settle = [f"Leave out {w.species.common_name}." for w in out]
    if out and outcome == "jumped":
        settle += _by_a_lid(kept, out, rules)
    for wanted in out:
        settle += _in_its_place(kept, wanted, rules)
    keys = tuple(
        w.key for w in (*question.residents, *question.wishes) if w.species.name in {attacker, victim}
    )
    if not out:
        settle.append("This is between animals already there: another home for one of them.")
    names = tuple(dict.fromkeys(name for name in (who, whom) if attacker or name == whom))
    return Clash(keys, said[:1].upper() + said[1:], tuple(settle), names)


def _by_a_lid(kept: Question, out: tuple[Wanted, ...], rules: Rules) -> list[str]:
    """Return that a lid would do for animals that would jump, if it would."""
    keeping = replace(kept.keeping, lid=True)
    lidded = replace(kept, wishes=(*kept.wishes, *out), keeping=keeping)
    if not bearable(judged(lidded, rules), rules):
        return []
    return [f"Or cover the tank without gaps: then {out[0].species.common_name} can come."]


def instead_of(question: Question, wanted: Wanted, rules: Rules, most: int = 2) -> list[Species]:
    """Return animals that could take the place of a wish left out: like it, and bearable here."""
    facts = load_facts()
    here = {w.species.name for w in (*question.residents, *question.wishes)}
    room = room_of(question.glass)
    roomy = (facts.species(n) for n in facts.species_names if n not in here)
    near = sorted(
        (s for s in roomy if shortfall(s, room) <= rules["space_grace"]),
        key=lambda s: (-_alike(s, wanted.species), s.name),
    )
    found: list[Species] = []
    for species in near[:_MOST_TRIED]:
        swapped = replace(wanted, species=species, length_cm=species.number("sale_length_cm"))
        wishes = (*question.wishes, swapped)
        if bearable(judged(replace(question, wishes=wishes), rules), rules):
            found.append(species)
        if len(found) >= most:
            break
    return found


def _alike(a: Species, b: Species) -> float:
    """Return how well one animal fills the place of another: company, level, size, colour. [-]"""
    same = sum(a.word(trait) == b.word(trait) for trait in ("level", "home_kind", "form", "activity"))
    sizes = sorted((a.number("adult_length_cm"), b.number("adult_length_cm")))
    colours = len(_colours(a) & _colours(b))
    return same + 2.0 * sizes[0] / sizes[1] + colours + (a.family == b.family)


def _colours(species: Species) -> set[str]:
    return {part.split(":")[0].strip() for part in species.text("colours").split(";") if part}
