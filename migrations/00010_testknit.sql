-- +goose Up

CREATE TABLE secret (
    studio_id bigint NOT NULL REFERENCES studio ON DELETE CASCADE,
    purpose   text NOT NULL,
    key       bytea NOT NULL,
    PRIMARY KEY (studio_id, purpose),
    CONSTRAINT secret_key_length CHECK (octet_length(key) = 64)
);
COMMENT ON TABLE secret IS 'Keys that this studio signs its links with, made on first use.';

CREATE TABLE person (
    id              bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    studio_id       bigint NOT NULL REFERENCES studio ON DELETE CASCADE,
    email           text,
    name            text NOT NULL DEFAULT '',
    seal            integer NOT NULL DEFAULT 1,
    mail_stopped_at timestamptz,
    created_at      timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT person_email_lower CHECK (email = lower(email) AND email LIKE '%_@_%'),
    CONSTRAINT person_name_length CHECK (char_length(name) <= 200),
    CONSTRAINT person_email_once UNIQUE (studio_id, email)
);
COMMENT ON TABLE person IS 'A test knitter or reader: someone whom the studio may write to and who signs in by a mailed link, without a password.';
COMMENT ON COLUMN person.email IS 'In lower case; null once the person was deleted.';
COMMENT ON COLUMN person.seal IS 'Goes up to end all sessions and links of the person.';
COMMENT ON COLUMN person.mail_stopped_at IS 'Since when she wants no notices; sign-in links she asks for still go out.';

CREATE TABLE testknit (
    id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pattern_id  bigint NOT NULL REFERENCES pattern,
    revision_id bigint NOT NULL REFERENCES revision,
    state       text NOT NULL DEFAULT 'open',
    deadline    date,
    wants       text NOT NULL DEFAULT '',
    note        text NOT NULL DEFAULT '',
    offer_code  text UNIQUE,
    thanks      text NOT NULL DEFAULT '',
    version     integer NOT NULL DEFAULT 1,
    created_at  timestamptz NOT NULL DEFAULT now(),
    closed_at   timestamptz,
    CONSTRAINT testknit_state CHECK (state IN ('open', 'closed')),
    CONSTRAINT testknit_closed_when CHECK ((state = 'closed') = (closed_at IS NOT NULL)),
    CONSTRAINT testknit_text_length CHECK (char_length(wants) <= 5000 AND char_length(note) <= 5000 AND char_length(thanks) <= 5000)
);
COMMENT ON TABLE testknit IS 'A call to knit a pattern before it is published.';
COMMENT ON COLUMN testknit.revision_id IS 'The revision frozen for it; the newest one that was sent to its knitters.';
COMMENT ON COLUMN testknit.wants IS 'What the knitters are asked to report; they read it.';
COMMENT ON COLUMN testknit.note IS 'Private; the studio alone reads it.';
COMMENT ON COLUMN testknit.offer_code IS 'In the address of the page that takes offers; null when it takes none.';
COMMENT ON COLUMN testknit.version IS 'Counts changes of the call, so that two designers do not overwrite one another.';
CREATE INDEX testknit_pattern ON testknit (pattern_id);
CREATE INDEX testknit_revision ON testknit (revision_id);
CREATE UNIQUE INDEX testknit_one_open ON testknit (pattern_id) WHERE state = 'open';

CREATE TABLE seat (
    testknit_id bigint NOT NULL REFERENCES testknit ON DELETE CASCADE,
    size_id     bigint REFERENCES size,
    wanted      integer NOT NULL,
    CONSTRAINT seat_wanted CHECK (wanted BETWEEN 0 AND 99),
    CONSTRAINT seat_size_once UNIQUE NULLS NOT DISTINCT (testknit_id, size_id)
);
COMMENT ON TABLE seat IS 'How many knitters are wanted for each size.';
COMMENT ON COLUMN seat.size_id IS 'Null for a pattern of one size.';

