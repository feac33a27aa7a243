-- How urgent each job is by its last judgement, beside its summary, so that lists can be ordered by it. Like the summary it is
-- derived, may be emptied, and is not moved by `transfer`. The program says what the bands mean; 3 is "not known".

ALTER TABLE summaries ADD COLUMN band BIGINT NOT NULL DEFAULT 3;
-- Revision of the facts that were judged, for which day, and by which policy.
ALTER TABLE summaries ADD COLUMN judged BIGINT NOT NULL DEFAULT 0;
ALTER TABLE summaries ADD COLUMN judged_day TEXT NOT NULL DEFAULT '';
ALTER TABLE summaries ADD COLUMN judged_by TEXT NOT NULL DEFAULT '';
CREATE INDEX summaries_band ON summaries (band, changed, job);

-- The band of its job, for the board.
ALTER TABLE summary_due ADD COLUMN band BIGINT NOT NULL DEFAULT 3;
CREATE INDEX summary_due_band ON summary_due (band, day, job, line);
