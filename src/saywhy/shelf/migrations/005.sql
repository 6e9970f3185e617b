-- What is planned keeps its permission too where a program replaces, renumbers or deletes rows.

CREATE TRIGGER planned_keeps_replaced_puzzle AFTER INSERT ON puzzle
WHEN NEW.id NOT IN (SELECT puzzle FROM cleared)
    AND EXISTS (SELECT 1 FROM episode WHERE puzzle = NEW.id AND state = 'planned')
BEGIN SELECT RAISE(ABORT, 'it is planned to air'); END;

CREATE TRIGGER planned_keeps_puzzle AFTER DELETE ON puzzle
WHEN EXISTS (SELECT 1 FROM episode WHERE puzzle = OLD.id AND state = 'planned')
BEGIN SELECT RAISE(ABORT, 'it is planned to air'); END;

CREATE TRIGGER planned_keeps_number AFTER UPDATE OF id ON puzzle
WHEN NEW.id <> OLD.id AND EXISTS (SELECT 1 FROM episode WHERE puzzle = OLD.id AND state = 'planned')
BEGIN SELECT RAISE(ABORT, 'it is planned to air'); END;

CREATE TRIGGER planned_keeps_replaced_setter AFTER INSERT ON setter
WHEN EXISTS (
    SELECT 1 FROM episode JOIN puzzle ON puzzle.id = episode.puzzle
    WHERE puzzle.setter = NEW.id AND episode.state = 'planned'
      AND puzzle.id NOT IN (SELECT puzzle FROM cleared)
)
BEGIN SELECT RAISE(ABORT, 'it is planned to air'); END;

CREATE TRIGGER setter_keeps_number AFTER UPDATE OF id ON setter
WHEN NEW.id <> OLD.id AND EXISTS (SELECT 1 FROM puzzle WHERE setter = OLD.id)
BEGIN SELECT RAISE(ABORT, 'the setter has puzzles here'); END;