CREATE TABLE knitter (
    id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    testknit_id  bigint NOT NULL REFERENCES testknit ON DELETE CASCADE,
    person_id    bigint NOT NULL REFERENCES person,
    state        text NOT NULL,
    size_id      bigint REFERENCES size,
    revision_id  bigint REFERENCES revision,
    changed_from bigint REFERENCES revision,
    offer        text NOT NULL DEFAULT '',
    place_row    bigint REFERENCES row_identity,
    place_words  text NOT NULL DEFAULT '',
    place_step   integer NOT NULL DEFAULT 0,
    place_of     integer NOT NULL DEFAULT 0,
    place_at     timestamptz,
    credit       text NOT NULL DEFAULT '',
    created_at   timestamptz NOT NULL DEFAULT now(),
    begun_at     timestamptz,
    ended_at     timestamptz,
    CONSTRAINT knitter_once UNIQUE (testknit_id, person_id),
    CONSTRAINT knitter_state CHECK (state IN ('offered', 'invited', 'knitting', 'finished', 'withdrawn', 'declined')),
    CONSTRAINT knitter_reads_something CHECK (state IN ('offered', 'declined', 'withdrawn') OR revision_id IS NOT NULL),
    CONSTRAINT knitter_offer_length CHECK (char_length(offer) <= 2000 AND char_length(credit) <= 200),
    CONSTRAINT knitter_place CHECK (place_step >= 0 AND place_of >= 0)
);
COMMENT ON TABLE knitter IS 'A person in a test knit. What she may read is her revision, at her size, and nothing later.';
COMMENT ON COLUMN knitter.state IS 'offered (has a wish, sees nothing), invited (has a size and a link), knitting, finished, withdrawn, declined (by the studio).';
COMMENT ON COLUMN knitter.size_id IS 'Hers, or the one she would like while she only offers; null for a pattern of one size.';
COMMENT ON COLUMN knitter.revision_id IS 'What she works from.';
COMMENT ON COLUMN knitter.changed_from IS 'The revision she had before this one, so that the changed rows can be lit.';
COMMENT ON COLUMN knitter.place_row IS 'The row she was at when last heard of.';
COMMENT ON COLUMN knitter.place_step IS 'Steps done, of place_of.';
COMMENT ON COLUMN knitter.credit IS 'The name she agreed to be thanked under; empty: none.';
CREATE INDEX knitter_person ON knitter (person_id);
CREATE INDEX knitter_revision ON knitter (revision_id);
CREATE INDEX knitter_changed_from ON knitter (changed_from);
CREATE INDEX knitter_place_row ON knitter (place_row);

CREATE TABLE knit_device (
    knitter_id bigint NOT NULL REFERENCES knitter ON DELETE CASCADE,
    device     uuid NOT NULL,
    upto       bigint NOT NULL DEFAULT 0,
    PRIMARY KEY (knitter_id, device),
    CONSTRAINT knit_device_upto CHECK (upto >= 0)
);
COMMENT ON TABLE knit_device IS 'A browser that a knitter works on, and how far its notes have arrived without a gap.';

CREATE TABLE progress_event (
    knitter_id bigint NOT NULL REFERENCES knitter ON DELETE CASCADE,
    device     uuid NOT NULL,
    seq        bigint NOT NULL,
    kind       text NOT NULL,
    at         timestamptz NOT NULL,
    problem    text NOT NULL DEFAULT '',
    taken_at   timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (knitter_id, device, seq),
    CONSTRAINT progress_event_seq CHECK (seq >= 1)
);
COMMENT ON TABLE progress_event IS 'Each thing noted on a device, taken once, in order; what an erratum says stands in erratum.';
COMMENT ON COLUMN progress_event.at IS 'By the clock of the device.';
COMMENT ON COLUMN progress_event.problem IS 'Why it could not be used; empty when it was.';

-- +goose Down
DROP TABLE progress_event;
DROP TABLE knit_device;
DROP TABLE knitter;
DROP TABLE seat;
DROP TABLE testknit;
DROP TABLE person;
DROP TABLE secret;
