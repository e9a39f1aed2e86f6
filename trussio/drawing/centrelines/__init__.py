"""Centrelines: members drawn by their edges become one axis each, with the depth measured between the edges."""
