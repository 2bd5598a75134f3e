"""Simulated crews: days rehearsed with durations and setting drawn by seed, on the plan's cases or on a whole job.

Here live the draws, the crew that acts on them, the callers it may listen to, and what came of it. Nothing here touches
the world: seeds and clocks are handed in. May import everything below the console; nothing below imports it.
"""
