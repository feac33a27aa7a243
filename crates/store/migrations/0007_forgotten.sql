-- When the job's customer was forgotten; nothing where that was not asked for. From then on every fact of the job is
-- stored redacted, and no photo of it is kept.
ALTER TABLE jobs ADD COLUMN forgotten BIGINT;
