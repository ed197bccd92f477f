-- +goose Up

CREATE TABLE pattern (
    id               bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    studio_id        bigint NOT NULL REFERENCES studio ON DELETE CASCADE,
    slug             text NOT NULL UNIQUE,
    title            text NOT NULL,
    state            text NOT NULL DEFAULT 'draft',
    version          integer NOT NULL DEFAULT 1,
    manuscript       text NOT NULL,
    notes            text NOT NULL DEFAULT '',
    errors           integer NOT NULL DEFAULT 0,
    warnings         integer NOT NULL DEFAULT 0,
    head_snapshot_id bigint,
    copied_from      bigint REFERENCES pattern ON DELETE SET NULL,
    created_at       timestamptz NOT NULL DEFAULT now(),
    updated_at       timestamptz NOT NULL DEFAULT now(),
    deleted_at       timestamptz,
    CONSTRAINT pattern_slug_form CHECK (slug ~ '^[a-z0-9]+(-[a-z0-9]+)*$' AND char_length(slug) <= 80),
    CONSTRAINT pattern_state CHECK (state IN ('draft', 'testing', 'published', 'revised')),
    CONSTRAINT pattern_version_positive CHECK (version >= 1),
    CONSTRAINT pattern_manuscript_size CHECK (octet_length(manuscript) <= 1048576),
    CONSTRAINT pattern_counts_not_negative CHECK (errors >= 0 AND warnings >= 0)
);
COMMENT ON TABLE pattern IS 'A pattern as it stands now. The manuscript owns what the proof reads; title, notes, errors and warnings are read off it at each save.';
COMMENT ON COLUMN pattern.slug IS 'Name in addresses, unique in the installation; fixed from the first published revision on.';
COMMENT ON COLUMN pattern.version IS 'Counts accepted texts; a save names the version it started from and loses when that is no longer this one.';
COMMENT ON COLUMN pattern.notes IS 'The prose notes that stand in the manuscript; private notes are in table note.';
COMMENT ON COLUMN pattern.errors IS 'Errors found by the review of this version.';
COMMENT ON COLUMN pattern.head_snapshot_id IS 'The snapshot of this version.';
COMMENT ON COLUMN pattern.deleted_at IS 'In the bin since; null when not. Revisions stay for those who hold a copy.';
CREATE INDEX pattern_studio ON pattern (studio_id, updated_at DESC);

CREATE TABLE snapshot (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    version    integer,
    parent_id  bigint REFERENCES snapshot,
    shows_id   bigint REFERENCES snapshot,
    author_id  bigint REFERENCES account ON DELETE SET NULL,
    reason     text NOT NULL,
    manuscript text NOT NULL,
    row_ids    bigint[] NOT NULL DEFAULT '{}',
    created_at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT snapshot_reason CHECK (reason IN ('created', 'copied', 'saved', 'autosaved', 'mended', 'form', 'undone', 'redone', 'restored', 'conflict')),
    CONSTRAINT snapshot_version_unless_conflict CHECK ((reason = 'conflict') = (version IS NULL)),
    CONSTRAINT snapshot_shows_when_stepping CHECK ((reason IN ('undone', 'redone')) = (shows_id IS NOT NULL)),
    CONSTRAINT snapshot_manuscript_size CHECK (octet_length(manuscript) <= 1048576),
    CONSTRAINT snapshot_version_once UNIQUE (pattern_id, version)
);
COMMENT ON TABLE snapshot IS 'Every text a pattern had, oldest first by id; append only, but for the thinning of autosaves (studio.Thin).';
COMMENT ON COLUMN snapshot.version IS 'The pattern''s version with this text; null for the kept text of a save that lost.';
COMMENT ON COLUMN snapshot.parent_id IS 'The snapshot this one was made from.';
COMMENT ON COLUMN snapshot.shows_id IS 'For an undo or redo: the snapshot whose text came back.';
COMMENT ON COLUMN snapshot.author_id IS 'Who saved it; null for the program itself and for deleted accounts.';
COMMENT ON COLUMN snapshot.row_ids IS 'row_identity of each row of this text in order, so that undo brings back the very same rows.';
CREATE INDEX snapshot_parent ON snapshot (parent_id);
CREATE INDEX snapshot_shows ON snapshot (shows_id) WHERE shows_id IS NOT NULL;
ALTER TABLE pattern ADD CONSTRAINT pattern_head_snapshot FOREIGN KEY (head_snapshot_id) REFERENCES snapshot DEFERRABLE INITIALLY DEFERRED;
CREATE INDEX pattern_head ON pattern (head_snapshot_id);

CREATE TABLE row_identity (
    id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id   bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    born_version integer NOT NULL,
    CONSTRAINT row_identity_born CHECK (born_version >= 1)
);
COMMENT ON TABLE row_identity IS 'A written row through all edits; errata hang on it. Never removed while the pattern lives.';
COMMENT ON COLUMN row_identity.born_version IS 'The pattern''s version in which the row first stood (snapshots may be thinned, versions keep their numbers).';
CREATE INDEX row_identity_pattern ON row_identity (pattern_id);

CREATE TABLE row_parent (
    row_id    bigint NOT NULL REFERENCES row_identity ON DELETE CASCADE,
    parent_id bigint NOT NULL REFERENCES row_identity ON DELETE CASCADE,
    PRIMARY KEY (row_id, parent_id),
    CONSTRAINT row_parent_not_itself CHECK (row_id <> parent_id)
);
COMMENT ON TABLE row_parent IS 'Where a row came from when one row was split or several were merged; recorded once, never recomputed.';
CREATE INDEX row_parent_parent ON row_parent (parent_id);

CREATE TABLE head_row (
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    ordinal    integer NOT NULL,
    row_id     bigint NOT NULL UNIQUE REFERENCES row_identity ON DELETE CASCADE,
    piece      text NOT NULL,
    head       text NOT NULL,
    text       text NOT NULL,
    line       integer NOT NULL DEFAULT 0,
    PRIMARY KEY (pattern_id, ordinal),
    CONSTRAINT head_row_ordinal CHECK (ordinal >= 0),
    CONSTRAINT head_row_line CHECK (line >= 0)
);
COMMENT ON TABLE head_row IS 'The rows of the pattern as it stands, read off the manuscript.';
COMMENT ON COLUMN head_row.ordinal IS 'Place among the rows of the pattern, from 0.';
COMMENT ON COLUMN head_row.head IS 'Row head as written: "Row 1 (RS)"; empty for a row without one.';
COMMENT ON COLUMN head_row.line IS 'Line of the manuscript, from 1; 0 when not known.';

-- +goose Down
ALTER TABLE pattern DROP CONSTRAINT pattern_head_snapshot;
DROP TABLE head_row;
DROP TABLE row_parent;
DROP TABLE row_identity;
DROP TABLE snapshot;
DROP TABLE pattern;
