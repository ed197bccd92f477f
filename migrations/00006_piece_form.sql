-- +goose Up
CREATE TABLE piece_form (
    pattern_id     bigint PRIMARY KEY REFERENCES pattern ON DELETE CASCADE,
    form           text NOT NULL,
    inputs         jsonb NOT NULL,
    last_generated text NOT NULL,
    drafted_at     timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT piece_form_named CHECK (char_length(form) BETWEEN 1 AND 40),
    CONSTRAINT piece_form_generated_length CHECK (octet_length(last_generated) <= 1048576)
);
COMMENT ON TABLE piece_form IS 'What a pattern was drafted from: the base of a three-way merge when it is drafted anew.';
COMMENT ON COLUMN piece_form.form IS 'Name of the form in package sizing.';
COMMENT ON COLUMN piece_form.inputs IS 'The fields of the page as they were filled in.';
COMMENT ON COLUMN piece_form.last_generated IS 'The manuscript as it was drafted last, before anybody edited it.';

-- +goose Down
DROP TABLE piece_form;
