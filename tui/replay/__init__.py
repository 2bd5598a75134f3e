"""The live screen on a past clock."""
