-- The words that are searched: of puzzles, setters and episodes. No text of a puzzle file is among them.

CREATE VIRTUAL TABLE words USING fts5 (
    title, people, rules, remarks, tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);

CREATE VIEW puzzle_words AS
SELECT puzzle.id * 3 AS n, puzzle.id AS puzzle, puzzle.setter AS setter, puzzle.title AS title,
    coalesce(setter.credit || ' ' || setter.called, '') AS people,
    puzzle.rules AS rules, puzzle.remarks || ' ' || puzzle.source AS remarks
FROM puzzle LEFT JOIN setter ON setter.id = puzzle.setter;

CREATE VIEW setter_words AS
SELECT id * 3 + 1 AS n, id AS setter, '' AS title, credit || ' ' || called AS people, '' AS rules,
    remarks || ' ' || contact AS remarks
FROM setter;

CREATE VIEW episode_words AS
SELECT episode.id * 3 + 2 AS n, episode.id AS episode, puzzle.id AS puzzle, puzzle.setter AS setter,
    episode.title || ' ' || puzzle.title AS title,
    coalesce(setter.credit || ' ' || setter.called, '') AS people, '' AS rules,
    episode.remarks || ' ' || episode.link AS remarks
FROM episode JOIN puzzle ON puzzle.id = episode.puzzle LEFT JOIN setter ON setter.id = puzzle.setter;

INSERT INTO words (rowid, title, people, rules, remarks)
SELECT n, title, people, rules, remarks FROM puzzle_words
UNION ALL SELECT n, title, people, rules, remarks FROM setter_words
UNION ALL SELECT n, title, people, rules, remarks FROM episode_words;

CREATE TRIGGER puzzle_said AFTER INSERT ON puzzle BEGIN
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM puzzle_words WHERE puzzle = NEW.id;
END;
CREATE TRIGGER puzzle_unsaid AFTER DELETE ON puzzle BEGIN
    DELETE FROM words WHERE rowid = OLD.id * 3;
END;
CREATE TRIGGER puzzle_resaid AFTER UPDATE OF title, setter, rules, remarks, source ON puzzle BEGIN
    DELETE FROM words WHERE rowid = OLD.id * 3;
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM puzzle_words WHERE puzzle = NEW.id;
    DELETE FROM words WHERE rowid IN (SELECT id * 3 + 2 FROM episode WHERE puzzle = NEW.id);
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM episode_words WHERE puzzle = NEW.id;
END;

CREATE TRIGGER setter_said AFTER INSERT ON setter BEGIN
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM setter_words WHERE setter = NEW.id;
END;
CREATE TRIGGER setter_unsaid AFTER DELETE ON setter BEGIN
    DELETE FROM words WHERE rowid = OLD.id * 3 + 1;
END;
CREATE TRIGGER setter_resaid AFTER UPDATE OF credit, called, contact, remarks ON setter BEGIN
    DELETE FROM words WHERE rowid = OLD.id * 3 + 1;
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM setter_words WHERE setter = NEW.id;
    DELETE FROM words WHERE rowid IN (SELECT id * 3 FROM puzzle WHERE setter = NEW.id);
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM puzzle_words WHERE setter = NEW.id;
    DELETE FROM words WHERE rowid IN (
        SELECT episode.id * 3 + 2 FROM episode JOIN puzzle ON puzzle.id = episode.puzzle
        WHERE puzzle.setter = NEW.id
    );
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM episode_words WHERE setter = NEW.id;
END;

CREATE TRIGGER episode_said AFTER INSERT ON episode BEGIN
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM episode_words WHERE episode = NEW.id;
END;
CREATE TRIGGER episode_unsaid AFTER DELETE ON episode BEGIN
    DELETE FROM words WHERE rowid = OLD.id * 3 + 2;
END;
CREATE TRIGGER episode_resaid AFTER UPDATE OF puzzle, title, link, remarks ON episode BEGIN
    DELETE FROM words WHERE rowid = OLD.id * 3 + 2;
    INSERT INTO words (rowid, title, people, rules, remarks)
    SELECT n, title, people, rules, remarks FROM episode_words WHERE episode = NEW.id;
END;
