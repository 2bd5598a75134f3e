"""`python -m tui` is `bagcall`."""

import sys

from tui.cli import main

if __name__ == "__main__":
    sys.exit(main())
