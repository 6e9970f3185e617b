"""The plan of a series: which puzzle airs when, by the host's wishes, and why."""
