-- What groups make together.
CREATE TABLE makealongs (
	id         INTEGER PRIMARY KEY AUTOINCREMENT,
	server     TEXT    NOT NULL CHECK (length(server) BETWEEN 1 AND 64),
	channel    TEXT    NOT NULL CHECK (length(channel) <= 64),
	name       TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
	name_key   TEXT    NOT NULL CHECK (name_key <> ''),      -- the name as it is compared
	state      TEXT    NOT NULL CHECK (state IN ('draft', 'open', 'paused', 'closed', 'blocked')),
	host       TEXT    NOT NULL CHECK (length(host) <= 64),  -- '' once that member is erased
	version    INTEGER NOT NULL CHECK (version >= 1),        -- goes up with every change
	course     TEXT    NOT NULL CHECK (json_valid(course) AND length(course) <= 262144),
	made_at    INTEGER NOT NULL,
	changed_at INTEGER NOT NULL
) STRICT;

CREATE UNIQUE INDEX makealongs_name ON makealongs (server, name_key) WHERE state <> 'closed';
CREATE INDEX makealongs_server ON makealongs (server, made_at);
CREATE INDEX makealongs_host ON makealongs (host) WHERE host <> '';

-- Who takes part. targets and measured are JSON.
CREATE TABLE makealong_members (
	makealong       INTEGER NOT NULL REFERENCES makealongs (id) ON DELETE CASCADE,
	member          TEXT    NOT NULL REFERENCES members (id) ON DELETE CASCADE,
	name            TEXT    NOT NULL CHECK (length(name) <= 100), -- as she wishes to be named; '': she is not
	joined_at       INTEGER NOT NULL,
	project         INTEGER REFERENCES projects (id) ON DELETE SET NULL,
	size            TEXT    NOT NULL CHECK (length(size) <= 200),
	gauge           TEXT    NOT NULL CHECK (length(gauge) <= 200),
	seat            TEXT    NOT NULL CHECK (length(seat) <= 60),
	shift           INTEGER NOT NULL CHECK (shift BETWEEN -3660 AND 3660), -- days
	state           TEXT    NOT NULL CHECK (state IN ('working', 'resting')),
	pings           INTEGER NOT NULL CHECK (pings IN (0, 1)),
	quiet           INTEGER NOT NULL CHECK (quiet IN (0, 1)),
	targets         TEXT    NOT NULL CHECK (json_valid(targets) AND length(targets) <= 65536),
	targets_version INTEGER NOT NULL,
	measured        TEXT    NOT NULL CHECK (json_valid(measured) AND length(measured) <= 8192),
	remarks         TEXT    NOT NULL CHECK (length(remarks) <= 4000),
	PRIMARY KEY (makealong, member)
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX makealong_members_seat ON makealong_members (makealong, seat) WHERE seat <> '';
CREATE INDEX makealong_members_member ON makealong_members (member, joined_at);
CREATE INDEX makealong_members_project ON makealong_members (project) WHERE project IS NOT NULL;

-- What members say at milestones, the last of each.
CREATE TABLE makealong_answers (
	makealong INTEGER NOT NULL REFERENCES makealongs (id) ON DELETE CASCADE,
	milestone INTEGER NOT NULL CHECK (milestone BETWEEN 0 AND 1000), -- from 0
	member    TEXT    NOT NULL REFERENCES members (id) ON DELETE CASCADE,
	name      TEXT    NOT NULL CHECK (length(name) <= 100),
	say       TEXT    NOT NULL CHECK (length(say) BETWEEN 1 AND 20),
	place     TEXT    NOT NULL CHECK (length(place) <= 1000), -- where the work stood
	words     TEXT    NOT NULL CHECK (length(words) <= 4000),
	at        INTEGER NOT NULL,
	PRIMARY KEY (makealong, milestone, member)
) STRICT, WITHOUT ROWID;

CREATE INDEX makealong_answers_member ON makealong_answers (member);

-- Pictures shown to the group; they themselves are not kept here.
CREATE TABLE makealong_pictures (
	id        INTEGER PRIMARY KEY AUTOINCREMENT,
	makealong INTEGER NOT NULL REFERENCES makealongs (id) ON DELETE CASCADE,
	member    TEXT    NOT NULL REFERENCES members (id) ON DELETE CASCADE,
	name      TEXT    NOT NULL CHECK (length(name) <= 100),
	text      TEXT    NOT NULL CHECK (length(text) <= 2000),
	place     TEXT    NOT NULL CHECK (length(place) <= 300), -- the message that shows it
	at        INTEGER NOT NULL
) STRICT;

CREATE INDEX makealong_pictures_of ON makealong_pictures (makealong, at);
CREATE INDEX makealong_pictures_member ON makealong_pictures (member);

-- The outbox: what is to be posted, when, and what became of it.
CREATE TABLE makealong_posts (
	id           INTEGER PRIMARY KEY AUTOINCREMENT,
	makealong    INTEGER NOT NULL REFERENCES makealongs (id) ON DELETE CASCADE,
	key          TEXT    NOT NULL CHECK (length(key) BETWEEN 1 AND 100),
	kind         TEXT    NOT NULL CHECK (kind IN ('welcome', 'milestone', 'midway', 'farewell', 'host', 'event')),
	milestone    INTEGER NOT NULL CHECK (milestone BETWEEN -1 AND 1000), -- from 0; -1: none
	due_at       INTEGER NOT NULL CHECK (due_at > 0),
	state        TEXT    NOT NULL CHECK (state IN ('planned', 'taken', 'sent', 'merged', 'skipped')),
	wake_at      INTEGER,          -- when a sweep may take it; NULL: not at all as things stand
	attempts     INTEGER NOT NULL, -- that may have reached the channel
	first_try_at INTEGER NOT NULL, -- 0: not tried
	taken_by     TEXT    NOT NULL CHECK (length(taken_by) <= 64),
	taken_until  INTEGER NOT NULL,
	carrier      INTEGER NOT NULL, -- the post in which it is told; 0: none
	nonce        TEXT    NOT NULL CHECK (length(nonce) BETWEEN 16 AND 25),
	recipient    TEXT    NOT NULL CHECK (length(recipient) <= 64),
	text         TEXT    NOT NULL CHECK (length(text) <= 4000),
	message      TEXT    NOT NULL CHECK (length(message) <= 64), -- the id of what was sent
	sent_at      INTEGER NOT NULL, -- 0: not sent
	why          TEXT    NOT NULL CHECK (length(why) <= 200)     -- it was skipped
) STRICT;

CREATE UNIQUE INDEX makealong_posts_key ON makealong_posts (makealong, key);
CREATE INDEX makealong_posts_recipient ON makealong_posts (recipient) WHERE recipient <> '';

-- What is due, and nothing else: a sweep reads as much as there is to do.
CREATE INDEX makealong_posts_wake ON makealong_posts (wake_at) WHERE wake_at IS NOT NULL;

-- Who was pinged when.
CREATE TABLE pings (
	post   INTEGER NOT NULL REFERENCES makealong_posts (id) ON DELETE CASCADE,
	member TEXT    NOT NULL REFERENCES members (id) ON DELETE CASCADE,
	at     INTEGER NOT NULL,
	PRIMARY KEY (post, member)
) STRICT, WITHOUT ROWID;

CREATE INDEX pings_member ON pings (member, at);

-- Servers that the bot was removed from; after a while they are forgotten.
CREATE TABLE removed_servers (
	server TEXT    PRIMARY KEY CHECK (length(server) BETWEEN 1 AND 64),
	at     INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX removed_servers_at ON removed_servers (at);
