-- +goose Up
CREATE TABLE projection_checkpoints (
    name     TEXT   NOT NULL PRIMARY KEY,
    version  BIGINT NOT NULL,
    position BIGINT NOT NULL,
    event_id TEXT   NOT NULL
);

CREATE TABLE courses (
    id       TEXT   NOT NULL PRIMARY KEY,
    position BIGINT NOT NULL,
    doc      TEXT   NOT NULL
);

-- name_key orders names as people do; it is text of hexadecimal digits, which
-- sort alike in every collation.
CREATE TABLE players (
    id        TEXT    NOT NULL PRIMARY KEY,
    member_no TEXT    NOT NULL,
    name      TEXT    NOT NULL,
    name_key  TEXT    NOT NULL,
    search    TEXT    NOT NULL,
    erased    BOOLEAN NOT NULL,
    position  BIGINT  NOT NULL,
    doc       TEXT    NOT NULL
);
CREATE INDEX players_member_no ON players (member_no);
CREATE INDEX players_name_key ON players (name_key, id);

CREATE TABLE competitions (
    id       TEXT   NOT NULL PRIMARY KEY,
    date     TEXT   NOT NULL,
    position BIGINT NOT NULL,
    doc      TEXT   NOT NULL
);
CREATE INDEX competitions_date ON competitions (date, id);

CREATE TABLE cards (
    id          TEXT   NOT NULL PRIMARY KEY,
    competition TEXT   NOT NULL,
    entry       TEXT   NOT NULL,
    player      TEXT   NOT NULL,
    status      TEXT   NOT NULL,
    position    BIGINT NOT NULL,
    doc         TEXT   NOT NULL
);
CREATE INDEX cards_competition ON cards (competition, id);
CREATE INDEX cards_player ON cards (player, id);

CREATE TABLE results (
    competition TEXT   NOT NULL,
    revision    BIGINT NOT NULL,
    position    BIGINT NOT NULL,
    doc         TEXT   NOT NULL,
    PRIMARY KEY (competition, revision)
);

-- +goose Down
DROP TABLE results;
DROP TABLE cards;
DROP TABLE competitions;
DROP TABLE players;
DROP TABLE courses;
DROP TABLE projection_checkpoints;
