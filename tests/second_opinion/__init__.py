"""Every answer checked by solvers that share no code: the engine, CP-SAT, and plain enumeration."""
