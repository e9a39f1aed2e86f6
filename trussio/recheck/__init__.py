"""Forces proved a second time, with nothing shared with the first calculation."""
