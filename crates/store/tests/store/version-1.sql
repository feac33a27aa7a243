-- A data folder of database version 1 as SQL text: invented facts, made once by the program of that version.
-- Never change this file: it stands for folders that exist.
PRAGMA foreign_keys = OFF;
CREATE TABLE _sqlx_migrations (
    version BIGINT PRIMARY KEY,
    description TEXT NOT NULL,
    installed_on TIMESTAMP NOT NULL DEFAULT CURRENT_TIMESTAMP,
    success BOOLEAN NOT NULL,
    checksum BLOB NOT NULL,
    execution_time BIGINT NOT NULL
);
INSERT INTO "_sqlx_migrations" VALUES(1,'facts photos devices','2026-11-26 00:00:00',1,X'3627719D2FC497880678634724E0E6AA0C952F8ECCD93353EB0A442D246353DEF8E52E9BED8EAB1C7AD9A2D098F484D7',1);
CREATE TABLE devices (
    device     TEXT   NOT NULL PRIMARY KEY,
    name       TEXT   NOT NULL,
    token_hash TEXT   NOT NULL UNIQUE,
    joined     BIGINT NOT NULL,
    expires    BIGINT NOT NULL,
    seen       BIGINT,
    revoked    BIGINT
);
INSERT INTO "devices" VALUES('d1','phone of JD','02cca542fab7a62e28d2fe6845cf9b8e3d88d49fe778d43e83b7c79e410a4cd7',1,100000,NULL,NULL);
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
INSERT INTO "facts" VALUES('a','job-a',1,1000,'e1','phone','{"v":1,"id":"job-a","at":"2026-03-04T00:00:00","by":"JD","body":{"kind":"job","job":"a","invented":true,"place":"14 Example Lane","town":"Quenmarsh","owner":"the owner","opened":"2026-03-04"}}');
INSERT INTO "facts" VALUES('a','decision-693f627a4345',2,1000,'e1','phone','{"v":1,"id":"decision-693f627a4345","at":"2026-03-04T15:01:00","by":"JD","body":{"kind":"decision","words":"wait","declined":false}}');
CREATE TABLE invitations (
    code_hash TEXT   NOT NULL PRIMARY KEY,
    made      BIGINT NOT NULL,
    expires   BIGINT NOT NULL,
    used      BIGINT,
    device    TEXT REFERENCES devices (device)
);
INSERT INTO "invitations" VALUES('f57cbf1e3e471b25db4b8ad0844df41b2dae9c7d1944944d128e49294d412f66',1,100,2,'d1');
CREATE TABLE jobs (
    job      TEXT   NOT NULL PRIMARY KEY,
    -- Number of the last fact that arrived; 0 where none did.
    revision BIGINT NOT NULL,
    created  BIGINT NOT NULL,
    changed  BIGINT NOT NULL
);
INSERT INTO "jobs" VALUES('a',2,1000,1000);
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
INSERT INTO "photos" VALUES('a','d8d4b13be791e09550c7d05557b6c8a98ee553c8dc41555219982339eb421665','image/jpeg',3000,1000);
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
INSERT INTO "receipts" VALUES('a','e1','124ee74568d31db70cb3560384139d8cb604350d05917b3862ac4851ff85eee2',2,2,1000);
CREATE TABLE renditions (
    photo      TEXT   NOT NULL,
    form       TEXT   NOT NULL,
    sha256     TEXT   NOT NULL,
    media_type TEXT   NOT NULL,
    bytes      BIGINT NOT NULL,
    PRIMARY KEY (photo, form)
);
INSERT INTO "renditions" VALUES('d8d4b13be791e09550c7d05557b6c8a98ee553c8dc41555219982339eb421665','thumb','ba9eabc10ab8c15e889eada799935571dacc4ba7c5b5203a61008638dc78d922','image/jpeg',300);
