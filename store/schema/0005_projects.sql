-- A member's work in progress. lengths and done are JSON lists, a number a
-- piece: the rows that it has, and those that are done.
CREATE TABLE projects (
	id          INTEGER PRIMARY KEY AUTOINCREMENT,
	member      TEXT    NOT NULL REFERENCES members (id) ON DELETE CASCADE,
	name        TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
	name_key    TEXT    NOT NULL CHECK (name_key <> ''),  -- the name as it is compared
	state       TEXT    NOT NULL CHECK (state IN ('working', 'paused', 'finished')),
	lengths     TEXT    NOT NULL CHECK (json_valid(lengths)),
	done        TEXT    NOT NULL CHECK (json_valid(done)),
	piece       INTEGER NOT NULL CHECK (piece >= 0),      -- the one at work
	moves       INTEGER NOT NULL CHECK (moves >= 0),      -- the number of the last move
	started_at  INTEGER NOT NULL,
	changed_at  INTEGER NOT NULL,
	finished_at INTEGER NOT NULL                          -- 0: not finished
) STRICT;

CREATE UNIQUE INDEX projects_name ON projects (member, name_key);
CREATE INDEX projects_latest ON projects (member, changed_at DESC);

-- What is worked from, as it was on the day the project was started. It lies
-- apart so that a row counted does not write it again.
CREATE TABLE project_plans (
	project INTEGER PRIMARY KEY REFERENCES projects (id) ON DELETE CASCADE,
	plan    TEXT    NOT NULL CHECK (json_valid(plan) AND length(plan) <= 2097152)
) STRICT;

-- Every row counted, by the member whose project it is. These are many, so
-- they are small and are their own log. A move from a row to the same row
-- turns to another piece.
CREATE TABLE project_moves (
	project INTEGER NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
	seq     INTEGER NOT NULL,                             -- 1, 2, 3 … within the project
	at      INTEGER NOT NULL,                             -- seconds since 1970, UTC
	piece   INTEGER NOT NULL,
	was     INTEGER NOT NULL,                             -- rows done before
	done    INTEGER NOT NULL,                             -- rows done after
	undoes  INTEGER NOT NULL,                             -- the move that this one takes back; 0: none
	minutes INTEGER NOT NULL,                             -- time worked, where told; below 0 in what takes it back
	key     INTEGER NOT NULL,                             -- 48 bits of what it was delivered with; 0: nothing
	PRIMARY KEY (project, seq)
) STRICT, WITHOUT ROWID;

-- Words, photos and yarn weighed, kept with the place where the work stood.
CREATE TABLE project_notes (
	id      INTEGER PRIMARY KEY AUTOINCREMENT,
	project INTEGER NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
	at      INTEGER NOT NULL,                             -- milliseconds since 1970, UTC
	kind    TEXT    NOT NULL CHECK (kind IN ('note', 'photo', 'yarn')),
	moves   INTEGER NOT NULL,                             -- the last move before it
	text    TEXT    NOT NULL CHECK (length(text) <= 2000),  -- a photo's text describes it
	photo   TEXT    NOT NULL CHECK (length(photo) <= 300),  -- where the picture is; '' for other kinds
	grams   REAL    NOT NULL CHECK (grams >= 0 AND grams <= 1000000) -- of yarn left; 0 for other kinds
) STRICT;

CREATE INDEX project_notes_of ON project_notes (project);
