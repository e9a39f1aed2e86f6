"""What the model is, before any force is believed."""

import sys

from trussio.late import Job

CALLS = "trussio.audit.rules:audit"
sys.modules[__name__].__class__ = Job
