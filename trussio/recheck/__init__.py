"""Forces proved a second time, with nothing shared with the first calculation."""

import sys

from trussio.late import Job

CALLS = "trussio.rechecking:recheck"
sys.modules[__name__].__class__ = Job
