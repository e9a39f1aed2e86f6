"""From the drawing of an old timber roof truss to a model that can be trusted, with the forces proved twice."""

__version__ = "0.1.0"
