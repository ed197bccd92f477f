-- +goose Up
CREATE TABLE message (
    id              bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    studio_id       bigint NOT NULL REFERENCES studio ON DELETE CASCADE,
    key             text,
    kind            text NOT NULL,
    to_email        text NOT NULL,
    to_name         text NOT NULL DEFAULT '',
    subject         text NOT NULL,
    body            text NOT NULL,
    calendar        text NOT NULL DEFAULT '',
    unsubscribe_url text NOT NULL DEFAULT '',
    message_id      text NOT NULL DEFAULT replace(gen_random_uuid()::text, '-', ''),
    state           text NOT NULL DEFAULT 'waiting',
    attempts        integer NOT NULL DEFAULT 0,
    problem         text NOT NULL DEFAULT '',
    created_at      timestamptz NOT NULL DEFAULT now(),
    queued_at       timestamptz NOT NULL DEFAULT now(),
    sent_at         timestamptz,
    CONSTRAINT message_key_once UNIQUE (studio_id, key),
    CONSTRAINT message_message_id_once UNIQUE (message_id),
    CONSTRAINT message_state CHECK (state IN ('waiting', 'sent', 'failed', 'kept')),
    CONSTRAINT message_sent_when CHECK ((state = 'sent') = (sent_at IS NOT NULL)),
    CONSTRAINT message_failed_why CHECK (state <> 'failed' OR problem <> ''),
    CONSTRAINT message_attempts_not_negative CHECK (attempts >= 0),
    CONSTRAINT message_email_lower CHECK (to_email = lower(to_email) AND to_email LIKE '%_@_%'),
    CONSTRAINT message_one_line CHECK (to_name !~ '[\r\n]' AND subject !~ '[\r\n]' AND unsubscribe_url !~ '[[:space:]<>]'),
    CONSTRAINT message_length CHECK (char_length(kind) BETWEEN 1 AND 40 AND char_length(key) BETWEEN 1 AND 200 AND char_length(to_name) <= 200
        AND char_length(subject) BETWEEN 1 AND 300 AND char_length(body) BETWEEN 1 AND 200000 AND octet_length(calendar) <= 64000
        AND char_length(unsubscribe_url) <= 900 AND char_length(problem) <= 2000)
);
COMMENT ON TABLE message IS 'The outbox: each mail of the studio, written in the transaction of what it tells of, and sent by a job of river''s.';
COMMENT ON COLUMN message.key IS 'What it was written for, so that it is written once: reminder-7:knitter-12. Null: as often as asked.';
COMMENT ON COLUMN message.kind IS 'What it is for: invitation, reminder, sign-in …';
COMMENT ON COLUMN message.body IS 'Plain text, lines ended by LF.';
COMMENT ON COLUMN message.calendar IS 'An .ics file to attach (RFC 5545); empty for none.';
COMMENT ON COLUMN message.unsubscribe_url IS 'Ends these mails at one click (RFC 8058); empty in mails that somebody asked for.';
COMMENT ON COLUMN message.message_id IS 'Left part of the Message-ID, the same at every try, so that a mail that went out twice is known for one.';
COMMENT ON COLUMN message.state IS 'waiting; sent = a mail server took it; failed = no more tries; kept = there is no mail server, it is to be read in the app.';
COMMENT ON COLUMN message.attempts IS 'Tries since queued_at.';
COMMENT ON COLUMN message.problem IS 'Why the last try failed, in the words of the mail server.';
COMMENT ON COLUMN message.queued_at IS 'When it was last put on its way; stands in the mail as its Date.';
CREATE INDEX message_studio ON message (studio_id, id DESC);
CREATE INDEX message_waiting ON message (id) WHERE state = 'waiting';

-- +goose Down
DROP TABLE message;
