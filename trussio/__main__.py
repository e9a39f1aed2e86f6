"""`python -m trussio` is the command line."""

import sys

from trussio.cli.main import main

sys.exit(main())
