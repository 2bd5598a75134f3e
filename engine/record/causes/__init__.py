"""Why a window was missed or an opening late, in seconds by cause.

The day as it was stands beside the day as it was planned: the schedule that `check` makes, laid out from the day's first
water on, with the weather, bag and water temperatures of the job. For each miss the log is run again with one thing
set back to plan:

- `temperature`: slab, air, humidity, wind, sun and surface as forecast for the hour the batch was planned for;
- `materials`: bags, water, ice and mix as the job states them, readings of them left out;
- `packet`: packets per bag as planned;
- `pace`: today's rate factor 1, as before any sign;
- `waiting`: no batch stood between mixed and tip longer than planned; no pour stood ready to be opened;
- `crew`: no stroke was stamped later than the plan, the water and the surface allowed, no mixing took longer;
- `calls`: every batch got its water when planned, and all that happened to it moves with it; against a promise the whole
  day begins when the job said.

A stamp is where the plan had it, later by as much as its tip came late, and never before the surface and the pass
before allowed it; what it is later than that is the crew's. Where a tip came early, whoever was still at other work
by the plan's own time is not later for that. Water later than planned is `calls` whatever kept it. A batch that the
plan does not know, such as a bag more than was taken off, keeps its distance to the one before it, one mixed for a
batch lost stands where the lost one stood. Depths, finishes and lifts stay as the day had them.

The share of a cause is the lateness less the lateness with that cause set back, where a limit kept counts as no
lateness: a cause that alone would have spared the miss has all of its seconds. Where another cause held the lateness
back (a negative share), what it held back is there to be shared out too. One at a time the shares need not add up;
what is left is `rest`: positive where no single cause is enough to tell it, negative where more than one would have
spared the same seconds. So the shares always add up to the lateness.

What is not stamped is not judged: a pass without a stamp, a pour not filled. The stamps of one log are all that is
looked at; a foreman's reasons are not in it.
"""

from engine.record.causes.missed import CAUSES, Cause, Missed, Share, missed_said, missed_table
from engine.record.causes.split import causes_of

__all__ = ["CAUSES", "Cause", "Missed", "Share", "causes_of", "missed_said", "missed_table"]
