-- The catalogue: setters, puzzles, episodes, recordings, reviews, and what may air.

CREATE TABLE setter (
    id INTEGER PRIMARY KEY AUTOINCREMENT,      -- never given twice
    credit TEXT NOT NULL CHECK (credit <> ''), -- as it is published
    called TEXT NOT NULL DEFAULT '',           -- the name that they like to be called by
    contact TEXT NOT NULL DEFAULT '',
    standing TEXT NOT NULL DEFAULT 'not-asked' -- permission for whatever they send
        CHECK (standing IN ('not-asked', 'asked', 'granted', 'refused')),
    standing_on TEXT,                          -- a day, 2026-11-25
    standing_words TEXT NOT NULL DEFAULT '',   -- in which words
    remarks TEXT NOT NULL DEFAULT '',
    added TEXT NOT NULL,                       -- RFC 3339, UTC
    CHECK (standing <> 'granted' OR (standing_on IS NOT NULL AND standing_words <> ''))
) STRICT;

CREATE TABLE puzzle (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    setter INTEGER REFERENCES setter (id) DEFERRABLE INITIALLY DEFERRED, -- null: nobody is named
    title TEXT NOT NULL,
    text TEXT NOT NULL,                        -- the file as it came
    identity TEXT NOT NULL,                    -- SHA-256 of the canonical text
    same TEXT,                                 -- the same for a puzzle turned, mirrored, relabelled
    near TEXT,                                 -- the same for a puzzle of the same shapes
    size INTEGER NOT NULL,
    rules TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(rules)),         -- names
    verdict TEXT CHECK (verdict IN ('unique', 'none', 'many', 'undecided')),
    effort TEXT CHECK (effort IS NULL OR json_valid(effort)),           -- the profile
    licence TEXT NOT NULL DEFAULT '',
    source TEXT NOT NULL DEFAULT '',           -- file or mail that it came in
    received TEXT NOT NULL,                    -- a day
    permission TEXT NOT NULL DEFAULT 'not-asked'
        CHECK (permission IN ('not-asked', 'asked', 'granted', 'refused')),
    permission_on TEXT,                        -- a day
    permission_words TEXT NOT NULL DEFAULT '',
    remarks TEXT NOT NULL DEFAULT '',
    added TEXT NOT NULL,
    CHECK (permission <> 'granted' OR (permission_on IS NOT NULL AND permission_words <> ''))
) STRICT;

CREATE INDEX puzzle_of_setter ON puzzle (setter);
CREATE INDEX puzzle_identity ON puzzle (identity);
CREATE INDEX puzzle_same ON puzzle (same);
CREATE INDEX puzzle_near ON puzzle (near);

CREATE TABLE episode (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    puzzle INTEGER NOT NULL REFERENCES puzzle (id) DEFERRABLE INITIALLY DEFERRED,
    state TEXT NOT NULL CHECK (state IN ('planned', 'recorded', 'published')),
    airs TEXT,                                 -- a day, or RFC 3339 with its offset
    how TEXT CHECK (how IN ('blind', 'rehearsed')),
    title TEXT NOT NULL DEFAULT '',            -- empty: the puzzle's
    link TEXT NOT NULL DEFAULT '',
    pinned INTEGER NOT NULL DEFAULT 0 CHECK (pinned IN (0, 1)),
    remarks TEXT NOT NULL DEFAULT '',
    added TEXT NOT NULL,
    CHECK (state <> 'planned' OR airs IS NOT NULL),
    CHECK (state = 'planned' OR how IS NOT NULL)
) STRICT;

CREATE INDEX episode_of_puzzle ON episode (puzzle);
CREATE INDEX episode_airs ON episode (airs);
CREATE UNIQUE INDEX planned_once ON episode (puzzle) WHERE state = 'planned';

CREATE TABLE recording (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    puzzle INTEGER NOT NULL REFERENCES puzzle (id) DEFERRABLE INITIALLY DEFERRED,
    episode INTEGER REFERENCES episode (id) DEFERRABLE INITIALLY DEFERRED,
    log TEXT NOT NULL,                         -- JSON Lines, whole
    blind INTEGER NOT NULL CHECK (blind IN (0, 1)),
    started TEXT NOT NULL,
    seconds REAL NOT NULL,
    acts INTEGER NOT NULL,
    added TEXT NOT NULL
) STRICT;

CREATE INDEX recording_of_puzzle ON recording (puzzle);
CREATE INDEX recording_of_episode ON recording (episode);

CREATE TABLE review (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    recording INTEGER NOT NULL REFERENCES recording (id) DEFERRABLE INITIALLY DEFERRED,
    told TEXT NOT NULL CHECK (json_valid(told)), -- as `review --json` prints it
    added TEXT NOT NULL
) STRICT;

CREATE INDEX review_of_recording ON review (recording);

-- What may air: a puzzle's own word counts before its setter's standing one.
CREATE VIEW cleared AS
SELECT puzzle.id AS puzzle
FROM puzzle LEFT JOIN setter ON setter.id = puzzle.setter
WHERE puzzle.permission = 'granted'
   OR (puzzle.permission IN ('not-asked', 'asked') AND setter.standing = 'granted');

CREATE TRIGGER plan_needs_permission BEFORE INSERT ON episode
WHEN NEW.state = 'planned' AND NEW.puzzle NOT IN (SELECT puzzle FROM cleared)
BEGIN SELECT RAISE(ABORT, 'no permission to air'); END;

CREATE TRIGGER change_needs_permission BEFORE UPDATE OF puzzle, state, airs ON episode
WHEN NEW.state IN ('planned', 'published')
    AND (NEW.puzzle <> OLD.puzzle OR NEW.state <> OLD.state OR NEW.state = 'planned')
    AND NEW.puzzle NOT IN (SELECT puzzle FROM cleared)
BEGIN SELECT RAISE(ABORT, 'no permission to air'); END;

CREATE TRIGGER planned_keeps_permission AFTER UPDATE OF permission, setter ON puzzle
WHEN NEW.id NOT IN (SELECT puzzle FROM cleared)
    AND EXISTS (SELECT 1 FROM episode WHERE puzzle = NEW.id AND state = 'planned')
BEGIN SELECT RAISE(ABORT, 'it is planned to air'); END;

CREATE TRIGGER planned_keeps_standing AFTER UPDATE OF standing ON setter
WHEN EXISTS (
    SELECT 1 FROM episode JOIN puzzle ON puzzle.id = episode.puzzle
    WHERE puzzle.setter = NEW.id AND episode.state = 'planned'
      AND puzzle.id NOT IN (SELECT puzzle FROM cleared)
)
BEGIN SELECT RAISE(ABORT, 'it is planned to air'); END;

CREATE TRIGGER planned_keeps_setter BEFORE DELETE ON setter
WHEN EXISTS (SELECT 1 FROM puzzle WHERE setter = OLD.id)
BEGIN SELECT RAISE(ABORT, 'the setter has puzzles here'); END;
