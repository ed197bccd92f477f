-- +goose Up

CREATE TABLE erratum (
    id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    knitter_id   bigint NOT NULL REFERENCES knitter ON DELETE CASCADE,
    client_uuid  uuid NOT NULL UNIQUE,
    revision_id  bigint NOT NULL REFERENCES revision,
    row_id       bigint REFERENCES row_identity,
    size_id      bigint REFERENCES size,
    label        text NOT NULL,
    kind         text NOT NULL,
    had          text NOT NULL DEFAULT '',
    did          text NOT NULL DEFAULT '',
    note         text NOT NULL DEFAULT '',
    state        text NOT NULL DEFAULT 'open',
    duplicate_of bigint REFERENCES erratum ON DELETE SET NULL,
    version      integer NOT NULL DEFAULT 1,
    noted_at     timestamptz NOT NULL,
    taken_at     timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT erratum_kind CHECK (kind IN ('count', 'unclear', 'chart', 'other')),
    CONSTRAINT erratum_state CHECK (state IN ('open', 'accepted', 'not-an-error', 'duplicate', 'asked')),
    CONSTRAINT erratum_duplicate_of_another CHECK (duplicate_of IS NULL OR state = 'duplicate' AND duplicate_of <> id),
    CONSTRAINT erratum_length CHECK (char_length(label) <= 300 AND char_length(had) <= 2000 AND char_length(did) <= 2000 AND char_length(note) <= 4000),
    CONSTRAINT erratum_says_something CHECK (had <> '' OR did <> '' OR note <> '')
);
COMMENT ON TABLE erratum IS 'Something wrong, as a test knitter noted it on the row she was working.';
COMMENT ON COLUMN erratum.client_uuid IS 'Made where it was noted: however often it is sent, it is taken once.';
COMMENT ON COLUMN erratum.revision_id IS 'What she was reading.';
COMMENT ON COLUMN erratum.row_id IS 'The row; null for the pattern as a whole.';
COMMENT ON COLUMN erratum.label IS 'Where she was, in words: "Row 12 (WS), repeat 3 of 7".';
COMMENT ON COLUMN erratum.version IS 'Counts decisions: the second of two designers at once sees the first one''s.';
CREATE INDEX erratum_knitter ON erratum (knitter_id);
CREATE INDEX erratum_revision ON erratum (revision_id);
CREATE INDEX erratum_row ON erratum (row_id);
CREATE INDEX erratum_duplicate ON erratum (duplicate_of);

CREATE TABLE erratum_photo (
    erratum_id bigint PRIMARY KEY REFERENCES erratum ON DELETE CASCADE,
    jpeg       bytea NOT NULL,
    small      bytea NOT NULL,
    width      integer NOT NULL,
    height     integer NOT NULL,
    CONSTRAINT erratum_photo_size CHECK (octet_length(jpeg) <= 4194304)
);
COMMENT ON TABLE erratum_photo IS 'The photograph that came with an erratum, written anew without what the camera noted.';

CREATE TABLE erratum_message (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    erratum_id bigint NOT NULL REFERENCES erratum ON DELETE CASCADE,
    account_id bigint REFERENCES account ON DELETE SET NULL,
    by_knitter boolean NOT NULL,
    state      text,
    duplicate  bigint REFERENCES erratum ON DELETE SET NULL,
    body       text NOT NULL DEFAULT '',
    at         timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT erratum_message_length CHECK (char_length(body) <= 4000),
    CONSTRAINT erratum_message_says CHECK (body <> '' OR state IS NOT NULL),
    CONSTRAINT erratum_message_state CHECK (state IN ('open', 'accepted', 'not-an-error', 'duplicate', 'asked')),
    CONSTRAINT erratum_message_decided_by_studio CHECK (state IS NULL OR NOT by_knitter)
);
COMMENT ON TABLE erratum_message IS 'What was said about an erratum, by knitter and studio, decisions included. Append only.';
COMMENT ON COLUMN erratum_message.state IS 'The decision that this message is; null for words alone.';
CREATE INDEX erratum_message_erratum ON erratum_message (erratum_id);
CREATE INDEX erratum_message_duplicate ON erratum_message (duplicate);

CREATE TABLE erratum_fix (
    erratum_id  bigint NOT NULL REFERENCES erratum ON DELETE CASCADE,
    revision_id bigint NOT NULL REFERENCES revision,
    reason      text NOT NULL DEFAULT '',
    at          timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (erratum_id),
    CONSTRAINT erratum_fix_reason_length CHECK (char_length(reason) <= 2000)
);
COMMENT ON TABLE erratum_fix IS 'The revision in which an accepted erratum was put right.';
COMMENT ON COLUMN erratum_fix.reason IS 'Why it counts as put right though its row did not change; empty when the row changed.';
CREATE INDEX erratum_fix_revision ON erratum_fix (revision_id);

-- +goose Down
DROP TABLE erratum_fix;
DROP TABLE erratum_message;
DROP TABLE erratum_photo;
DROP TABLE erratum;
