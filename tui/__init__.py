"""The full-screen console: painters, keys and looks over the views of the engine."""

import os

# An arrow key cut in two by a slow line is put together again; the framework reads this when it is imported.
os.environ.setdefault("ESCDELAY", "300")
