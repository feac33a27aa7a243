-- Version 1. Only TEXT, BIGINT and DOUBLE PRECISION; ids are made by the program; moments are milliseconds since
-- 1970-01-01 UTC; JSON is TEXT. The same text is meant to run on SQLite and on PostgreSQL.
-- Never change this file: a change is a new file.

CREATE TABLE jobs (
    job      TEXT   NOT NULL PRIMARY KEY,
    -- Number of the last fact that arrived; 0 where none did.
    revision BIGINT NOT NULL,
    created  BIGINT NOT NULL,
    changed  BIGINT NOT NULL
);

CREATE TABLE facts (
    job      TEXT   NOT NULL REFERENCES jobs (job),
    -- Id of the fact, unique in its job.
    fact     TEXT   NOT NULL,
    -- Place in the order of arrival, from 1 without a gap.
    revision BIGINT NOT NULL,
    received BIGINT NOT NULL,
    -- Entry it came with.
    entry    TEXT   NOT NULL,
    -- Device it came from, where it came from one. No foreign key: a fact outlives its device.
    device   TEXT,
    json     TEXT   NOT NULL,
    PRIMARY KEY (job, fact),
    UNIQUE (job, revision)
);

-- What an entry came to, so that the same entry sent again gets the same answer.
CREATE TABLE receipts (
    job         TEXT   NOT NULL REFERENCES jobs (job),
    entry       TEXT   NOT NULL,
    -- SHA-256 of what the entry says.
    fingerprint TEXT   NOT NULL,
    stored      BIGINT NOT NULL,
    revision    BIGINT NOT NULL,
    received    BIGINT NOT NULL,
    PRIMARY KEY (job, entry)
);

CREATE TABLE photos (
    job        TEXT   NOT NULL REFERENCES jobs (job),
    -- SHA-256 of the original.
    sha256     TEXT   NOT NULL,
    media_type TEXT   NOT NULL,
    -- Length of the original; 0 where only renditions are here, as after an import without originals.
    bytes      BIGINT NOT NULL,
    received   BIGINT NOT NULL,
    PRIMARY KEY (job, sha256)
);

-- Smaller or cleaned forms of a photo, each known by the hash of its own bytes.
CREATE TABLE renditions (
    photo      TEXT   NOT NULL,
    form       TEXT   NOT NULL,
    sha256     TEXT   NOT NULL,
    media_type TEXT   NOT NULL,
    bytes      BIGINT NOT NULL,
    PRIMARY KEY (photo, form)
);

CREATE TABLE devices (
    device     TEXT   NOT NULL PRIMARY KEY,
    name       TEXT   NOT NULL,
    token_hash TEXT   NOT NULL UNIQUE,
    joined     BIGINT NOT NULL,
    expires    BIGINT NOT NULL,
    seen       BIGINT,
    revoked    BIGINT
);

CREATE TABLE invitations (
    code_hash TEXT   NOT NULL PRIMARY KEY,
    made      BIGINT NOT NULL,
    expires   BIGINT NOT NULL,
    used      BIGINT,
    device    TEXT REFERENCES devices (device)
);
