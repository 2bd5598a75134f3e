"""Pure painters: a view and a size in, rows of text runs out. Nothing here knows the framework."""
