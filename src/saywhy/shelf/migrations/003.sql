-- What was done, so that it can be taken back, and where copies went, so that an erasure can name them.

CREATE TABLE deed (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,                          -- RFC 3339, UTC
    words TEXT NOT NULL,
    rows TEXT NOT NULL CHECK (json_valid(rows)) -- [table, id, the row before or null], in order
) STRICT;

CREATE TABLE copy (
    id INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('backup', 'export')),
    path TEXT NOT NULL
) STRICT;
