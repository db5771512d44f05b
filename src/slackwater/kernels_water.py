"""The compiled loop that follows nitrogen through a tank: a Rosenbrock method of order four.

The state is (A, B, N, C_A, C_B, R): ammonia, nitrite and nitrate, what ammonia and nitrite
oxidisers could use in a day, and nitrogen taken out. The coefficients are those of RODAS, section
IV.10 of [hairer1996], from memory; a test measures their order. The Jacobian is blockwise
triangular (A with C_A, then B with C_B, then N, then R), so every stage is solved in closed form.
Sums A + B + N + R are linear, and such a method keeps them to rounding.

`organisms` has a row for each of the two groups: growth [1/d], decay [1/d], half-saturation [mg/L],
share left by oxygen [1], largest capacity [mg/(L d)]. `habits` holds removal of nitrate [1/d], swing
of the daily wave of the load [1], its peak [d] and the relative tolerance.
"""

from typing import Any

import numpy as np

from slackwater.kernels import Doubles, loop

_FIRST_STEP_D = 1e-3
_SHORTEST_D = 1e-9
_LONGEST_D = 10.0
_LONGEST_IN_A_WAVE_D = 0.25
_TURN = 2.0 * np.pi

_LAST_STAGE = 5
_GAMMA = 0.25
_A = np.array(
    [
        [0.0, 0.0, 0.0, 0.0, 0.0],
        [1.544, 0.0, 0.0, 0.0, 0.0],
        [0.9466785280815826, 0.2557011698983284, 0.0, 0.0, 0.0],
        [3.314825187068521, 2.896124015972201, 0.9986419139977817, 0.0, 0.0],
        [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 0.0],
        [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 1.0],
    ]
)
_C = np.array(
    [
        [0.0, 0.0, 0.0, 0.0, 0.0],
        [-5.6688, 0.0, 0.0, 0.0, 0.0],
        [-2.430093356833875, -0.2063599157091915, 0.0, 0.0, 0.0],
        [-0.1073529058151375, -9.594562251023355, -20.47028614809616, 0.0, 0.0],
        [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160, 0.0],
        [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
    ]
)
_AT = np.array([0.0, 0.386, 0.21, 0.63, 1.0, 1.0])
_D = np.array([0.25, -0.1043, 0.1035, -0.0362, 0.0, 0.0])
# What counts as nothing, in units of the tolerance: the capacity of a filter starts tiny.
_NOTHING = np.array([0.01, 0.01, 0.1, 1e-4, 1e-4])


@loop()
def _share(level: float, half: float) -> float:
    """Return the share of the full rate; below zero it goes on straight, so that none is made."""
    return level / (half + max(level, 0.0))


@loop()
def _share_slope(level: float, half: float) -> float:
    return half / (half + max(level, 0.0)) ** 2


@loop()
def _load(day: float, mean: float, habits: Doubles) -> float:
    if habits[1] == 0.0:
        return mean
    return mean * (1.0 + habits[1] * np.cos(_TURN * (day - habits[2])))


@loop()
def _load_slope(day: float, mean: float, habits: Doubles) -> float:
    if habits[1] == 0.0:
        return 0.0
    return -mean * habits[1] * _TURN * np.sin(_TURN * (day - habits[2]))


@loop("void(f8[::1], f8, f8[:,::1], f8[::1], f8[::1])")
def slope(state: Doubles, load: float, organisms: Doubles, habits: Doubles, out: Doubles) -> None:
    """Fill `out` with the change of the state a day."""
    a, b = organisms[0], organisms[1]
    use_a = a[3] * _share(state[0], a[2])
    use_b = b[3] * _share(state[1], b[2])
    oxidised_a, oxidised_b = state[3] * use_a, state[4] * use_b
    removed = habits[0] * state[2]
    out[0] = load - oxidised_a
    out[1] = oxidised_a - oxidised_b
    out[2] = oxidised_b - removed
    out[3] = oxidised_a * a[0] * (1.0 - state[3] / a[4]) - a[1] * state[3]
    out[4] = oxidised_b * b[0] * (1.0 - state[4] / b[4]) - b[1] * state[4]
    out[5] = removed


@loop()
def _block(level: float, capacity: float, group: Doubles) -> tuple[float, float, float, float]:
    """Return how oxidation and growth change with the level, and with the capacity."""
    use = group[3] * _share(level, group[2])
    steep = capacity * group[3] * _share_slope(level, group[2])
    grown = steep * group[0] * (1.0 - capacity / group[4])
    growing = group[0] * use * (1.0 - 2.0 * capacity / group[4]) - group[1]
    return steep, use, grown, growing


@loop()
def _solve_pair(pivot: float, block: Any, first: float, second: float) -> tuple[float, float]:
    """Solve (pivot - J) u = r for one level and its capacity."""
    steep, use, grown, growing = block
    top, corner = pivot + steep, pivot - growing
    whole = top * corner + use * grown
    return (first * corner - use * second) / whole, (top * second + grown * first) / whole


@loop()
def _solve(pivot: float, blocks: Any, removal: float, right: Doubles, out: Doubles) -> None:
    """Solve (pivot - J) u = r, one block after another."""
    block_a, block_b = blocks
    out[0], out[3] = _solve_pair(pivot, block_a, right[0], right[3])
    oxidised_a = block_a[0] * out[0] + block_a[1] * out[3]
    out[1], out[4] = _solve_pair(pivot, block_b, right[1] + oxidised_a, right[4])
    oxidised_b = block_b[0] * out[1] + block_b[1] * out[4]
    out[2] = (right[2] + oxidised_b) / (pivot + removal)
    out[5] = (right[5] + removal * out[2]) / pivot


@loop()
def _at_stage(i: int, state: Doubles, stages: Doubles, out: Doubles) -> None:
    for k in range(6):
        total = state[k]
        for j in range(i):
            total += _A[i, j] * stages[j, k]
        out[k] = total


@loop()
def _try_step(begin: Any, step: float, organisms: Doubles, habits: Doubles, work: Any) -> float:
    """Fill `work` with the stages of one step and the state they lead to; return the load at its end."""
    day, load, state, first_slope = begin
    stages, there, right, after = work
    blocks = (_block(state[0], state[3], organisms[0]), _block(state[1], state[4], organisms[1]))
    per_step = 1.0 / step
    pivot, bend = per_step / _GAMMA, step * _load_slope(day, load, habits)
    now = load
    for i in range(6):
        if i == 0:
            right[:] = first_slope
        else:
            _at_stage(i, state, stages, there)
            if i < _LAST_STAGE:  # the last one stands where the one before it does
                now = _load(day + _AT[i] * step, load, habits)
            slope(there, now, organisms, habits, right)
        for j in range(i):
            for k in range(6):
                right[k] += _C[i, j] * per_step * stages[j, k]
        right[0] += _D[i] * bend
        _solve(pivot, blocks, habits[0], right, stages[i])
    for k in range(6):
        after[k] = there[k] + stages[5, k]
    return now


@loop()
def _error(state: Doubles, after: Doubles, stages: Doubles, tolerance: float) -> float:
    """Return the error of a step, over all but what was taken out, in units of what is allowed."""
    total = 0.0
    for k in range(5):
        allowed = tolerance * (_NOTHING[k] + max(abs(state[k]), abs(after[k])))
        total += (stages[5, k] / allowed) ** 2
    return np.sqrt(0.2 * total)


@loop()
def _between(x: float, step: float, ends: Any) -> float:
    """Return the cubic through two values with their slopes, at a share of the step."""
    low, high, low_slope, high_slope = ends
    near = (1.0 + 2.0 * x) * (1.0 - x) ** 2 * low + x * x * (3.0 - 2.0 * x) * high
    return near + step * x * (1.0 - x) * ((1.0 - x) * low_slope - x * high_slope)


@loop()
def _top(step: float, ends: Any) -> float:
    """Return where between two slopes, up and then down, the cubic is highest: a share of the step."""
    low, high, low_slope, high_slope = ends
    rise = (high - low) / step
    a = 3.0 * (low_slope + high_slope - 2.0 * rise)
    b = 2.0 * (3.0 * rise - 2.0 * low_slope - high_slope)
    root = np.sqrt(max(b * b - 4.0 * a * low_slope, 0.0))
    # Written so that nothing cancels, whatever the sign of a.
    return min(max(2.0 * low_slope / (root - b), 0.0), 1.0)


@loop()
def _note_peak(day: float, step: float, ends: Any, peak: Doubles) -> None:
    """Keep the highest value of a step and its day, if it beats what is kept."""
    if ends[1] > peak[0]:
        peak[0], peak[1] = ends[1], day + step
    if ends[2] > 0.0 > ends[3]:
        x = _top(step, ends)
        value = _between(x, step, ends)
        if value > peak[0]:
            peak[0], peak[1] = value, day + x * step


@loop()
def _note_step(day: float, step: float, states: Any, peak: Doubles, out: Any) -> int:
    """Keep peaks and what was asked for within a step; return the place of the next day asked for."""
    state, after, first_slope, last_slope = states
    days, kept, cursor = out
    for k in range(2):
        ends = (state[k], after[k], first_slope[k], last_slope[k])
        _note_peak(day, step, ends, peak[2 * k : 2 * k + 2])
    while cursor < days.shape[0] and days[cursor] <= day + step + _SHORTEST_D:
        x = (days[cursor] - day) / step
        for k in range(6):
            ends = (state[k], after[k], first_slope[k], last_slope[k])
            kept[cursor, k] = _between(x, step, ends)
        cursor += 1
    return cursor


@loop()
def _stretch(span: Any, state: Doubles, organisms: Doubles, habits: Doubles, out: Any) -> tuple[int, int]:
    """Follow the state, in place, from one event to the next; return the cursor and the steps taken."""
    day, stop, load, peak = span
    days, kept, cursor = out
    longest = _LONGEST_D if habits[1] == 0.0 else _LONGEST_IN_A_WAVE_D
    step, steps = _FIRST_STEP_D, 0
    first_slope, last_slope = np.empty(6), np.empty(6)
    work = (np.empty((6, 6)), np.empty(6), np.empty(6), np.empty(6))
    slope(state, _load(day, load, habits), organisms, habits, first_slope)
    while stop - day > _SHORTEST_D:
        step = min(step, stop - day)
        load_then = _try_step((day, load, state, first_slope), step, organisms, habits, work)
        error = _error(state, work[3], work[0], habits[3])
        if error <= 1.0 or step <= _SHORTEST_D:
            steps += 1
            slope(work[3], load_then, organisms, habits, last_slope)
            states = (state, work[3], first_slope, last_slope)
            cursor = _note_step(day, step, states, peak, (days, kept, cursor))
            state[:] = work[3]
            first_slope[:] = last_slope
            day += step
        grow = 0.9 * max(error, 1e-8) ** -0.25
        step = max(min(step * min(max(grow, 0.2), 6.0), longest), _SHORTEST_D)
    return cursor, steps


@loop("Tuple((f8[:,::1], f8[:,::1], i8))(f8[::1], f8[:,::1], f8[:,::1], f8[::1], f8[::1])")
def follow(
    start: Doubles, events: Doubles, organisms: Doubles, habits: Doubles, days: Doubles
) -> tuple[Doubles, Doubles, int]:
    """Follow a tank through its events; return states, peaks and the number of steps.

    An event is a row (day, load from then on [mg/(L d)], dose [mg/L], share of water changed); the first
    stands on the first day, and the method starts anew at each. States have a row for each of `days`,
    the value before an event that falls on it; peaks a row (A, day, B, day) for each event, counted up
    to the next.
    """
    state = start.copy()
    kept, peaks = np.zeros((days.shape[0], 6)), np.empty((events.shape[0], 4))
    cursor, steps = 0, 0
    for e in range(events.shape[0]):
        last = e + 1 == events.shape[0]
        begin, stop = events[e, 0], days[-1] if last else min(events[e + 1, 0], days[-1])
        changed = events[e, 3] * (state[0] + state[1] + state[2])
        state[:3] *= 1.0 - events[e, 3]
        state[5] += changed
        state[0] += events[e, 2]
        if e == 0 and days[0] <= begin:
            kept[0] = state
            cursor = 1
        peaks[e] = (state[0], begin, state[1], begin)
        span = (begin, stop, events[e, 1], peaks[e])
        cursor, taken = _stretch(span, state, organisms, habits, (days, kept, cursor))
        steps += taken
    return kept, peaks, steps
