"""The tests, in one command: python3 tests/run.py [what pytest takes]

Needs Python 3.11 or newer and nothing else; makes its own environment on the first run.
"""

import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(HERE)


def main():
    """Start pytest inside the environment; returns an exit code if it can't be started."""
    if sys.version_info < (3, 11):
        sys.stderr.write("crewlink needs Python 3.11 or newer; this is %s.\n" % sys.version.split()[0])
        return 1
    sys.path[:] = [ROOT] + [path for path in sys.path if os.path.abspath(path) != HERE]
    from pathlib import Path

    from demo_session.bootstrap import start

    return start(Path(ROOT), "pytest", sys.argv[1:], windows=False)


if __name__ == "__main__":
    sys.exit(main())
