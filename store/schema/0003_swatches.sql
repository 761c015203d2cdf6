-- A measured swatch. Lengths are nanometres; 0 and '' mean "not said" where they are allowed.
CREATE TABLE swatches (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	member   TEXT    NOT NULL REFERENCES members (id) ON DELETE CASCADE,
	name     TEXT    NOT NULL CHECK (length(name) <= 60),
	name_key TEXT    NOT NULL,                            -- the name as it is compared
	stitches REAL    NOT NULL CHECK (stitches > 0 AND stitches <= 10000),
	rows     REAL    NOT NULL CHECK (rows > 0 AND rows <= 10000),
	width    INTEGER NOT NULL CHECK (width BETWEEN 1 AND 10000000000),
	height   INTEGER NOT NULL CHECK (height BETWEEN 1 AND 10000000000),
	hook     REAL    NOT NULL CHECK (hook >= 0 AND hook <= 100), -- millimetres
	yarn     TEXT    NOT NULL CHECK (length(yarn) <= 200),
	stitch   TEXT    NOT NULL CHECK (length(stitch) <= 200),
	washed   INTEGER NOT NULL CHECK (washed IN (0, 1)),
	grams    REAL    NOT NULL CHECK (grams >= 0 AND grams <= 100000),
	metres   REAL    NOT NULL CHECK (metres >= 0 AND metres <= 1000000),
	note     TEXT    NOT NULL CHECK (length(note) <= 2000),
	made_at  INTEGER NOT NULL
) STRICT;

CREATE INDEX swatches_newest ON swatches (member, made_at DESC, id DESC);
CREATE UNIQUE INDEX swatches_name ON swatches (member, name_key) WHERE name_key <> '';
