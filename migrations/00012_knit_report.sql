-- +goose Up

CREATE TABLE knit_report (
    knitter_id     bigint PRIMARY KEY REFERENCES knitter ON DELETE CASCADE,
    revision_id    bigint NOT NULL REFERENCES revision,
    before_sts     numeric(10, 3),
    before_rows    numeric(10, 3),
    after_sts      numeric(10, 3),
    after_rows     numeric(10, 3),
    measures       jsonb NOT NULL DEFAULT '[]',
    hours          numeric(10, 2),
    fit            text NOT NULL DEFAULT '',
    note           text NOT NULL DEFAULT '',
    version        integer NOT NULL DEFAULT 1,
    updated_at     timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT knit_report_positive CHECK (before_sts > 0 AND before_rows > 0 AND after_sts > 0 AND after_rows > 0 AND hours > 0),
    CONSTRAINT knit_report_measures CHECK (jsonb_typeof(measures) = 'array' AND jsonb_array_length(measures) <= 40),
    CONSTRAINT knit_report_length CHECK (char_length(fit) <= 4000 AND char_length(note) <= 4000)
);
COMMENT ON TABLE knit_report IS 'What came off the needles, as its knitter measured it.';
COMMENT ON COLUMN knit_report.before_sts IS 'Stitches over 10 cm before blocking; null when not told. Rows likewise.';
COMMENT ON COLUMN knit_report.measures IS '[{"name": "Chest", "mm": 1015}, …], finished.';
COMMENT ON COLUMN knit_report.hours IS 'Of knitting.';
CREATE INDEX knit_report_revision ON knit_report (revision_id);

CREATE TABLE knit_yarn (
    knitter_id bigint NOT NULL REFERENCES knit_report ON DELETE CASCADE,
    letter     text NOT NULL,
    grams      numeric(10, 2),
    m_per_100g numeric(10, 2),
    asked      text NOT NULL DEFAULT 'new',
    PRIMARY KEY (knitter_id, letter),
    CONSTRAINT knit_yarn_positive CHECK (grams > 0 AND m_per_100g > 0),
    CONSTRAINT knit_yarn_asked CHECK (asked IN ('new', 'use', 'leave'))
);
COMMENT ON TABLE knit_yarn IS 'Yarn that a test knit took, weighed; by the letter of the pattern, empty for its only yarn.';
COMMENT ON COLUMN knit_yarn.m_per_100g IS 'Metres in 100 g of the yarn she used; null: that of the pattern.';
COMMENT ON COLUMN knit_yarn.asked IS 'What the designer says of a figure that stands far off: new (not asked yet), use, leave.';

CREATE TABLE knit_photo (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    knitter_id bigint NOT NULL REFERENCES knitter ON DELETE CASCADE,
    jpeg       bytea NOT NULL,
    small      bytea NOT NULL,
    width      integer NOT NULL,
    height     integer NOT NULL,
    consent    boolean NOT NULL,
    consent_at timestamptz NOT NULL DEFAULT now(),
    alt        text NOT NULL DEFAULT '',
    CONSTRAINT knit_photo_size CHECK (octet_length(jpeg) <= 4194304),
    CONSTRAINT knit_photo_alt_length CHECK (char_length(alt) <= 500)
);
COMMENT ON TABLE knit_photo IS 'A photograph of a finished test knit.';
COMMENT ON COLUMN knit_photo.consent IS 'Whether the studio may show it to others. Without it, the studio alone sees it.';
CREATE INDEX knit_photo_knitter ON knit_photo (knitter_id);

-- +goose Down
DROP TABLE knit_photo;
DROP TABLE knit_yarn;
DROP TABLE knit_report;
