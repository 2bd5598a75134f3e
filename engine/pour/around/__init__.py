"""Around the clocks: readiness before a pour, what the weather does to it, bags used, cure, checks, promises, return visits.

Everything follows from the facts of a day and a moment, like the clocks themselves; nothing here moves one.
"""
