"""
Setting: mending puzzles, trimming them, making them.

Everything that comes out of here is proved by the engine.
"""
