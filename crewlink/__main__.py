"""`python -m crewlink` is the `crewlink` command."""

import sys

from crewlink.cli import main

if __name__ == "__main__":
    sys.exit(main())
