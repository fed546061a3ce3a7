"""`python -m ui` is the `crewlink` command with its windows."""

import sys

from ui.main import main

if __name__ == "__main__":
    sys.exit(main())
