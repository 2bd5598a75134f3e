"""Alarms and the sounds they make: what presses, when it is heard, and how it gets out of the machine."""
