"""Pours to batches, batches to a schedule, the call for the next bag. Knows generic limits only, no mix cards' files."""
