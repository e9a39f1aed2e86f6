"""Healing: from axes as drawn to sticks that meet at joints."""
