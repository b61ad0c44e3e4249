"""`python -m service`: the same as the command `weatherstrip`."""

import sys

from service.command_line import main

if __name__ == "__main__":
    sys.exit(main())
