"""The screens and the command line: drawing, keys and words; everything computed comes through `engine.console`."""
