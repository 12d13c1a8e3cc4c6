"""The states along the runs for one band of gaps: what may hang up to each run.

Loads by the metre, and which blocks of a section hang on the middle one of three runs, are read
leniently; a stricter walk knows of most such sections which head allows which middle.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from layouts.search.chain import START, Chain, Joint, Part, State, between
from layouts.search.sums import Rows, either, filled, moved, widened, window

Band = tuple[int, int]


@dataclass(frozen=True)
class Step:
    """From a state before a run to one after it: the run holds base + after - before."""

    source: State
    target: State
    base: Part
    changes: int
    after: Rows


class Walk:
    """The states along the runs for one band of gaps."""

    def __init__(
        self,
        chain: Chain,
        band: Band,
        within: list[dict[State, Rows]] | None = None,
    ) -> None:
        self.chain, self.task, self.band, self.within = chain, chain.task, band, within
        self.runs = range(len(self.task.runs))
        self.least = band[0]
        self.rooms = [self._room(r) for r in self.runs]
        need = sum(2 * (wide + self.least * many) for wide, many in chain.total)
        self.slack = sum(self.rooms) - need
        self.joint: dict[tuple[int, State], Joint] = {}
        self.steps: list[dict[State, list[Step]]] = []
        self.states = self._followed()

    @property
    def denied(self) -> bool:
        """Tell whether it is certain that no hang has all its gaps in the band."""
        return between(len(self.chain.items)) not in self.states[-1]

    def _ends_of(self, r: int) -> int:
        """Return how many half gaps a run's ends take."""
        rule, run = self.task.problem.arrangement, self.task.runs[r]
        if rule.ends == "free" and self.least > rule.min_gap_mm:
            return 4
        return run.left + run.right

    def _room(self, r: int) -> int:
        """Return twice the width that a run takes at most, each piece counted with one gap."""
        length = self.task.runs[r].length_mm
        return max(0, 2 * length - self.least * (self._ends_of(r) - 2))

    def _widths(self, r: int, count: int, changes: int) -> Part:
        """Return the least and largest sum of widths that gives a run a gap in its band."""
        rule = self.task.problem.arrangement
        least, most = self.band
        twice = 2 * self.task.runs[r].length_mm - 2 * (rule.section_gap_mm or 0) * changes
        units = 2 * (count - changes) - 2 + self._ends_of(r)
        high = (twice - least * units) // 2
        if rule.ends == "free" or (rule.max_gap_mm is not None and most >= rule.max_gap_mm):
            return 1, high
        return max(1, -(-(twice - (most + 1) * units + 1) // 2)), high

    def _followed(self) -> list[dict[State, Rows]]:
        """Return the states before all runs and after each, as far as there are any."""
        found: list[dict[State, Rows]] = [{between(0): [1]}]
        for r in self.runs:
            before = found[-1]
            after: dict[State, Rows] = {}
            steps: dict[State, list[Step]] = {}
            for step in self._steps(r, before):
                steps.setdefault(step.target, []).append(step)
                rows = before[step.source]
                middle = self.within and step.source == step.target
                joint = self._over_three(r, step, rows) if middle else None
                if joint is None:
                    _join(after, step.target, self._led_to(r, step, rows))
                else:
                    _join(after, step.target, self._through(r, step, joint))
            if self.least < self.task.needed_mm[r]:
                for state in [state for state in before if state[2] != r]:
                    _join(after, state, before[state])
            left = sum(self.rooms[r + 1 :])
            kept = {
                state: self._with_room(state, rows, left)
                for state, rows in after.items()
                if self._within_pins(r, state)
            }
            if self.within:
                kept = _both(kept, self.within[r + 1])
            self.steps.append(steps)
            found.append({state: rows for state, rows in kept.items() if any(rows)})
            if not found[-1]:
                break
        return found

    def stricter(self) -> Walk:
        """Return the walk along states that lead to the end, strict about sections over three
        runs."""
        if self.denied:
            return self
        within = list(self.states)
        for r in reversed(self.runs):
            before = within[r]
            back: dict[State, Rows] = {}
            for state, rows in within[r + 1].items():
                for step in self.steps[r].get(state, ()):
                    _join(back, step.source, self._led_from(r, step, before[step.source], rows))
            for state in [s for s in before if s in within[r + 1] and s[2] != r]:
                if self.least < self.task.needed_mm[r]:
                    _join(back, state, within[r + 1][state])
            within[r] = _both(back, before)
        return Walk(self.chain, self.band, within)

    def _with_room(self, state: State, rows: Rows, left: int) -> Rows:
        """Return the sums after which all that is still to hang fits the runs that are left."""
        wide = sum(w for w, _ in self.chain.total[state[0] :])
        many = sum(c for _, c in self.chain.total[state[0] :])
        kept = []
        for c, row in enumerate(rows):
            low = max(0, -(-(2 * (wide + self.least * (many - c)) - left) // 2))
            kept.append(row >> low << low)
        return kept

    def _within_pins(self, r: int, state: State) -> bool:
        """Tell whether what is fixed in place behind a run lies within its own section."""
        pins = self.chain.pins.get(r, ())
        return all(state[0] == pin or state == between(pin + 1) for pin in pins)

    def _steps(self, r: int, states: dict[State, Rows]) -> Iterator[Step]:
        for state in states:
            s, _, end = state
            if end == START:
                yield from self._onward(r, state, s, (0, 0))
            elif end > r:
                yield Step(state, state, (0, 0), 0, self.chain.sums_after(r, state))
            else:
                yield from self._onward(r, state, s + 1, self.chain.total[s])

    def _onward(self, r: int, source: State, first: int, base: Part) -> Iterator[Step]:
        """Yield steps on which sections from `first` on follow what the run holds already."""
        items, total = self.chain.items, self.chain.total
        apart = self.task.problem.arrangement.section_gap_mm is not None
        whole, here = 0, 1 if base[1] else 0
        for t in range(first, len(items) + 1):
            if t > first:
                wide, many = total[t - 1]
                whole += wide
                if whole > self.task.runs[r].length_mm:
                    return
                if len(self.chain.bears[t - 1][r]) < len(items[t - 1]):
                    return
                base, here = (base[0] + wide, base[1] + many), here + 1
            if here:
                yield Step(source, between(t), base, (here - 1) * apart, [1])
            for end in self._ends(r, t) if t < len(items) else ():
                target = t, r, end
                after = self.chain.sums_after(r, target)
                yield Step(source, target, base, here * apart, after)

    def _ends(self, r: int, s: int) -> Iterator[int]:
        """Yield the runs where a section that begins on run r may end."""
        wide, many = self.chain.total[s]
        between = 0
        for end in self.runs[r + 1 :]:
            if between - self.slack > 2 * (wide + self.least * many):
                return
            yield end
            between += self.rooms[end]

    def _led_to(self, r: int, step: Step, rows: Rows) -> Rows:
        """Return the sums that a step leads to."""
        found = [0] * len(step.after)
        wide, many = step.base
        for c, row in filled(rows):
            for d, after in filled(step.after):
                count = many + d - c
                low, high = self._widths(r, count, step.changes) if count > 0 else (1, 0)
                if low <= high:
                    found[d] |= moved(widened(row, high - low), low - wide) & after
        return found

    def _led_from(self, r: int, step: Step, before: Rows, rows: Rows) -> Rows:
        """Return the sums from which a step leads to others."""
        found = [0] * len(before)
        wide, many = step.base
        for d, row in filled([a & b for a, b in zip(rows, step.after, strict=True)]):
            for c, earlier in filled(before):
                count = many + d - c
                low, high = self._widths(r, count, step.changes) if count > 0 else (1, 0)
                if low <= high:
                    found[c] |= moved(widened(row, high - low), wide - high) & earlier
        return found

    def _over_three(self, r: int, step: Step, heads: Rows) -> Joint | None:
        """Return what a section over three runs may have hung up to the middle one."""
        s, began, end = step.source
        if (began, end) != (r - 1, r + 1) or began < 0:
            return None
        wide, many = self.chain.total[s]
        spare = (2 * (wide + self.least * many) - self.rooms[r] + self.slack) // 2
        joint = self.chain.over_three(r, step.source, heads, spare, self.least)
        if joint is not None:
            self.joint[r, step.source] = joint
        return joint

    def _through(self, r: int, step: Step, joint: Joint) -> Rows:
        """Return the sums that the middle one of three runs leads to, its head known."""
        found = [0] * len(step.after)
        for (wide, c), rows in joint.items():
            for d, row in filled(rows):
                low, high = self._widths(r, d - c, 0) if d > c else (1, 0)
                found[d] |= row & window(wide + low, wide + high)
        return found

    def sources(self, r: int, state: State, at: Part) -> Iterator[tuple[Step, int, int]]:
        """Yield steps to a state, with the count and the widths that they may come from."""
        before = self.states[r]
        for step in self.steps[r].get(state, ()):
            if not step.after[at[1]] >> at[0] & 1:
                continue
            wide, many = step.base
            for c, row in filled(before[step.source]):
                count = many + at[1] - c
                low, high = self._widths(r, count, step.changes) if count > 0 else (1, 0)
                row &= window(wide + at[0] - high, wide + at[0] - low)
                if step.source == step.target and (r, step.source) in self.joint:
                    row &= self._heads(r, step.source, c, at)
                if row:
                    yield step, c, row

    def _heads(self, r: int, state: State, count: int, at: Part) -> int:
        """Return the widths of heads of a section over three runs that lead to a sum."""
        return sum(
            1 << wide
            for (wide, many), rows in self.joint[r, state].items()
            if many == count and rows[at[1]] >> at[0] & 1
        )


def _join(states: dict[State, Rows], state: State, rows: Rows) -> None:
    states[state] = either(states[state], rows) if state in states else rows


def _both(one: dict[State, Rows], other: dict[State, Rows]) -> dict[State, Rows]:
    """Return the states that both hold, with the sums that both hold."""
    found = {}
    for state in [state for state in one if state in other]:
        rows = [a & b for a, b in zip(one[state], other[state], strict=True)]
        if any(rows):
            found[state] = rows
    return found
