-- Persons with a role and a password; their devices; what was done by whom; links for others to one paper or one job.

CREATE TABLE persons (
    person   TEXT   NOT NULL PRIMARY KEY,
    name     TEXT   NOT NULL,
    -- The name as it is looked for: in small letters, blanks folded.
    sought   TEXT   NOT NULL UNIQUE,
    role     TEXT   NOT NULL,
    -- PHC text of the password's hash; empty until it was set.
    password TEXT   NOT NULL,
    made     BIGINT NOT NULL,
    revoked  BIGINT
);

-- The person a device or an invitation is of; empty: a device that joined by a code alone.
ALTER TABLE devices ADD COLUMN person TEXT NOT NULL DEFAULT '';
ALTER TABLE invitations ADD COLUMN person TEXT NOT NULL DEFAULT '';

-- Rows are only ever added; triggers that the program sets up refuse anything else.
CREATE TABLE audit (
    number BIGINT NOT NULL PRIMARY KEY,
    at     BIGINT NOT NULL,
    -- Person and device that did it, by their ids; empty where there was none.
    person TEXT   NOT NULL,
    device TEXT   NOT NULL,
    act    TEXT   NOT NULL,
    -- What it was done to, by an id; never a name of a customer, place or job.
    object TEXT   NOT NULL
);

CREATE TABLE links (
    link       TEXT   NOT NULL PRIMARY KEY,
    token_hash TEXT   NOT NULL UNIQUE,
    job        TEXT   NOT NULL,
    -- The paper it opens; empty: those of the whole job.
    paper      TEXT   NOT NULL,
    audience   TEXT   NOT NULL,
    made       BIGINT NOT NULL,
    device     TEXT   NOT NULL,
    expires    BIGINT NOT NULL,
    revoked    BIGINT
);

-- The links of a job, for its page.
CREATE INDEX links_of_job ON links (job);
