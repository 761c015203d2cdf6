CREATE TABLE members (
	id         TEXT    PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
	units      TEXT    NOT NULL DEFAULT '' CHECK (units IN ('', 'cm', 'in')),
	terms      TEXT    NOT NULL DEFAULT '' CHECK (terms IN ('', 'US', 'UK')),
	zone       TEXT    NOT NULL DEFAULT '' CHECK (length(zone) <= 64),
	level      TEXT    NOT NULL DEFAULT '' CHECK (level IN ('', 'beginner', 'maker', 'host')),
	locale     TEXT    NOT NULL DEFAULT '' CHECK (length(locale) <= 35),
	created_at INTEGER NOT NULL,
	updated_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
