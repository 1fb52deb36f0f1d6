"""python -m pipeline is the command."""

import sys

from tallywalk_start import main

if __name__ == "__main__":
    sys.exit(main())
