package studio

import (
	"fmt"
	"net/mail"
	"strings"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
)

// Role is what an account may do.
type Role string

// The two roles. A studio has one owner.
const (
	Owner  Role = "owner"
	Helper Role = "helper"
)

// Account is a person who may sign in to the studio.
type Account struct {
	ID       int64
	StudioID int64
	Email    string // in lower case
	Name     string
	Role     Role
	// Seal changes with the password, and tells nothing of it. A session that was
	// begun under another seal has ended.
	Seal string
}

// MayPublish reports whether the account may send revisions out. Helpers write,
// the owner publishes.
func (a Account) MayPublish() bool { return a.Role == Owner }

// MayManage reports whether the account may change the studio and its people.
func (a Account) MayManage() bool { return a.Role == Owner }

// NewAccount is what someone types to get an account.
type NewAccount struct {
	Email    string
	Name     string
	Password string
}

const (
	// ShortestPassword is in letters. NIST SP 800-63B-4 asks 15 of a password that
	// stands alone and 8 beside a second factor; behind argon2id and a rate limit 12 is
	// this project's choice, with no rule about kinds of letters.
	ShortestPassword = 12
	// LongestPassword is in bytes: enough for any sentence.
	LongestPassword = 1024
)

// Validate evens out the address and the name and checks all three fields. The
// error is an [InvalidError] that names the field: "email", "name", "password".
func (n NewAccount) Validate() (NewAccount, error) {
	var err error
	if n.Email, err = NormalEmail(n.Email); err != nil {
		return n, err
	}
	n.Name = strings.Join(strings.Fields(n.Name), " ")
	if !utf8.ValidString(n.Name) || strings.ContainsRune(n.Name, 0) || utf8.RuneCountInString(n.Name) > 200 {
		return n, invalid("name", "has more than 200 letters, or letters that cannot be read")
	}
	return n, ValidatePassword(n.Password, n.Email)
}

// NormalEmail trims an address, puts it in lower case and checks its form.
func NormalEmail(s string) (string, error) {
	s = strings.ToLower(strings.TrimSpace(s))
	if len(s) > 254 { // RFC 5321, 4.5.3.1.3
		return "", invalid("email", "is too long")
	}
	a, err := mail.ParseAddress(s)
	if err != nil || a.Address != s || strings.ContainsAny(s, "\"<>\x00 ") {
		return "", invalid("email", "does not look like an e-mail address")
	}
	return s, nil
}

// ValidatePassword checks a new password for the account with that address.
func ValidatePassword(password, email string) error {
	switch {
	case utf8.RuneCountInString(password) < ShortestPassword:
		return invalid("password", "needs at least %d letters; a few words in a row do well", ShortestPassword)
	case len(password) > LongestPassword:
		return invalid("password", "is longer than %d bytes", LongestPassword)
	case strings.EqualFold(password, email):
		return invalid("password", "is the e-mail address")
	case strings.Count(password, password[:1]) == len(password):
		return invalid("password", "is one letter again and again")
	}
	return nil
}

// hashing is fixed, so that a hash does not depend on the machine it was made on
// (the library's default takes the number of processors). RFC 9106, section 4,
// second recommended option, with two lanes for four.
var hashing = &argon2id.Params{Memory: 64 * 1024, Iterations: 3, Parallelism: 2, SaltLength: 16, KeyLength: 32}

// hashers bounds how many hashes are computed at once: each takes 64 MiB, and a
// crowd at the sign-in page must not take the machine down.
var hashers = make(chan struct{}, 2)

// nobodysHash is compared with when there is no such account, so that the answer
// takes as long. No password has this key.
const nobodysHash = "$argon2id$v=19$m=65536,t=3,p=2$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"

// HashPassword returns the encoded argon2id hash of a password. It takes about a
// tenth of a second and 64 MiB.
func HashPassword(password string) (string, error) {
	hashers <- struct{}{}
	defer func() { <-hashers }()
	h, err := argon2id.CreateHash(password, hashing)
	if err != nil {
		return "", fmt.Errorf("hashing a password: %w", err)
	}
	return h, nil
}

// CheckPassword reports whether a password belongs to a hash, in time that does
// not depend on the password. An empty hash stands for an account that does not
// exist: the answer is no, after the usual time.
func CheckPassword(password, hash string) (bool, error) {
	if len(password) > LongestPassword {
		return false, nil
	}
	if hash == "" {
		hash = nobodysHash
	}
	hashers <- struct{}{}
	defer func() { <-hashers }()
	ok, err := argon2id.ComparePasswordAndHash(password, hash)
	if err != nil {
		return false, fmt.Errorf("checking a password: %w", err)
	}
	return ok, nil
}
