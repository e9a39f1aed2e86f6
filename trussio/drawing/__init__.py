"""Drawings: DXF in, DXF and SVG out."""
