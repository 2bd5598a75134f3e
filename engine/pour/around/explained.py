"""What a foreman would explain of a day: what sets the pace, the working time the crew needs, most bags at one go, the
smallest crew, time for a break. Crews and pours are tried with the scheduler; the pace is a sum.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, combinations_with_replacement
from typing import Any

from engine.job.model import Job, Person, Pour, Skill, Station
from engine.plan.formulas import COMFORTABLE
from engine.plan.forward import Stuck
from engine.plan.problem import Schedule
from engine.pour.dayplan import DayPlan
from engine.pour.foreseen import quiet_gap
from engine.pour.journal import open_journal
from engine.pour.needs import this_visit
from engine.pour.pace import Pace, bottleneck
from engine.pour.planning import LARGE, laid_out
from engine.pour.prospects import prospects
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.units import show_clock, show_duration
from engine.words import Say, Words, say

SEARCHED = 60  # plans tried for each crew
MOST_BAGS = 12  # tried in one pour
CREW_BAGS = 400  # placed for all crews tried together; of a large job a single crew takes too long
MOST_MORE = 2  # people tried beyond the job's own
JUST_UNDER = 0.02  # of a bag, so that what is measured up does not ask for one more
MIXER: tuple[Skill, ...] = ("mix",)
FINISHER: tuple[Skill, ...] = ("place", "finish")


@dataclass(frozen=True)
class WorkingTime:
    """The pour that gives the least: its working time, what mixing, carrying and placing take, and what is wanted, in s."""

    pour: str
    given_s: float
    need_s: float

    @property
    def wanted_s(self) -> float:
        """For ten bags in time on 19 days of 20."""
        return COMFORTABLE * self.need_s

    @property
    def binds(self) -> bool:
        """It gives less than is wanted."""
        return self.given_s < self.wanted_s


@dataclass(frozen=True)
class SmallestCrew:
    """The people whose plan holds every window and promise, of the job's own as far as they do; when they are done."""

    people: tuple[str, ...]
    mixers_more: int
    finishers_more: int
    end: float


@dataclass(frozen=True)
class Explained:
    """The day explained. `most_bags` is None where `MOST_BAGS` in one pour still hold; `crew` where none tried does."""

    pace: Pace
    working_time: WorkingTime | None
    largest: str  # the pour `most_bags` is tried with
    most_bags: int | None
    crew: SmallestCrew | None
    quiet: tuple[float, float] | None
    sought: bool = True  # false: more crews than anybody waits for would have had to be tried

    @property
    def bottleneck(self) -> str:
        """`mixing`, `placing`, `finishing`, or `working time` where no more hands would help."""
        return "working time" if self.working_time and self.working_time.binds else self.pace.name


def explained(moment: Moment, plan: DayPlan) -> Explained:
    """The day of a plan; `moment` is its start with nothing done."""
    pours = [pour for pour in moment.job.pours if this_visit(moment, pour) and not pour.shares]
    largest = max(pours, key=lambda pour: moment.takeoffs[pour.id].bags, default=None)
    crew, sought = _crew_sought(moment.job)
    return Explained(
        pace=bottleneck(moment),
        working_time=min(
            (working_time(moment, pour) for pour in pours),
            key=lambda one: one.given_s / one.need_s,
            default=None,
        ),
        largest=largest.id if largest else "",
        most_bags=most_bags_at_one_go(moment.job, largest) if largest else None,
        crew=crew,
        quiet=quiet_gap(plan),
        sought=sought,
    )


def working_time(moment: Moment, pour: Pour) -> WorkingTime:
    """Of a pour's next bag with its least dose."""
    times = moment.job.times
    need_s = moment.card(pour.id).mixing_s + times.carry_s + times.tip_s + times.strike_off_s
    return WorkingTime(pour.id, prospects(moment, pour, True, moment.at)[0].limits.working_s, need_s)


def most_bags_at_one_go(job: Job, pour: Pour) -> int | None:
    """Most bags in a pour like this one, alone on the site, that the crew lays and finishes in time; None: no end found."""
    taken = _start_of(job).takeoffs[pour.id]
    for bags in range(1, MOST_BAGS + 1):
        area_m2 = pour.area_m2 * (bags - JUST_UNDER) / taken.bags_exact
        like = replace(pour, area_m2=area_m2, length_m=None, width_m=None, outline_m=(), after=())
        schedule = _scheduled(replace(job, pours=(like,), targets=(), deadlines=()))
        if schedule is None or schedule.misses:
            return bags - 1
    return None


def _crew_sought(job: Job) -> tuple[SmallestCrew | None, bool]:
    """The smallest crew, and whether it was sought to the end."""
    bags = sum(taken.bags for taken in _start_of(job).takeoffs.values())
    left = int(CREW_BAGS / max(1.0, bags)) if bags <= LARGE else 0
    for crews in _by_size(job):
        left -= len(crews)
        if left < 0:
            return None, False
        if held := _first_done(job, crews):
            return held, True
    return None, True


def smallest_crew(job: Job) -> SmallestCrew | None:
    """Fewest people, first of the job's own, then with more beside all of them; of as many, those who are done first.

    None where no crew tried does, and where more would have had to be tried than anybody waits for.
    """
    return _crew_sought(job)[0]


