"""How a roster may be changed: a dose, whole patches exchanged or put off, one turn sooner or later, a call made early."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from engine.plan.crew import Crew
from engine.plan.roster import ARRIVES, HANDS, IN_TIME, MIXER, OPENS, Roster, Timing
from engine.plan.work import NOBODY

Move = Callable[[Roster, Timing], Roster | None]
SHIFTS_S = (60.0, 200.0, 600.0)
EARLIER_S = (20.0, 60.0, 1e9)
LONGEST_CHAIN = 400
MOST_DRAGGED = 4


class Moves:
    """Changes to a roster of one pour. Every one hands back a new roster, or None where it finds nothing to change."""

    def __init__(self, crew: Crew, rng: Random) -> None:
        self.crew, self.work, self.rng = crew, crew.work, rng
        work = self.work
        self.free = [n for n in range(work.n_batches) if work.called_s[n] is None]
        self.dosed = [n for n in self.free if work.fixed_option[n] is None and len(work.options[n]) > 1]
        self.tasks = [self._tasks_of(batch) for batch in range(work.n_batches)]
        self.patches = [
            row
            for row in work.places_of_patch
            if row and all(work.called_s[work.batch[t]] is None for t in row)
        ]
        self.tasks_of_patch = [
            sorted({task for place in row for task in self.tasks[work.batch[place]]}) for row in self.patches
        ]
        self.lone_row = [row for row in self.patches if any(work.batch[t] in self.dosed for t in row)]
        self.before = [self._before(task) for task in range(work.n_tasks)]
        self.both = any(work.mixes[n] for n in work.finishers) and not work.alone
        self.weighted = self._weighted()

    def _tasks_of(self, batch: int) -> list[int]:
        work = self.work
        tasks = [batch]
        for place in work.places_of_batch[batch]:
            job = work.job[place]
            tasks += [place, *(work.passes_of_job[job] if job != NOBODY else ())]
        return tasks

    def _before(self, task: int) -> set[int]:
        """Tasks whose turn must come before."""
        work = self.work
        if task < work.n_batches:
            return set()
        if task < work.first_pass:
            return {other for other, _ in self.crew.waits_for[task]} | {work.batch[task]}
        places = set(work.places_of_job[work.job[task]])
        return places | ({self.crew.follows[task]} - {NOBODY})

    def _weighted(self) -> list[tuple[float, Move]]:
        shares: list[tuple[float, Move]] = [(0.60, self.mend), (0.15, self.nudge)]
        if self.patches:
            shares += [(0.07, self.put_off_patch)]
        if self.free:
            shares += [(0.08, self.put_off_batch)]
        if len(self.patches) > 1:
            shares += [(0.10, self.exchange_patches)]
        if self.dosed:
            shares += [(0.15, self.change_dose)]
        if self.both and self.free:
            shares += [(0.10, self.mix_apart)]
        return shares

    def change(self, roster: Roster, timing: Timing) -> Roster | None:
        """One change drawn by weight."""
        drawn = self.rng.random() * sum(weight for weight, _ in self.weighted)
        for weight, move in self.weighted:
            drawn -= weight
            if drawn < 0.0:
                return move(roster, timing)
        return None

    # by when people set out

    def _set_out(self, timing: Timing) -> list[float]:
        lead = self.work.approach
        return [0.0 if start is None else start - lead[task] for task, start in enumerate(timing.start)]

    def in_order(self, turns: list[int], keys: list[float]) -> list[int]:
        """The turns sorted by keys, every one after those it must follow."""
        wanted, sure = set(turns), set[int]()
        found: list[int] = []

        def add(first: int) -> None:
            """Not by calls within calls: a chain of tasks may be longer than those go."""
            sure.add(first)
            way = [(first, iter(self.before[first]))]
            while way:
                task, others = way[-1]
                other = next((one for one in others if one not in sure and one in wanted), None)
                if other is None:
                    found.append(task)
                    way.pop()
                else:
                    sure.add(other)
                    way.append((other, iter(self.before[other])))

        for task in sorted(turns, key=keys.__getitem__):
            if task not in sure:
                add(task)
        return found

    def _resorted(self, roster: Roster, keys: list[float]) -> Roster | None:
        turns = self.in_order(roster.turns, keys)
        since = _first_change(roster.turns, turns)
        return None if since is None else Roster(turns, roster.early_s, roster.option, since)

    def exchange_patches(self, roster: Roster, timing: Timing) -> Roster | None:
        one, two = self.rng.sample(range(len(self.patches)), 2)
        keys = self._set_out(timing)
        apart = keys[self.patches[one][0]] - keys[self.patches[two][0]]
        for task in self.tasks_of_patch[one]:
            keys[task] -= apart
        for task in self.tasks_of_patch[two]:
            keys[task] += apart
        return self._resorted(roster, keys)

    def put_off_patch(self, roster: Roster, timing: Timing) -> Roster | None:
        return self._put_off(roster, timing, self.rng.choice(self.tasks_of_patch))

    def put_off_batch(self, roster: Roster, timing: Timing) -> Roster | None:
        return self._put_off(roster, timing, self.tasks[self.rng.choice(self.free)])

    def _put_off(self, roster: Roster, timing: Timing, tasks: list[int]) -> Roster | None:
        keys = self._set_out(timing)
        by_s = self.rng.uniform(-1.0, 1.0) * self.rng.choice(SHIFTS_S)
        for task in tasks:
            keys[task] += by_s
        return self._resorted(roster, keys)

    # doses

    def change_dose(self, roster: Roster, timing: Timing) -> Roster | None:
        """Another dose for one batch or a patch; what opens sooner or later by it may move with it."""
        option = self._other_doses(roster.option)
        changed = [batch for batch in self.dosed if option[batch] != roster.option[batch]]
        if not changed:
            return None
        early_s = roster.early_s
        if self.rng.random() < 0.5:
            early_s = early_s[:]
            for batch in changed:
                early_s[batch] = self.rng.choice((0.0, self.longest_wait(batch, option)))
        turns, since = roster.turns, self._since(roster, changed)
        if self.rng.random() < 0.7:
            turns = self.in_order(turns, self._keys_redosed(roster, timing, option, changed))
            first = _first_change(roster.turns, turns)
            since = since if first is None else min(since, first)
        return Roster(turns, early_s, option, since)

    def _since(self, roster: Roster, batches: list[int]) -> int:
        return min(self._turn_of(roster, batch) for batch in batches)

    def _other_doses(self, before: list[int]) -> list[int]:
        option, kind = before[:], self.rng.random()
        if kind < 0.6:
            batch = self.rng.choice(self.dosed)
            option[batch] = self._near(batch, option[batch] + self.rng.choice((-1, 1)))
            return option
        row = [self.work.batch[place] for place in self.rng.choice(self.lone_row)]
        row = [batch for batch in row if batch in self.dosed]
        step, level = (
            self.rng.choice((-1, 1)),
            self.rng.randrange(max(len(self.work.options[n]) for n in row)),
        )
        for batch in row:
            option[batch] = self._near(batch, option[batch] + step if kind < 0.8 else level)
        if kind >= 0.9 and len(row) > 1:
            option[row[-1]] = self._near(row[-1], level - 1)
        return option

    def _near(self, batch: int, dose: int) -> int:
        return max(0, min(len(self.work.options[batch]) - 1, dose))

    def _keys_redosed(
        self, roster: Roster, timing: Timing, option: list[int], changed: list[int]
    ) -> list[float]:
        work, keys = self.work, self._set_out(timing)
        for batch in changed:
            was, now = work.options[batch][roster.option[batch]], work.options[batch][option[batch]]
            for task in self.tasks[batch]:
                k = work.pass_number[task]
                if k >= 0:
                    keys[task] += now.passes[k][0] - was.passes[k][0]
        return keys

    def longest_wait(self, batch: int, option: list[int]) -> float:
        """Seconds a batch may stand before it is laid."""
        work = self.work
        lay_s = work.dur[work.places_of_batch[batch][0]]
        spare = work.options[batch][option[batch]].working_s - work.ready_s[batch] - lay_s
        return float(max(0.0, min(spare, 1e6)) // 1)

    # one turn

    def nudge(self, roster: Roster, _timing: Timing) -> Roster | None:
        at = self.rng.randrange(len(roster.turns))
        return self.moved(roster, at, at + self.rng.choice((-1, 1)) * self.rng.randint(1, 8))

    def moved(self, roster: Roster, at: int, to: int) -> Roster | None:
        """The turn at one place moved to another; turns that must stay before or after it go along."""
        turns = roster.turns
        to = max(0, min(len(turns) - 1, to))
        if at == to:
            return None
        group = self._dragged_back(turns, at, to) if to < at else self._dragged_on(turns, at, to)
        if len(group) > MOST_DRAGGED:
            return None
        low, high = min(at, to), max(at, to) + 1
        rest = [task for task in turns[low:high] if task not in group]
        between = [*group, *rest] if to < at else [*rest, *group]
        return Roster([*turns[:low], *between, *turns[high:]], roster.early_s, roster.option, low)

    def _dragged_back(self, turns: list[int], at: int, to: int) -> list[int]:
        group = [turns[at]]
        for task in reversed(turns[to:at]):
            if any(task in self.before[other] for other in group):
                group.append(task)
        return group[::-1]

    def _dragged_on(self, turns: list[int], at: int, to: int) -> list[int]:
        group = [turns[at]]
        for task in turns[at + 1 : to + 1]:
            if any(other in self.before[task] for other in group):
                group.append(task)
        return group

    def mix_apart(self, roster: Roster, _timing: Timing) -> Roster | None:
        """Gives the mixing of a batch a turn of its own, or takes it away."""
        batch = self.rng.choice(self.free)
        turns = roster.turns[:]
        if batch in turns:
            at = turns.index(batch)
            turns.remove(batch)
        else:
            at = max(0, turns.index(self.work.places_of_batch[batch][0]) - self.rng.randint(0, 6))
            turns.insert(at, batch)
        return Roster(turns, roster.early_s, roster.option, at)

    # along the chain of what waited for what

    def mend(self, roster: Roster, timing: Timing) -> Roster | None:
        """Changes something on the chain that leads to a limit broken, or to the end of the day."""
        if timing.lates and self.rng.random() < 0.7:
            task, batch, late_s = self.rng.choice(timing.lates)
            may_wait = roster.early_s[batch] > 0.0 or batch in roster.turns
            if may_wait and self.rng.random() < 0.3 and self.work.called_s[batch] is None:
                return self._called_later(roster, batch, late_s)
        else:
            task = timing.last
        found = self._links(timing, task) if task != NOBODY else []
        return self.rng.choice(found)(roster, timing) if found else None

    def _links(self, timing: Timing, task: int) -> list[Move]:
        found: list[Move] = []
        for _ in range(LONGEST_CHAIN):
            why, cause = timing.why[task], timing.cause[task]
            if why == HANDS:
                found += [self._before_it(task, cause), self._before_it(task, cause)]
            elif why == OPENS:
                found += [self._fill_before(task), self._sooner(cause)]
            elif why == ARRIVES:
                found.append(self._fill_before(task))
            elif why == IN_TIME:
                return [*found, self._sooner(task)]
            elif why == MIXER and task < self.work.n_batches and cause != NOBODY:
                found += [self._before_it(task, cause), self._sooner(cause)]
            if cause == NOBODY:
                break
            task = cause
        return found

    def _turn_of(self, roster: Roster, task: int) -> int:
        """Where a task has its turn; a batch without one goes with its first placement. -1: begun already."""
        turns = roster.turns
        if task not in turns and task < self.work.n_batches:
            task = self.work.places_of_batch[task][0]
        return turns.index(task) if task in turns else -1

    def _before_it(self, task: int, other: int) -> Move:
        def move(roster: Roster, _timing: Timing) -> Roster | None:
            at, to = self._turn_of(roster, task), self._turn_of(roster, other)
            if self.rng.random() < 0.5:
                at, to = to, at
            return self.moved(roster, at, to) if at >= 0 and to >= 0 else None

        return move

    def _fill_before(self, task: int) -> Move:
        def move(roster: Roster, _timing: Timing) -> Roster | None:
            to = self._turn_of(roster, task)
            at = min(len(roster.turns) - 1, to + self.rng.randint(1, 10))
            return self.moved(roster, at, to) if to >= 0 else None

        return move

    def _sooner(self, batch: int) -> Move:
        def move(roster: Roster, _timing: Timing) -> Roster | None:
            if batch >= self.work.n_batches or self.work.called_s[batch] is not None:
                return None
            if roster.option[batch] and batch in self.dosed and self.rng.random() < 0.4:
                option = roster.option[:]
                option[batch] -= 1
                return Roster(roster.turns, roster.early_s, option, self._turn_of(roster, batch))
            if batch in roster.turns:
                return self._called(roster, batch, 0.0)
            return self._called(roster, batch, roster.early_s[batch] + self.rng.choice(EARLIER_S))

        return move

    def _called_later(self, roster: Roster, batch: int, by_s: float) -> Roster | None:
        """Less early; a batch with a turn of its own is put off, where the mixer stands idle first."""
        early_s = roster.early_s[batch] - by_s
        return self._called(roster, batch, early_s if batch in roster.turns else max(0.0, early_s))

    def _called(self, roster: Roster, batch: int, early_s: float) -> Roster | None:
        early_s = min(early_s, self.longest_wait(batch, roster.option))
        if early_s == roster.early_s[batch]:
            return None
        row = roster.early_s[:]
        row[batch] = early_s
        return Roster(roster.turns, row, roster.option, self._turn_of(roster, batch))


def _first_change(one: list[int], other: list[int]) -> int | None:
    return next((n for n, (a, b) in enumerate(zip(one, other, strict=True)) if a != b), None)
