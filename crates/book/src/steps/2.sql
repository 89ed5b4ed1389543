-- Edition 2: what was agreed about photographs, in words; and what was kept about a client before each change.

ALTER TABLE client ADD COLUMN consent TEXT NOT NULL DEFAULT ''; -- who agreed to what, and when

-- Of a picture in which she is seen: who agreed that it is kept. Empty where nobody is seen.
ALTER TABLE picture ADD COLUMN consent TEXT NOT NULL DEFAULT '';

-- Only ever added to: one row for each thing that was changed about a client.
CREATE TABLE client_change (
    at     INTEGER PRIMARY KEY,
    client TEXT NOT NULL REFERENCES client (id),
    field  TEXT NOT NULL,               -- 'contact', 'allergies', ...; 'joined': another entry of hers
    before TEXT NOT NULL,
    after  TEXT NOT NULL,
    seen   INTEGER NOT NULL,            -- the client's count after the change
    made   TEXT NOT NULL,
    by     TEXT NOT NULL                -- 'here', or the device's name
) STRICT;
CREATE INDEX client_change_of ON client_change (client, at);

CREATE TRIGGER client_change_stays BEFORE DELETE ON client_change WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'client_change: what was written stays'); END;
-- To another client it goes only when two entries of one are joined.
CREATE TRIGGER client_change_as_written BEFORE UPDATE OF at, field, before, after, made, by ON client_change
WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'client_change: what was written stays as it was written'); END;
