-- +goose Up
CREATE TABLE swatch (
    id            bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    studio_id     bigint NOT NULL REFERENCES studio ON DELETE CASCADE,
    stitch_id     bigint REFERENCES stitch ON DELETE SET NULL,
    stitch        text NOT NULL DEFAULT '',
    yarn          text NOT NULL DEFAULT '',
    needle        text NOT NULL DEFAULT '',
    before_sts    numeric(10, 3),
    before_width  numeric(10, 3),
    before_rows   numeric(10, 3),
    before_height numeric(10, 3),
    after_sts     numeric(10, 3),
    after_width   numeric(10, 3),
    after_rows    numeric(10, 3),
    after_height  numeric(10, 3),
    grams         numeric(10, 3),
    whole_width   numeric(10, 3),
    whole_height  numeric(10, 3),
    ball_metres   numeric(10, 3),
    ball_grams    numeric(10, 3),
    verdict       text NOT NULL DEFAULT '',
    note          text NOT NULL DEFAULT '',
    version       integer NOT NULL DEFAULT 1,
    created_at    timestamptz NOT NULL DEFAULT now(),
    updated_at    timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT swatch_words CHECK (char_length(stitch) <= 200 AND char_length(yarn) <= 200 AND char_length(needle) <= 200
        AND char_length(verdict) <= 200 AND char_length(note) <= 4000),
    CONSTRAINT swatch_positive CHECK (before_sts > 0 AND before_width > 0 AND before_rows > 0 AND before_height > 0
        AND after_sts > 0 AND after_width > 0 AND after_rows > 0 AND after_height > 0
        AND grams > 0 AND whole_width > 0 AND whole_height > 0 AND ball_metres > 0 AND ball_grams > 0),
    CONSTRAINT swatch_counted_over CHECK ((before_sts IS NULL) = (before_width IS NULL) AND (before_rows IS NULL) = (before_height IS NULL)
        AND (after_sts IS NULL) = (after_width IS NULL) AND (after_rows IS NULL) = (after_height IS NULL)),
    CONSTRAINT swatch_version_positive CHECK (version >= 1)
);
COMMENT ON TABLE swatch IS 'A piece knitted to measure: what was counted on it before and after washing, and what it weighs. Lengths in cm, weights in g; null where not measured.';
COMMENT ON COLUMN swatch.stitch_id IS 'A stitch of the studio''s own that it is knitted in; null where its words alone say it.';
COMMENT ON COLUMN swatch.stitch IS 'The stitch in words, empty where stitch_id says it.';
COMMENT ON COLUMN swatch.before_sts IS 'Stitches counted over before_width, off the needle and not washed yet.';
COMMENT ON COLUMN swatch.after_sts IS 'Stitches counted over after_width, washed and dry.';
COMMENT ON COLUMN swatch.grams IS 'Weight of the whole swatch, whole_width by whole_height, washed and dry.';
COMMENT ON COLUMN swatch.ball_metres IS 'Metres in ball_grams of the yarn, as its band says.';
COMMENT ON COLUMN swatch.version IS 'Counts saves; a save names the version it started from and loses when that is no longer this one.';
CREATE INDEX swatch_studio ON swatch (studio_id, created_at DESC);

CREATE TABLE swatch_photo (
    swatch_id bigint NOT NULL REFERENCES swatch ON DELETE CASCADE,
    side      text NOT NULL,
    jpeg      bytea NOT NULL,
    small     bytea NOT NULL,
    width     integer NOT NULL,
    height    integer NOT NULL,
    hash      text NOT NULL,
    PRIMARY KEY (swatch_id, side),
    CONSTRAINT swatch_photo_side CHECK (side IN ('rs', 'ws')),
    CONSTRAINT swatch_photo_size CHECK (width BETWEEN 1 AND 1600 AND height BETWEEN 1 AND 1600 AND octet_length(jpeg) <= 4194304 AND octet_length(small) <= 1048576)
);
COMMENT ON TABLE swatch_photo IS 'Photographs of the two sides of a swatch, written anew as JPEG so that nothing the camera noted survives.';
COMMENT ON COLUMN swatch_photo.side IS 'rs = right side, ws = wrong side.';
COMMENT ON COLUMN swatch_photo.small IS 'The same, 360 pixels long at the most, for lists.';
COMMENT ON COLUMN swatch_photo.hash IS 'Of jpeg, hexadecimal; stands in addresses.';

-- +goose Down
DROP TABLE swatch_photo;
DROP TABLE swatch;
