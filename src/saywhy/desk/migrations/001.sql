CREATE TABLE puzzle (
    key TEXT PRIMARY KEY,
    text TEXT NOT NULL,          -- format 1
    identity TEXT NOT NULL,      -- SHA-256 of the canonical text
    title TEXT NOT NULL,
    setter TEXT NOT NULL,
    size INTEGER NOT NULL,
    changed TEXT NOT NULL        -- RFC 3339, UTC
) STRICT;

CREATE TABLE recording (
    key TEXT PRIMARY KEY,        -- its file is recordings/<key>.jsonl
    puzzle TEXT NOT NULL,        -- key of the puzzle; the puzzle itself may be mended or gone
    text TEXT NOT NULL,          -- the puzzle as it was solved, format 1
    title TEXT NOT NULL,
    blind INTEGER NOT NULL CHECK (blind IN (0, 1)),
    started TEXT NOT NULL        -- RFC 3339
) STRICT;

CREATE INDEX recording_of_puzzle ON recording (puzzle, started);
