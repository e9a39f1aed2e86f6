"""Loads from a site and the surfaces of a roof: cases and combinations, each with the rule and its numbers."""
