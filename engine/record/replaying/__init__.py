"""A log again: the day at any of its lines, what was foreseen then and what came. Reads nothing itself."""
