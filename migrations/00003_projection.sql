-- +goose Up

CREATE TABLE size (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    label      text NOT NULL,
    ordinal    integer,
    retired    boolean NOT NULL DEFAULT false,
    CONSTRAINT size_retired_has_no_place CHECK (retired = (ordinal IS NULL)),
    CONSTRAINT size_ordinal CHECK (ordinal BETWEEN 0 AND 39),
    CONSTRAINT size_place_once UNIQUE (pattern_id, ordinal) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE size IS 'Sizes read off the manuscript, smallest first. One that is taken out is retired, not removed: errata and holdings point at it.';
COMMENT ON COLUMN size.ordinal IS 'Place in the size vectors, from 0; null when retired.';

CREATE TABLE yarn (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    letter     text NOT NULL,
    name       text NOT NULL DEFAULT '',
    weight     text NOT NULL DEFAULT '',
    m_per_ball numeric(10, 3),
    g_per_ball numeric(10, 3),
    ordinal    integer,
    retired    boolean NOT NULL DEFAULT false,
    CONSTRAINT yarn_retired_has_no_place CHECK (retired = (ordinal IS NULL)),
    CONSTRAINT yarn_ball_positive CHECK (m_per_ball > 0 AND g_per_ball > 0),
    CONSTRAINT yarn_place_once UNIQUE (pattern_id, ordinal) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE yarn IS 'Yarns read off the manuscript; retired when taken out, so that their colours come back with them.';
COMMENT ON COLUMN yarn.letter IS 'What the rows call it: MC, A, B; empty for the only yarn.';
COMMENT ON COLUMN yarn.m_per_ball IS 'Metres in a ball; null when not stated.';
COMMENT ON COLUMN yarn.g_per_ball IS 'Grams in a ball; null when not stated.';

CREATE TABLE colour (
    yarn_id   bigint PRIMARY KEY REFERENCES yarn ON DELETE CASCADE,
    colourway text NOT NULL DEFAULT '',
    runs      jsonb NOT NULL,
    CONSTRAINT colour_runs_array CHECK (jsonb_typeof(runs) = 'array' AND jsonb_array_length(runs) BETWEEN 1 AND 64)
);
COMMENT ON TABLE colour IS 'How a yarn looks on screen, which the manuscript does not say.';
COMMENT ON COLUMN colour.runs IS '[{"hex": "#a1b2c3", "cm": 12.5}, …] in the order of the yarn; a plain yarn has one run with cm 0.';

CREATE TABLE gauge (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    ordinal    integer NOT NULL,
    stitch     text NOT NULL DEFAULT '',
    sts        numeric(10, 3),
    rows       numeric(10, 3),
    over_mm    numeric(10, 3) NOT NULL DEFAULT 100,
    state      text NOT NULL DEFAULT '',
    source     text NOT NULL DEFAULT '',
    CONSTRAINT gauge_positive CHECK (sts > 0 AND rows > 0 AND over_mm > 0),
    CONSTRAINT gauge_says_something CHECK (sts IS NOT NULL OR rows IS NOT NULL),
    CONSTRAINT gauge_state CHECK (state IN ('', 'unwashed', 'washed', 'blocked')),
    CONSTRAINT gauge_place_once UNIQUE (pattern_id, ordinal) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE gauge IS 'Gauges read off the manuscript.';
COMMENT ON COLUMN gauge.sts IS 'Stitches over over_mm millimetres of width; null when only rows are stated.';
COMMENT ON COLUMN gauge.rows IS 'Rows over over_mm millimetres of height; null when only stitches are stated.';
COMMENT ON COLUMN gauge.state IS 'Of the swatch: unwashed, washed, blocked; empty when not said.';
COMMENT ON COLUMN gauge.source IS 'The words it was read from.';

CREATE TABLE needle (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    ordinal    integer NOT NULL,
    label      text NOT NULL,
    mm         numeric(6, 3),
    CONSTRAINT needle_mm_positive CHECK (mm > 0),
    CONSTRAINT needle_place_once UNIQUE (pattern_id, ordinal) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE needle IS 'Needles read off the manuscript.';
COMMENT ON COLUMN needle.label IS 'As written.';
COMMENT ON COLUMN needle.mm IS 'Diameter in millimetres; null when it cannot be told.';

CREATE TABLE special_stitch (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    ordinal    integer NOT NULL,
    name       text NOT NULL,
    text       text NOT NULL,
    CONSTRAINT special_stitch_place_once UNIQUE (pattern_id, ordinal) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE special_stitch IS 'Stitches that the pattern defines for itself, read off the manuscript.';
COMMENT ON COLUMN special_stitch.name IS 'What the rows call it.';

CREATE TABLE note (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    author_id  bigint REFERENCES account ON DELETE SET NULL,
    body       text NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    updated_at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT note_length CHECK (char_length(body) BETWEEN 1 AND 20000)
);
COMMENT ON TABLE note IS 'The studio''s private notes on a pattern; never printed, never public.';
CREATE INDEX note_pattern ON note (pattern_id);

-- +goose Down
DROP TABLE note;
DROP TABLE special_stitch;
DROP TABLE needle;
DROP TABLE gauge;
DROP TABLE colour;
DROP TABLE yarn;
DROP TABLE size;
