-- +goose Up

CREATE TABLE studio (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    name       text NOT NULL,
    settings   jsonb NOT NULL DEFAULT '{}',
    created_at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT studio_name_length CHECK (char_length(name) BETWEEN 1 AND 200),
    CONSTRAINT studio_settings_object CHECK (jsonb_typeof(settings) = 'object')
);
COMMENT ON TABLE studio IS 'One installation''s owner and helpers; everything private hangs on it.';
COMMENT ON COLUMN studio.settings IS 'studio.Settings as JSON; absent keys have their defaults.';

CREATE TABLE account (
    id            bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    studio_id     bigint NOT NULL REFERENCES studio ON DELETE CASCADE,
    email         text NOT NULL UNIQUE,
    name          text NOT NULL DEFAULT '',
    password_hash text NOT NULL,
    role          text NOT NULL,
    created_at    timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT account_role CHECK (role IN ('owner', 'helper')),
    CONSTRAINT account_email_lower CHECK (email = lower(email) AND email LIKE '%_@_%'),
    CONSTRAINT account_password_argon2id CHECK (password_hash LIKE '$argon2id$%')
);
COMMENT ON TABLE account IS 'People who may sign in to the studio; readers and test knitters are not accounts.';
COMMENT ON COLUMN account.email IS 'Trimmed and in lower case; one account for each address in the whole installation.';
COMMENT ON COLUMN account.password_hash IS 'Encoded argon2id hash with its own parameters and salt.';
CREATE UNIQUE INDEX account_one_owner ON account (studio_id) WHERE role = 'owner';
COMMENT ON INDEX account_one_owner IS 'A studio has one owner; two first runs at once cannot make two.';

CREATE TABLE sessions (
    token  text PRIMARY KEY,
    data   bytea NOT NULL,
    expiry timestamptz NOT NULL
);
COMMENT ON TABLE sessions IS 'Signed-in browsers; name and columns are those of scs pgxstore. token is a hash of what the cookie holds.';
CREATE INDEX sessions_expiry ON sessions (expiry);

-- +goose Down
DROP TABLE sessions;
DROP TABLE account;
DROP TABLE studio;
