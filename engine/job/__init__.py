"""The job as planned: its file, crew, stock, practice values and take-off."""
