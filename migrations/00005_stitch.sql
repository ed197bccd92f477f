-- +goose Up

CREATE TABLE stitch (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    studio_id  bigint NOT NULL REFERENCES studio ON DELETE CASCADE,
    slug       text NOT NULL,
    name       text NOT NULL,
    version    integer NOT NULL DEFAULT 1,
    manuscript text NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    updated_at timestamptz NOT NULL DEFAULT now(),
    deleted_at timestamptz,
    CONSTRAINT stitch_slug_form CHECK (slug ~ '^[a-z0-9]+(-[a-z0-9]+)*$' AND char_length(slug) <= 80),
    CONSTRAINT stitch_name_length CHECK (char_length(name) BETWEEN 1 AND 60),
    CONSTRAINT stitch_version_positive CHECK (version >= 1),
    CONSTRAINT stitch_manuscript_size CHECK (octet_length(manuscript) <= 65536),
    CONSTRAINT stitch_slug_once UNIQUE (studio_id, slug)
);
COMMENT ON TABLE stitch IS 'A stitch pattern of the designer''s own, as it stands now, kept apart from the patterns that use it.';
COMMENT ON COLUMN stitch.slug IS 'Name in file names, unique in the studio.';
COMMENT ON COLUMN stitch.name IS 'What rows call it: "work Row 1 of Pebble over next 24 sts".';
COMMENT ON COLUMN stitch.version IS 'Counts accepted texts; a save names the version it started from and loses when that is no longer this one.';
COMMENT ON COLUMN stitch.manuscript IS 'Multiple and rows, in the language of patterns; without a title.';
COMMENT ON COLUMN stitch.deleted_at IS 'In the bin since; null when not. Patterns keep the rows that were placed in them.';
CREATE UNIQUE INDEX stitch_name_once ON stitch (studio_id, lower(name)) WHERE deleted_at IS NULL;
COMMENT ON INDEX stitch_name_once IS 'A name that rows use means one stitch.';

CREATE TABLE stitch_version (
    stitch_id  bigint NOT NULL REFERENCES stitch ON DELETE CASCADE,
    version    integer NOT NULL,
    name       text NOT NULL,
    manuscript text NOT NULL,
    author_id  bigint REFERENCES account ON DELETE SET NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (stitch_id, version),
    CONSTRAINT stitch_version_number CHECK (version >= 1)
);
COMMENT ON TABLE stitch_version IS 'Every text a stitch had; append only, never thinned: patterns say which one they hold.';
COMMENT ON COLUMN stitch_version.author_id IS 'Who saved it; null for the program itself and for deleted accounts.';

CREATE TABLE stitch_gauge (
    id        bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    stitch_id bigint NOT NULL REFERENCES stitch ON DELETE CASCADE,
    yarn      text NOT NULL DEFAULT '',
    needle    text NOT NULL DEFAULT '',
    sts       numeric(10, 3),
    rows      numeric(10, 3),
    over_cm   numeric(10, 3) NOT NULL DEFAULT 10,
    note      text NOT NULL DEFAULT '',
    CONSTRAINT stitch_gauge_positive CHECK (sts > 0 AND rows > 0 AND over_cm > 0),
    CONSTRAINT stitch_gauge_says_something CHECK (sts IS NOT NULL OR rows IS NOT NULL)
);
COMMENT ON TABLE stitch_gauge IS 'Gauges measured in a stitch, each with its yarn and needle.';
COMMENT ON COLUMN stitch_gauge.sts IS 'Stitches over over_cm centimetres of width; null when only rows were counted.';
COMMENT ON COLUMN stitch_gauge.rows IS 'Rows or rounds over over_cm centimetres of height; null when only stitches were counted.';
CREATE INDEX stitch_gauge_stitch ON stitch_gauge (stitch_id);

CREATE TABLE stitch_use (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    stitch_id  bigint NOT NULL REFERENCES stitch ON DELETE CASCADE,
    pattern_id bigint NOT NULL REFERENCES pattern ON DELETE CASCADE,
    heading    text NOT NULL,
    form       text NOT NULL,
    placed     integer NOT NULL,
    answered   integer NOT NULL,
    placed_at  timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT stitch_use_form CHECK (form IN ('flat', 'round', 'mirrored')),
    CONSTRAINT stitch_use_heading_length CHECK (char_length(heading) BETWEEN 1 AND 80),
    CONSTRAINT stitch_use_versions CHECK (placed >= 1 AND answered >= placed),
    CONSTRAINT stitch_use_heading_once UNIQUE (pattern_id, heading)
);
COMMENT ON TABLE stitch_use IS 'A stitch placed in a pattern, as a section of its manuscript. What the section says belongs to the manuscript; this tells where it came from.';
COMMENT ON COLUMN stitch_use.heading IS 'Head of the section as it was written; the use holds while a line of the manuscript says so.';
COMMENT ON COLUMN stitch_use.form IS 'How the stitch''s rows were written: as they are, in the round, mirrored.';
COMMENT ON COLUMN stitch_use.placed IS 'stitch_version.version whose rows stand in the pattern.';
COMMENT ON COLUMN stitch_use.answered IS 'The version up to which the designer has said what to do: take it over, or keep what stands.';
CREATE INDEX stitch_use_stitch ON stitch_use (stitch_id);

-- +goose Down
DROP TABLE stitch_use;
DROP TABLE stitch_gauge;
DROP TABLE stitch_version;
DROP TABLE stitch;
