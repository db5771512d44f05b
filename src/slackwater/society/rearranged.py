"""Many layouts of the rock judged for one company at once, for a search.

What the rock does not touch is worked out once: rates, days, draws, windows. What is left for each
layout runs compiled, one layout to a thread, and gives what `judge` gives at the same setting.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater import kernels, kernels_tank
from slackwater.kernels_course import Course, Windows
from slackwater.kernels_rock import Looks, Parties, Tank, judge_layouts
from slackwater.rules import Rules
from slackwater.society import attacks as atk
from slackwater.society.company import Situation
from slackwater.society.draws import draw
from slackwater.society.field import Rungs, _across, edge_for, ground_of, party_rates
from slackwater.society.harm import window_weights
from slackwater.society.judge import (
    Judgement,
    Settings,
    Span,
    _windows_of,
    awake,
    bites_between,
    judge,
    lengths_cm,
    tolerated_per_h,
)
from slackwater.society.recognition import LADDER_CM
from slackwater.society.residency import head_starts, known_since, present
from slackwater.society.use import _LEVELS, home_radius_cm
from slackwater.tank.cells import solids_of
from slackwater.tank.pieces import COLUMNS

Array = NDArray[np.float64]

_SIDES = {None: -1.0, "left": 0.0, "right": 1.0}
_SAME_DAY = 0.5
_LINES = 8
DRAWS = 6


@dataclass(frozen=True)
class Rearranging:
    """A company ready to be judged in many layouts; `verdict` is that of the layout as it stands."""

    verdict: Judgement
    tank: Tank
    parties: Parties
    looks: Looks
    course: Course
    windows: Windows

    @property
    def solids(self) -> Array:
        """The rows that no layout changes: raised sand and walls. [table of pieces]"""
        rock = self.verdict.situation.rockworks[0]
        return solids_of(self.verdict.situation.glass, rock)[len(rock.pieces) :]

    def chances(self, layouts: Iterable[Array]) -> Array:
        """Return each animal's chance of harm in each layout and, last, the worst kind's. [0 to 1]

        Parameters
        ----------
        layouts
            Rock tables with the same number of rows, see `tank.pieces.as_table`.

        Returns
        -------
        ndarray
            Too little room left out, shape (L, N + 1).
        """
        tables = np.stack([np.vstack([table, self.solids]) for table in layouts])
        tank = self.tank._replace(rocks=tables.shape[1] - len(self.solids))
        teams = max(min(kernels.threads(), len(tables)), 1)
        out = np.zeros((len(tables), len(self.windows.kind) + 1))

        def judged(team: int) -> None:
            mine = np.zeros_like(out[team::teams])
            share = np.ascontiguousarray(tables[team::teams])
            judge_layouts(tank, self.parties, self.looks, self.course, self.windows, share, mine)
            out[team::teams] = mine

        with ThreadPoolExecutor(teams) as pool:
            list(pool.map(judged, range(teams)))
        return out


def rearranging(
    situation: Situation, rules: Rules, settings: Settings | None = None, edge_cm: float | None = None
) -> Rearranging:
    """Return a company ready to be judged in many layouts of its rock.

    Parameters
    ----------
    situation
        The company; its first layout is the one that stands.
    rules
        The coefficients.
    settings
        Draws and seed; coarse cells and 6 draws if left out.
    edge_cm
        Cell edge; that of the setting if left out. [cm]
    """
    settings = settings or Settings(fine=False, draws=DRAWS)
    alone = replace(situation, rockworks=situation.rockworks[:1])
    verdict = judge(alone, settings, rules)
    edge = edge_cm or edge_for(alone, fine=settings.fine)
    course = _course(verdict, rules)
    parties = _parties(verdict, rules)
    return Rearranging(
        verdict=verdict,
        tank=_tank(alone, edge),
        parties=parties,
        looks=_looks(verdict, parties, course, edge, rules),
        course=course,
        windows=_windows(verdict),
    )


def _grid(situation: Situation, edge_cm: float) -> tuple[NDArray[np.int64], Array, Array, Array]:
    """Return steps, water, columns and the cells without rock of a grid, as `tank.cells.cut` has them."""
    glass, rock = situation.glass, situation.rockworks[0]
    size = np.array([glass.length_cm, glass.width_cm, glass.height_cm])
    counts = np.ceil(size / edge_cm - 1e-9).astype(np.int64)
    columns = np.ascontiguousarray(glass.hull.columns_cm(edge_cm / _LINES, _LINES * int(counts[0])))
    water = np.array([glass.height_cm, rock.sand_cm, edge_cm])
    fixed = np.ascontiguousarray(solids_of(glass, rock)[len(rock.pieces) :])
    return counts, water, columns, kernels_tank.free_water(counts, water, columns, fixed)


def _tank(situation: Situation, edge_cm: float) -> Tank:
    """Return both grids; candidate homes stand as far apart as in the layout that stands."""
    rock = situation.rockworks[0]
    coarse_edge = ground_of(situation.glass, rock, edge_cm).sites.edge_cm
    return Tank(*_grid(situation, edge_cm), *_grid(situation, coarse_edge), len(rock.pieces))


def _parties(verdict: Judgement, rules: Rules) -> Parties:
    situation, leaders = verdict.situation, verdict.fields[0].leaders
    taste = [
        (
            *_LEVELS[a.species.word("level")],
            a.species.number("structure_use"),
            _SIDES[a.party.side] if situation.divider_cm is not None else -1.0,
        )
        for a in leaders
    ]
    radius = np.array([home_radius_cm(a, rules) for a in leaders])
    law = (
        rules["structure_reach_cm"],
        situation.divider_cm or 0.0,
        rules["home_choice"],
        rules["home_pressure"],
        rules["retreat"],
        rules["quiet_per_h"],
        rules["view_full"],
        rules["nest_cm"] ** 2,
    )
    return Parties(
        np.array(taste),
        (1.0 / (2.0 * radius**2)).astype(np.float32),
        _arrivals(verdict, rules),
        np.array(law),
    )


def _arrivals(verdict: Judgement, rules: Rules) -> Array:
    """Return the rates by which those already there count when another settles, [i, j]. [1/h]"""
    situation = verdict.situation
    rate = party_rates(situation, verdict.fixed, situation.horizon_days, rules)
    day = np.array([p.day for p in situation.parties])
    before = np.where(
        day[:, None] < day[None, :], 1.0, np.where(day[:, None] == day[None, :], _SAME_DAY, 0.0)
    )
    np.fill_diagonal(before, 0.0)
    return np.asarray(rate * before)


def _looks(verdict: Judgement, parties: Parties, course: Course, edge_cm: float, rules: Rules) -> Looks:
    """Return the reaches that matter: those of who attacks or bites whom, and full view of all."""
    rungs = Rungs.of(verdict.fields[0].leaders, rules)
    needed = _needed(parties, course)
    pairs = [(int(i), int(j)) for i, j in np.argwhere(needed)]
    found = sorted({(int(rungs.lower[i, j]) + up, i) for i, j in pairs for up in (0, 1)})
    size, last = len(needed), len(LADDER_CM) - 1
    used = sorted({r for r, _ in found} | {last})
    columns = [(used.index(r), i) for r, i in found] + [(used.index(last), i) for i in range(size)]
    lower, upper = np.full((size, size), -1), np.full((size, size), -1)
    for i, j in pairs:
        low = int(rungs.lower[i, j])
        lower[i, j], upper[i, j] = found.index((low, i)), found.index((low + 1, i))
    situation = verdict.situation
    shown = rules["sheet_display"] if situation.divider_clear else 0.0
    square = np.array([LADDER_CM[r] for r in used]) ** 2
    width = square + edge_cm**2 / 3.0
    return Looks(
        np.stack([width, (square / width) ** 1.5], axis=1),
        np.array(columns, dtype=np.int64),
        lower,
        upper,
        rungs.share,
        len(found),
        _across(situation, shown),
    )


def _needed(parties: Parties, course: Course) -> NDArray[np.bool_]:
    """Return which parties may ever trouble which, [i, j]."""
    size = len(parties.steep)
    needed = (parties.arrive > 0.0) | (course.stage_rate > 0.0).any(axis=0)
    harmed = (course.rate > 0.0).any(axis=(0, 1)) | (course.bites > 0.0)
    for i, j in np.argwhere(harmed):
        needed[course.party[i], course.party[j]] = True
    return np.asarray(needed.reshape(size, size))


def _course(verdict: Judgement, rules: Rules) -> Course:
    situation, fixed = verdict.situation, verdict.fixed
    animals = situation.animals
    stages, stage_of = _stages(verdict, rules)
    strength, temper = draw(animals, verdict.settings.draws, verdict.settings.seed, rules)
    made = [_moment(verdict, span, day, (strength, temper), rules) for span, day in verdict.moments]
    numbers = {id(span): stage for span, stage in zip(verdict.spans, stage_of, strict=True)}
    most = np.minimum(rules["budget_tempers"] * fixed.temper_per_h * temper, rules["budget_per_h"])
    return Course(
        stage_rate=stages,
        party=np.array([a.party_index for a in animals], dtype=np.int64),
        stage=np.array([numbers[id(span)] for span, _ in verdict.moments], dtype=np.int64),
        here=np.array([span.here for span, _ in verdict.moments], dtype=float),
        rate=np.stack([rate for rate, _, _ in made]),
        over=np.stack([over for _, over, _ in made]),
        most=np.broadcast_to(most, temper.shape).astype(float),
        breeding=np.asarray(fixed.breeding, dtype=float),
        weapon=np.asarray(fixed.weapon, dtype=float),
        bites=bites_between(situation, rules),
        tolerated=np.stack([tolerated for _, _, tolerated in made]),
        law=np.array([rules["kappa"], rules["bite_meet"], rules["third_most"], rules["breeding"] - 1.0]),
    )


def _stages(verdict: Judgement, rules: Rules) -> tuple[Array, list[int]]:
    """Return the rates between parties of each stage [1/h], and the stage of each span."""
    situation, leaders = verdict.situation, verdict.fields[0].leaders
    rates: list[Array] = []
    stage_of: list[int] = []
    known: dict[bytes, int] = {}
    for span in verdict.spans:
        there = np.array([present(a, situation, span.start) for a in leaders], dtype=float)
        rate = party_rates(situation, verdict.fixed, span.start, rules) * there[:, None]
        number = known.setdefault(rate.tobytes(), len(rates))
        if number == len(rates):
            rates.append(rate)
        stage_of.append(number)
    return np.stack(rates), stage_of


def _moment(
    verdict: Judgement, span: Span, day: float, drawn: tuple[Array, Array], rules: Rules
) -> tuple[Array, Array, Array]:
    """Return rates without nest and encounter, dominance in view, and what is tolerated, of one moment."""
    situation, fixed, (strength, temper) = verdict.situation, verdict.fixed, drawn
    start, met = head_starts(situation, span.start, rules), known_since(situation, span.start)
    size = lengths_cm(situation.animals, day)[None, :] * strength
    ratio = np.log(size[:, :, None] / size[:, None, :])
    won = atk.contest(ratio, start - start.T, fixed.slope, rules)
    lead = 1.0 + (rules["head_start_most"] - 1.0) * start
    here = span.here.astype(float)
    still = fixed.base * lead * atk.settled(day - met, fixed.accepted, rules) * here[:, None] * here[None, :]
    np.fill_diagonal(still, 0.0)
    over = 1.0 / (1.0 + np.exp(-(ratio - rules["third_ratio"]) / rules["third_width"]))
    in_view = over * awake(fixed)[None, :, None]
    return still * won * temper[:, :, None], in_view, tolerated_per_h(situation.animals, fixed, day, rules)


def _windows(verdict: Judgement) -> Windows:
    """Return each animal's windows as weights on its hazards, with the slow hazards summed up."""
    situation, hazards = verdict.situation, verdict.hazards
    rows = [
        [window_weights(hazards.days, w) for w in _windows_of(a, situation, hazards.days)]
        for a in situation.animals
    ]
    most = max(len(row) for row in rows)
    weight = np.zeros((len(rows), most, len(hazards.days)))
    slow, cramped = np.full((len(rows), most), -1.0), np.zeros((len(rows), most))
    for n, row in enumerate(rows):
        for w, integral in enumerate(row):
            weight[n, w] = integral
            slow[n, w] = sum(float(integral @ values[:, n]) for values in hazards.slow.values())
            cramped[n, w] = float(integral @ hazards.slow["cramped"][:, n])
    names = list(verdict.species)
    kind = np.array([names.index(a.species.name) for a in situation.animals], dtype=np.int64)
    return Windows(weight, slow, cramped, kind)


def padded(tables: Sequence[Array]) -> list[Array]:
    """Return rock tables with the same number of rows: short ones get pieces that nothing meets."""
    most = max(len(table) for table in tables)
    return [np.vstack([table, _nowhere(most - len(table))]) for table in tables]


def _nowhere(count: int) -> Array:
    """Return rows of pieces so far away and small that nothing meets them."""
    row = np.array([0.0, -1e4, -1e4, -1e4, 0.1, 0.1, 0.1, 1.0, 0.0, 1.0, 0.0])
    return np.tile(row, (count, 1)).reshape(-1, COLUMNS)
