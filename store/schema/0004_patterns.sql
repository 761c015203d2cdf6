-- The patterns of a server, every version of them until it is removed.
CREATE TABLE patterns (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	server   TEXT    NOT NULL CHECK (length(server) BETWEEN 1 AND 64),
	name     TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
	name_key TEXT    NOT NULL CHECK (name_key <> ''),      -- the name as it is compared
	version  TEXT    NOT NULL CHECK (length(version) BETWEEN 1 AND 40),
	title    TEXT    NOT NULL CHECK (length(title) <= 200),
	author   TEXT    NOT NULL CHECK (length(author) <= 200),
	licence  TEXT    NOT NULL CHECK (length(licence) <= 200),
	format   TEXT    NOT NULL CHECK (length(format) <= 20),
	text     TEXT    NOT NULL CHECK (length(text) BETWEEN 1 AND 1048576),
	draft    INTEGER NOT NULL CHECK (draft IN (0, 1)),
	added_by TEXT    NOT NULL CHECK (length(added_by) <= 64), -- '' once that member is erased
	added_at INTEGER NOT NULL
) STRICT;

CREATE UNIQUE INDEX patterns_version ON patterns (server, name_key, version);
CREATE INDEX patterns_added_by ON patterns (added_by);
