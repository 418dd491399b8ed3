-- SPDX-License-Identifier: Apache-2.0

-- +goose Up

-- The logs. Rows are only ever added. line is the entry, byte for byte; the
-- columns beside it repeat what is in it so that it can be found. change
-- counts the entries of all logs in the order in which they were kept.
CREATE TABLE entries (
    change  INTEGER PRIMARY KEY,
    subject TEXT   NOT NULL,
    seq     BIGINT NOT NULL,
    id      TEXT   NOT NULL,
    line    BLOB   NOT NULL,
    leaf    BLOB   NOT NULL,
    UNIQUE (subject, seq),
    UNIQUE (id)
);

-- +goose StatementBegin
CREATE TRIGGER entries_never_change BEFORE UPDATE ON entries
BEGIN
    SELECT RAISE(ABORT, 'entries never change');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entries_never_go BEFORE DELETE ON entries
BEGIN
    SELECT RAISE(ABORT, 'entries never go');
END;
-- +goose StatementEnd

CREATE TABLE credentials (
    person TEXT PRIMARY KEY,
    hash   BLOB NOT NULL
);

-- hash is the SHA-256 of the token; the token itself is nowhere.
CREATE TABLE sessions (
    hash   TEXT   PRIMARY KEY,
    data   BLOB   NOT NULL,
    expiry BIGINT NOT NULL
);

CREATE TABLE settings (
    name  TEXT PRIMARY KEY,
    value TEXT NOT NULL
);

CREATE TABLE failures (
    name  TEXT   PRIMARY KEY,
    count BIGINT NOT NULL,
    last  BIGINT NOT NULL
);

-- +goose Down
DROP TABLE failures;
DROP TABLE settings;
DROP TABLE sessions;
DROP TABLE credentials;
DROP TABLE entries;
