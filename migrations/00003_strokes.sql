-- What players logged, a card a row. A player column names who plays a ball of
-- their own; empty where there are fewer, and for a side that plays one ball.

-- +goose Up
CREATE TABLE strokes (
    id       TEXT    NOT NULL PRIMARY KEY,
    player   TEXT    NOT NULL,
    player2  TEXT    NOT NULL,
    player3  TEXT    NOT NULL,
    player4  TEXT    NOT NULL,
    date     TEXT    NOT NULL,
    round    BIGINT  NOT NULL,
    returned BOOLEAN NOT NULL,
    practice BOOLEAN NOT NULL,
    logged   BIGINT  NOT NULL,
    position BIGINT  NOT NULL,
    doc      TEXT    NOT NULL
);
CREATE INDEX strokes_player ON strokes (player, date);
CREATE INDEX strokes_player2 ON strokes (player2, date);
CREATE INDEX strokes_player3 ON strokes (player3, date);
CREATE INDEX strokes_player4 ON strokes (player4, date);

-- +goose Down
DROP TABLE strokes;