def _by_size(job: Job) -> Iterator[list[tuple[Person, ...]]]:
    """The crews of each size that may be enough, the smallest first."""
    for own in range(1, len(job.people) + 1):
        yield [crew for crew in _crews(job.people, own) if _able(crew)]
    for more in range(1, MOST_MORE + 1):
        joined = [
            tuple(Person(f"+{n}", does) for n, does in enumerate(kinds))
            for kinds in combinations_with_replacement((FINISHER, MIXER), more)
        ]
        yield [(*job.people, *others) for others in joined]


def _able(people: tuple[Person, ...]) -> bool:
    return all(any(skill in person.does for person in people) for skill in ("mix", "place", "finish"))


def _crews(people: tuple[Person, ...], count: int) -> list[tuple[Person, ...]]:
    """So many of the people, each set of skills once."""
    by_skills: dict[tuple[tuple[Skill, ...], ...], tuple[Person, ...]] = {}
    for some in combinations(people, count):
        by_skills.setdefault(tuple(sorted(person.does for person in some)), some)
    return list(by_skills.values())


def _first_done(job: Job, crews: list[tuple[Person, ...]]) -> SmallestCrew | None:
    held = [found for crew in crews if (found := _tried(job, crew)) is not None]
    return min(held, key=lambda one: one.end, default=None)


def _tried(job: Job, people: tuple[Person, ...]) -> SmallestCrew | None:
    """A crew whose plan misses nothing; each mixer beyond the job's own comes with a station."""
    if not _able(people):
        return None
    more = [person for person in people if person not in job.people]
    mixers = sum("mix" in person.does for person in more)
    first = job.stations[0]
    stations = (*job.stations, *(Station(f"+{n}", first.vessel, first.bags_per_batch) for n in range(mixers)))
    stock = replace(job.stock, vessels=job.stock.vessels + mixers)
    schedule = _scheduled(replace(job, people=people, stations=stations, stock=stock))
    if schedule is None or schedule.misses:
        return None
    own = tuple(person.id for person in people if person in job.people)
    return SmallestCrew(own, mixers, len(more) - mixers, job.start + schedule.end_s)


def _scheduled(job: Job) -> Schedule | None:
    try:
        return laid_out(_start_of(job), rounds=2, search=SEARCHED)[1]
    except Stuck:
        return None


def _start_of(job: Job) -> Moment:
    return Moment(open_journal(job).day, job.start)


def explained_said(found: Explained, job: Job) -> Iterator[Say]:
    """As a foreman would say it."""
    yield _pace_said(found)
    if found.working_time is not None:
        yield _working_said(found.working_time)
        yield _bags_said(found)
    yield _crew_said(found.crew, job) if found.sought else say("explained.crew_unsought")
    if found.quiet is None:
        yield say("explained.no_quiet")
    else:
        start, end = (show_clock(at, job.zone) for at in found.quiet)
        yield say("explained.quiet", start=start, end=end)


def _pace_said(found: Explained) -> Say:
    bags = f"{found.pace.bags_per_hour:.0f}"
    if found.bottleneck == "working time":
        return say("explained.pace_working_time", bags=bags)
    return say(f"explained.pace_{found.pace.name}", bags=bags)


def _working_said(time: WorkingTime) -> Say:
    need, wanted, given = (show_duration(s) for s in (time.need_s, time.wanted_s, time.given_s))
    key = "explained.working_short" if time.binds else "explained.working"
    return say(key, pour=time.pour, need=need, wanted=wanted, given=given)


def _bags_said(found: Explained) -> Say:
    if found.most_bags is None:
        return say("explained.no_joint", bags=str(MOST_BAGS), pour=found.largest)
    return say("explained.joint", bags=str(found.most_bags), pour=found.largest)


def _crew_said(crew: SmallestCrew | None, job: Job) -> Say:
    if crew is None:
        return say("explained.no_crew", more=str(MOST_MORE))
    end = show_clock(crew.end, job.zone)
    if crew.mixers_more or crew.finishers_more:
        return say(
            "explained.crew_more", mixers=str(crew.mixers_more), finishers=str(crew.finishers_more), end=end
        )
    if len(crew.people) == len(job.people):
        return say("explained.crew_all")
    return say(
        "explained.crew",
        people=", ".join(crew.people),
        count=str(len(crew.people)),
        of=str(len(job.people)),
        end=end,
    )


def explained_table(found: Explained, job: Job, words: Words) -> dict[str, Any]:
    """As plain JSON values."""
    crew, time, quiet = found.crew, found.working_time, found.quiet
    return {
        "bottleneck": found.bottleneck,
        "bags_per_hour": found.pace.bags_per_hour,
        "most_bags_in_one_pour": found.most_bags,
        "smallest_crew": crew
        and {
            "people": list(crew.people),
            "mixers_more": crew.mixers_more,
            "finishers_more": crew.finishers_more,
            "finish": iso(crew.end),
        },
        "quiet_gap": quiet and {"start": iso(quiet[0]), "end": iso(quiet[1])},
        "working_time": time
        and {
            "pour": time.pour,
            "given_s": time.given_s,
            "need_s": time.need_s,
            "wanted_s": time.wanted_s,
        },
        "explained": [words(one) for one in explained_said(found, job)],
    }
