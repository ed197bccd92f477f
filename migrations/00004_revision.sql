-- +goose Up

CREATE TABLE revision (
    id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id   bigint NOT NULL REFERENCES pattern,
    number       integer NOT NULL,
    purpose      text NOT NULL,
    version      integer NOT NULL,
    snapshot_id  bigint NOT NULL REFERENCES snapshot,
    title        text NOT NULL,
    manuscript   text NOT NULL,
    report       jsonb NOT NULL,
    checker      text NOT NULL,
    note         text NOT NULL DEFAULT '',
    proved       boolean NOT NULL,
    dated        timestamptz NOT NULL DEFAULT now(),
    published_by bigint,
    CONSTRAINT revision_number_positive CHECK (number >= 1),
    CONSTRAINT revision_purpose CHECK (purpose IN ('test', 'release')),
    CONSTRAINT revision_manuscript_size CHECK (octet_length(manuscript) <= 1048576),
    CONSTRAINT revision_number_once UNIQUE (pattern_id, number)
);
COMMENT ON TABLE revision IS 'A pattern as it went out, to test knitters or to readers. Never changes.';
COMMENT ON COLUMN revision.number IS 'Counts the pattern''s revisions of both purposes from 1.';
COMMENT ON COLUMN revision.report IS 'The review''s report on this text when it went out.';
COMMENT ON COLUMN revision.checker IS 'Version of the program that wrote the report.';
COMMENT ON COLUMN revision.proved IS 'False when errors were left in, each with a reason in waiver: prints say "not proved".';
COMMENT ON COLUMN revision.published_by IS 'account.id, without a foreign key: the account may go, this row may not change.';
CREATE INDEX revision_snapshot ON revision (snapshot_id);

CREATE TABLE revision_row (
    revision_id bigint NOT NULL REFERENCES revision,
    ordinal     integer NOT NULL,
    row_id      bigint NOT NULL REFERENCES row_identity,
    piece       text NOT NULL,
    head        text NOT NULL,
    text        text NOT NULL,
    counts      integer[] NOT NULL,
    PRIMARY KEY (revision_id, ordinal),
    CONSTRAINT revision_row_once UNIQUE (revision_id, row_id)
);
COMMENT ON TABLE revision_row IS 'What each row said in a revision, so that an erratum shows what it said then and what it says now.';
COMMENT ON COLUMN revision_row.counts IS 'Stitches after the row for each size in order; null for a size that does not work it or whose count is not known. Empty when no count is known.';
CREATE INDEX revision_row_row ON revision_row (row_id);

CREATE TABLE revision_size (
    revision_id bigint NOT NULL REFERENCES revision,
    ordinal     integer NOT NULL,
    size_id     bigint NOT NULL REFERENCES size,
    label       text NOT NULL,
    PRIMARY KEY (revision_id, ordinal),
    CONSTRAINT revision_size_once UNIQUE (revision_id, size_id)
);
COMMENT ON TABLE revision_size IS 'The sizes of a revision, as they were called then.';

CREATE TABLE waiver (
    id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    revision_id bigint NOT NULL REFERENCES revision,
    code        text NOT NULL,
    row_id      bigint REFERENCES row_identity,
    reason      text NOT NULL,
    account_id  bigint,
    CONSTRAINT waiver_reason_given CHECK (char_length(btrim(reason)) BETWEEN 1 AND 2000)
);
COMMENT ON TABLE waiver IS 'Why an error of the review was left in a revision.';
COMMENT ON COLUMN waiver.row_id IS 'The row it stands on; null when on none.';
CREATE INDEX waiver_revision ON waiver (revision_id);
CREATE INDEX waiver_row ON waiver (row_id) WHERE row_id IS NOT NULL;

-- +goose StatementBegin
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'a revision never changes: % of % refused', TG_OP, TG_TABLE_NAME
        USING ERRCODE = 'restrict_violation';
END
$$;
-- +goose StatementEnd
COMMENT ON FUNCTION refuse_change IS 'Keeps revisions, their rows, sizes and waivers as they went out.';

CREATE TRIGGER revision_never_changes BEFORE UPDATE OR DELETE ON revision FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER revision_row_never_changes BEFORE UPDATE OR DELETE ON revision_row FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER revision_size_never_changes BEFORE UPDATE OR DELETE ON revision_size FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER waiver_never_changes BEFORE UPDATE OR DELETE ON waiver FOR EACH ROW EXECUTE FUNCTION refuse_change();

-- +goose Down
DROP TABLE waiver;
DROP TABLE revision_size;
DROP TABLE revision_row;
DROP TABLE revision;
DROP FUNCTION refuse_change;
