-- What lists and counts need of each job. All of it is derived from facts by the program and made again where it is of
-- older facts or of another program; it is never the truth, may be emptied at any time, and is not moved by `transfer`.

CREATE TABLE summaries (
    job      TEXT   NOT NULL PRIMARY KEY REFERENCES jobs (job),
    -- Revision of the facts it is of, and when the last of them arrived.
    revision BIGINT NOT NULL,
    changed  BIGINT NOT NULL,
    -- By what it was made: version of the code and the policy.
    made_by  TEXT   NOT NULL,
    -- Day it was made for. It counts only where facts of a later day are there: ahead = 1.
    day      TEXT   NOT NULL,
    ahead    BIGINT NOT NULL,
    place    TEXT   NOT NULL,
    town     TEXT   NOT NULL,
    invented BIGINT NOT NULL,
    -- Name, place and town in lower case.
    search   TEXT   NOT NULL
);

-- What is counted over all jobs, as JSON, apart from what is searched: rows that are read one after the other stay short.
CREATE TABLE summary_notes (
    job      TEXT   NOT NULL PRIMARY KEY REFERENCES jobs (job),
    -- Place in the order of making, by which a program asks for what is new to it.
    stamp    BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    changed  BIGINT NOT NULL,
    invented BIGINT NOT NULL,
    -- Empty where no fact opens the job.
    notes    TEXT   NOT NULL,
    -- What it says of durations and surprises; empty where nothing.
    past     TEXT   NOT NULL
);
CREATE UNIQUE INDEX summary_notes_stamp ON summary_notes (stamp);
CREATE INDEX summary_notes_past ON summary_notes (invented, changed DESC, job) WHERE past <> '';

-- What is due: one row a line of the board.
CREATE TABLE summary_due (
    day   TEXT   NOT NULL,
    job   TEXT   NOT NULL REFERENCES jobs (job),
    -- Which line of its job.
    line  BIGINT NOT NULL,
    due   TEXT   NOT NULL,
    PRIMARY KEY (day, job, line)
);
CREATE INDEX summary_due_job ON summary_due (job);

-- What had been predicted for joints before they were opened, beside what was found, as JSON.
CREATE TABLE summary_faced (
    job      TEXT   NOT NULL PRIMARY KEY REFERENCES jobs (job),
    stamp    BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    made_by  TEXT   NOT NULL,
    faced    TEXT   NOT NULL
);
CREATE UNIQUE INDEX summary_faced_stamp ON summary_faced (stamp);

CREATE INDEX jobs_changed ON jobs (changed DESC, job);
