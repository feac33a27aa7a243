-- Texts of the shop beside its policy, every version that was ever in force; of each kind the last one counts.
-- kind: "prices", the price book as CSV, empty for the invented one; "notice", what the state asks to be said of cancelling.
CREATE TABLE shop_texts (
    kind   TEXT   NOT NULL,
    number BIGINT NOT NULL,
    made   BIGINT NOT NULL,
    device TEXT   NOT NULL,
    text   TEXT   NOT NULL,
    PRIMARY KEY (kind, number)
);
