-- The shop's policy as text, every version that was ever in force; the last one counts. Empty: the standard policy.
CREATE TABLE policies (
    number BIGINT NOT NULL PRIMARY KEY,
    made   BIGINT NOT NULL,
    device TEXT,
    text   TEXT   NOT NULL
);
