"""What is written down: the log and its writer, notes entered afterwards, the day as a list."""
