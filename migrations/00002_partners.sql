-- The other players of a side, so that a card is found by any of them; empty
-- where there are fewer.

-- +goose Up
ALTER TABLE cards ADD COLUMN player2 TEXT NOT NULL DEFAULT '';
ALTER TABLE cards ADD COLUMN player3 TEXT NOT NULL DEFAULT '';
ALTER TABLE cards ADD COLUMN player4 TEXT NOT NULL DEFAULT '';
CREATE INDEX cards_player2 ON cards (player2, id);
CREATE INDEX cards_player3 ON cards (player3, id);
CREATE INDEX cards_player4 ON cards (player4, id);

-- +goose Down
DROP INDEX cards_player4;
DROP INDEX cards_player3;
DROP INDEX cards_player2;
ALTER TABLE cards DROP COLUMN player4;
ALTER TABLE cards DROP COLUMN player3;
ALTER TABLE cards DROP COLUMN player2;
