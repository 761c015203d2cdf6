-- One row for every write, made in the write's own transaction.
-- before and after are JSON of the subject; NULL where there was or is none.
CREATE TABLE log (
	id         INTEGER PRIMARY KEY AUTOINCREMENT,
	at         INTEGER NOT NULL,                          -- milliseconds since 1970, UTC
	member     TEXT    NOT NULL CHECK (length(member) <= 64), -- who did it; '' where nobody may be named
	kind       TEXT    NOT NULL CHECK (length(kind) BETWEEN 1 AND 40),
	subject    TEXT    NOT NULL CHECK (length(subject) <= 300),
	before     TEXT    CHECK (json_valid(before)),
	after      TEXT    CHECK (json_valid(after)),
	key        TEXT    CHECK (length(key) BETWEEN 1 AND 100) -- what was delivered with this key is applied once
) STRICT;

-- Finds a member's entries, and what was delivered before. NULL keys never collide.
CREATE UNIQUE INDEX log_once ON log (member, key, kind);
