-- Edition 1 of the book. Everything is a STRICT table; a row that tells history is only ever added.
-- Stamps are UTC ("2026-11-25T18:45:51Z"), dates are civil ("2026-11-25"), money is in minor units,
-- ids are UUIDs of version 7 in text, short numbers are for people and are never given twice.

-- The next short number of each kind: `client`, `order`, and `card/<client id>`, `version/<order id>`, ...
-- The demo counts apart, from 9001 on (`demo client`, `demo order`).
CREATE TABLE next_number (
    kind TEXT PRIMARY KEY,
    next INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE setting (
    name  TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE client (
    id       TEXT PRIMARY KEY,
    number   INTEGER NOT NULL UNIQUE,
    demo     INTEGER NOT NULL DEFAULT 0,
    name     TEXT NOT NULL,              -- a name, or a code instead
    code     TEXT NOT NULL DEFAULT '',   -- stands on paper in place of the name, where she wants that
    contact  TEXT NOT NULL DEFAULT '',
    born     TEXT,
    figure   TEXT NOT NULL DEFAULT '',   -- posture and figure
    photos   TEXT NOT NULL DEFAULT 'not asked' CHECK (photos IN ('not asked', 'yes', 'no')),
    guardian TEXT NOT NULL DEFAULT '',   -- who consents for a minor
    allergies TEXT NOT NULL DEFAULT '',
    hand     TEXT NOT NULL DEFAULT '',
    notes    TEXT NOT NULL DEFAULT '',
    made     TEXT NOT NULL,
    changed  TEXT NOT NULL,
    seen     INTEGER NOT NULL DEFAULT 1  -- counts the changes, so that two windows never overwrite silently
) STRICT;

CREATE TABLE card (
    id         TEXT PRIMARY KEY,
    client     TEXT NOT NULL REFERENCES client (id),
    number     INTEGER NOT NULL,         -- of this client: her first card is 1
    taken      TEXT NOT NULL,
    taker      TEXT NOT NULL DEFAULT '',
    unit       TEXT NOT NULL CHECK (unit IN ('in', 'cm')),
    foundation TEXT NOT NULL DEFAULT '', -- what she wore under it
    shoes      TEXT NOT NULL DEFAULT '',
    waist      TEXT NOT NULL DEFAULT 'natural',
    notes      TEXT NOT NULL DEFAULT '',
    finished   INTEGER NOT NULL DEFAULT 0,
    made       TEXT NOT NULL,
    seen       INTEGER NOT NULL DEFAULT 1,
    UNIQUE (client, number)
) STRICT;

-- Only ever added to: the newest row of a measure and reading counts, an empty text takes it off the card.
CREATE TABLE reading (
    at       INTEGER PRIMARY KEY,
    card     TEXT NOT NULL REFERENCES card (id),
    measure  TEXT NOT NULL,              -- its name in the trade: "waist to knee"
    turn     INTEGER NOT NULL CHECK (turn IN (1, 2, 3)),
    text     TEXT NOT NULL,              -- as she typed it
    unit     TEXT NOT NULL,
    mm       REAL,                       -- derived; degrees for an angle
    made     TEXT NOT NULL,
    by       TEXT NOT NULL               -- 'here', or the device's name
) STRICT;
CREATE INDEX reading_of ON reading (card, measure, turn, at);

-- What she answered to a card's question; the newest row of a question counts.
CREATE TABLE answer (
    at       INTEGER PRIMARY KEY,
    card     TEXT NOT NULL REFERENCES card (id),
    question TEXT NOT NULL,              -- its key: the measures and what they read, so a new reading asks anew
    said     TEXT NOT NULL CHECK (said IN ('taken', 'right', 'later')),
    made     TEXT NOT NULL
) STRICT;

CREATE TABLE method (
    id      TEXT PRIMARY KEY,
    name    TEXT NOT NULL UNIQUE,        -- in its address: letters, digits, strokes
    source  TEXT NOT NULL,               -- 'own', 'copy of NAME', 'opened from a file'
    made    TEXT NOT NULL,
    put_away TEXT,
    seen    INTEGER NOT NULL DEFAULT 1
) STRICT;

-- Only ever added to: the newest text counts.
CREATE TABLE method_text (
    at      INTEGER PRIMARY KEY,
    method  TEXT NOT NULL REFERENCES method (id),
    text    TEXT NOT NULL,
    made    TEXT NOT NULL
) STRICT;

-- One design for several: a bridal party. Each of its orders has a card of its own.
CREATE TABLE party (
    id    TEXT PRIMARY KEY,
    name  TEXT NOT NULL,
    made  TEXT NOT NULL
) STRICT;

CREATE TABLE "order" (
    id        TEXT PRIMARY KEY,
    number    INTEGER NOT NULL UNIQUE,
    demo      INTEGER NOT NULL DEFAULT 0,
    client    TEXT NOT NULL REFERENCES client (id),
    party     TEXT REFERENCES party (id),
    after     TEXT REFERENCES "order" (id), -- made again from this one
    title     TEXT NOT NULL,             -- what is made, in her words
    method    TEXT NOT NULL,             -- the method's name when it was taken
    made      TEXT NOT NULL,
    closed    TEXT,
    seen      INTEGER NOT NULL DEFAULT 1
) STRICT;

-- The order as it lies on the table now: a flat map, so that every change can be taken back the same way.
-- Keys: `card` (a card's id), `method` (text), `methods` (JSON list of the texts it uses),
-- `choice/<name>`, `cloth/<shell|lining|interlining|net>` (a page of cloth), `correction/<id>`
-- (a page of corrections), `lay/<cloth>` (JSON), `stage` (`toile` or `cloth`), `predict` (`no`), `signed`, `signed/for` (JSON: what it was given for), `note`, `quote/<name>`.
CREATE TABLE holds (
    "order" TEXT NOT NULL REFERENCES "order" (id),
    key     TEXT NOT NULL,
    value   TEXT,                        -- NULL: it was taken off
    seen    INTEGER NOT NULL,            -- the order's count when this key was last changed
    PRIMARY KEY ("order", key)
) STRICT, WITHOUT ROWID;

-- What was changed, to be taken back and put again, over restarts, until the order is closed.
CREATE TABLE journal (
    at      INTEGER PRIMARY KEY,
    "order" TEXT NOT NULL REFERENCES "order" (id),
    label   TEXT NOT NULL,               -- "knee tightening 2 1/2 to 2 3/4"
    changes TEXT NOT NULL,               -- JSON: [{ "key", "before": text or null, "after": text or null }]
    made    TEXT NOT NULL,
    by      TEXT NOT NULL,
    undone  INTEGER NOT NULL DEFAULT 0,
    dropped INTEGER NOT NULL DEFAULT 0   -- 1 with `undone`: was taken back, and then something else was done;
                                         -- 1 without: was settled when the order was closed
) STRICT;
CREATE INDEX journal_of ON journal ("order", at);

CREATE TABLE version (
    id      TEXT PRIMARY KEY,
    "order" TEXT NOT NULL REFERENCES "order" (id),
    number  INTEGER NOT NULL,
    mark    TEXT NOT NULL,               -- the short hash that stands on every sheet
    why     TEXT NOT NULL,               -- 'paper', 'fitting'
    holds   TEXT NOT NULL,               -- JSON: the order's map as it was
    card    TEXT NOT NULL,               -- the card as a CARD.toml, as it was
    report  TEXT NOT NULL,               -- report.json
    stopped TEXT NOT NULL DEFAULT '',    -- the stops that stood when it was printed
    made    TEXT NOT NULL,
    UNIQUE ("order", number)
) STRICT;

-- A paper once made is kept as made.
CREATE TABLE paper (
    id      TEXT PRIMARY KEY,
    version TEXT NOT NULL REFERENCES version (id),
    name    TEXT NOT NULL,               -- 'pattern-a4.pdf'
    looks   TEXT NOT NULL DEFAULT '',    -- how it was drawn, where not as usual
    sheets  INTEGER,
    bytes   BLOB NOT NULL,
    made    TEXT NOT NULL,
    UNIQUE (version, name, looks)
) STRICT;

CREATE TABLE fitting (
    id      TEXT PRIMARY KEY,
    "order" TEXT NOT NULL REFERENCES "order" (id),
    number  INTEGER NOT NULL,
    on_day  TEXT NOT NULL,
    stage   TEXT NOT NULL CHECK (stage IN ('toile', 'cloth', 'finished')),
    notes   TEXT NOT NULL DEFAULT '',
    signed  TEXT NOT NULL DEFAULT '',    -- who was content, and when
    version TEXT REFERENCES version (id),
    made    TEXT NOT NULL,
    seen    INTEGER NOT NULL DEFAULT 1,
    UNIQUE ("order", number)
) STRICT;

CREATE TABLE pin (
    id      TEXT PRIMARY KEY,
    fitting TEXT NOT NULL REFERENCES fitting (id),
    place   TEXT NOT NULL,               -- JSON: piece, edge, from, to
    side    TEXT NOT NULL CHECK (side IN ('left', 'right', 'both')),
    action  TEXT NOT NULL,               -- 'take in', 'let out', 'raise', 'drop', 'note'
    depth   TEXT NOT NULL,               -- as she typed it
    counted TEXT NOT NULL CHECK (counted IN ('each', 'in all')),
    words   TEXT NOT NULL DEFAULT '',
    on_cloth INTEGER NOT NULL DEFAULT 0,
    became  TEXT NOT NULL DEFAULT '',    -- '', 'choice/<name>' or 'correction/<id>'
    by      TEXT NOT NULL,
    made    TEXT NOT NULL
) STRICT;

CREATE TABLE day (
    id      TEXT PRIMARY KEY,
    "order" TEXT NOT NULL REFERENCES "order" (id),
    kind    TEXT NOT NULL,               -- 'enquiry', 'measure', 'toile', 'fitting', 'hem', 'event', 'collection', 'care'
    on_day  TEXT NOT NULL,
    at_time TEXT NOT NULL DEFAULT '',    -- '10:30'
    words   TEXT NOT NULL DEFAULT '',
    state   TEXT NOT NULL DEFAULT 'comes' CHECK (state IN ('comes', 'done', 'postponed', 'cancelled')),
    made    TEXT NOT NULL
) STRICT;

CREATE TABLE picture (
    id      TEXT PRIMARY KEY,
    client  TEXT REFERENCES client (id),
    "order" TEXT REFERENCES "order" (id),
    words   TEXT NOT NULL,               -- what it shows: its text alternative
    kind    TEXT NOT NULL CHECK (kind IN ('image/jpeg', 'image/png')),
    bytes   BLOB NOT NULL,
    made    TEXT NOT NULL
) STRICT;

-- The price book: a price is never changed, a newer one is added.
CREATE TABLE price (
    id       TEXT PRIMARY KEY,
    kind     TEXT NOT NULL CHECK (kind IN ('cloth', 'notion', 'hour', 'other')),
    name     TEXT NOT NULL,
    page     TEXT NOT NULL DEFAULT '',   -- a cloth's page
    unit     TEXT NOT NULL,              -- 'yd', 'm', 'piece', 'hour'
    minor    INTEGER NOT NULL,
    currency TEXT NOT NULL,
    supplier TEXT NOT NULL DEFAULT '',
    since    TEXT NOT NULL,
    put_away TEXT,
    demo     INTEGER NOT NULL DEFAULT 0
) STRICT;

-- A lay that was found for a cloth of an order.
CREATE TABLE lay (
    id      TEXT PRIMARY KEY,
    "order" TEXT NOT NULL REFERENCES "order" (id),
    cloth   TEXT NOT NULL,               -- 'shell', 'lining', ...
    asked   TEXT NOT NULL,               -- JSON: what was laid, on what cloth, how: its key
    found   TEXT NOT NULL,               -- JSON: lay.json
    chosen  INTEGER NOT NULL DEFAULT 0,
    made    TEXT NOT NULL
) STRICT;

-- A quote as it was given; its figures never change afterwards.
CREATE TABLE quote (
    id      TEXT PRIMARY KEY,
    "order" TEXT NOT NULL REFERENCES "order" (id),
    number  INTEGER NOT NULL,
    asked   TEXT NOT NULL,               -- JSON: every figure it was reckoned from
    total   INTEGER NOT NULL,
    currency TEXT NOT NULL,
    valid   TEXT NOT NULL,
    bytes   BLOB,
    made    TEXT NOT NULL,
    UNIQUE ("order", number)
) STRICT;

CREATE TABLE payment (
    id       TEXT PRIMARY KEY,
    "order"  TEXT NOT NULL REFERENCES "order" (id),
    on_day   TEXT NOT NULL,
    minor    INTEGER NOT NULL,           -- below nothing when it was paid back
    currency TEXT NOT NULL,
    words    TEXT NOT NULL DEFAULT '',
    made     TEXT NOT NULL
) STRICT;

-- What it really took, beside the quote.
CREATE TABLE actual (
    id      TEXT PRIMARY KEY,
    "order" TEXT NOT NULL REFERENCES "order" (id),
    stage   TEXT NOT NULL,
    minutes INTEGER NOT NULL DEFAULT 0,
    minor   INTEGER NOT NULL DEFAULT 0,
    on_day  TEXT NOT NULL,
    words   TEXT NOT NULL DEFAULT '',
    made    TEXT NOT NULL
) STRICT;

-- A phone that was paired: its key is kept only as a hash.
CREATE TABLE device (
    id       TEXT PRIMARY KEY,
    name     TEXT NOT NULL,
    key_hash TEXT NOT NULL UNIQUE,
    made     TEXT NOT NULL,
    seen_at  TEXT NOT NULL,
    forgotten TEXT
) STRICT;

-- Who was erased: the id alone, so that an old backup that is restored erases again.
CREATE TABLE erased (
    client TEXT PRIMARY KEY,
    made   TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- What belongs to what is found without reading everything.
CREATE INDEX order_of_client ON "order" (client);
CREATE INDEX order_of_party ON "order" (party) WHERE party IS NOT NULL;
CREATE INDEX order_after ON "order" (after) WHERE after IS NOT NULL;
CREATE INDEX answer_of ON answer (card, at);
CREATE INDEX text_of ON method_text (method, at);
CREATE INDEX fitting_of_version ON fitting (version) WHERE version IS NOT NULL;
CREATE INDEX pin_of ON pin (fitting);
CREATE INDEX day_of ON day ("order");
CREATE INDEX day_on ON day (on_day) WHERE state = 'comes';
CREATE INDEX picture_of_client ON picture (client) WHERE client IS NOT NULL;
CREATE INDEX picture_of_order ON picture ("order") WHERE "order" IS NOT NULL;
CREATE INDEX price_of ON price (kind, name, since);
CREATE INDEX lay_of ON lay ("order", cloth);
CREATE INDEX payment_of ON payment ("order");
CREATE INDEX actual_of ON actual ("order");

-- Holds a row only inside the one transaction that erases a client (or takes the demo away): the triggers
-- below let go only then.
CREATE TABLE erasing (
    client TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;

CREATE TRIGGER reading_stays BEFORE DELETE ON reading WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'reading: what was written stays'); END;
CREATE TRIGGER answer_stays BEFORE DELETE ON answer WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'answer: what was written stays'); END;
CREATE TRIGGER method_text_stays BEFORE DELETE ON method_text WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'method_text: what was written stays'); END;
CREATE TRIGGER version_stays BEFORE DELETE ON version WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'version: what was written stays'); END;
CREATE TRIGGER paper_stays BEFORE DELETE ON paper WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'paper: what was written stays'); END;
CREATE TRIGGER quote_stays BEFORE DELETE ON quote WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'quote: what was written stays'); END;
CREATE TRIGGER price_stays BEFORE DELETE ON price WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'price: what was written stays'); END;
CREATE TRIGGER journal_stays BEFORE DELETE ON journal WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'journal: what was written stays'); END;
CREATE TRIGGER reading_as_written BEFORE UPDATE ON reading WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'reading: what was written stays as it was written'); END;
CREATE TRIGGER answer_as_written BEFORE UPDATE ON answer WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'answer: what was written stays as it was written'); END;
CREATE TRIGGER method_text_as_written BEFORE UPDATE ON method_text WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'method_text: what was written stays as it was written'); END;
CREATE TRIGGER version_as_written BEFORE UPDATE ON version WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'version: what was written stays as it was written'); END;
CREATE TRIGGER paper_as_written BEFORE UPDATE ON paper WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'paper: what was written stays as it was written'); END;
-- The sheet of a quote bears its number, so it is made after the row, and put in once.
CREATE TRIGGER quote_as_written BEFORE UPDATE ON quote
WHEN NOT EXISTS (SELECT 1 FROM erasing)
     AND NOT (OLD.bytes IS NULL AND OLD.id = NEW.id AND OLD."order" = NEW."order" AND OLD.number = NEW.number
              AND OLD.asked = NEW.asked AND OLD.total = NEW.total AND OLD.currency = NEW.currency
              AND OLD.valid = NEW.valid AND OLD.made = NEW.made)
BEGIN SELECT RAISE(ABORT, 'quote: what was written stays as it was written'); END;
CREATE TRIGGER price_as_written BEFORE UPDATE OF id, kind, name, page, unit, minor, currency, supplier, since, demo ON price WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'price: what was written stays as it was written'); END;
CREATE TRIGGER journal_as_written BEFORE UPDATE OF at, "order", label, changes, made, by ON journal WHEN NOT EXISTS (SELECT 1 FROM erasing)
BEGIN SELECT RAISE(ABORT, 'journal: what was written stays as it was written'); END;
