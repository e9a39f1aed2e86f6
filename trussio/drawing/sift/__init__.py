"""Sifting: what of a drawing's linework is no member, told by itself before anything is joined."""
