-- What was begun and is to be finished, at the latest when the shelf is next opened.

CREATE TABLE chore (
    name TEXT PRIMARY KEY CHECK (name IN ('scrub')) -- free pages and the log still hold what was erased
) STRICT;
