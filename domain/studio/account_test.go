package studio_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"rowproof/domain/studio"
)

func TestNewAccountValidate(t *testing.T) {
	for _, test := range []struct {
		name  string
		in    studio.NewAccount
		field string // of the error; empty for none
	}{
		{"good", studio.NewAccount{Email: " Runa@Example.org ", Name: " Runa  Holt ", Password: "twelve purl rows"}, ""},
		{"no address", studio.NewAccount{Email: "runa", Password: "twelve purl rows"}, "email"},
		{"name with address", studio.NewAccount{Email: "Runa <runa@example.org>", Password: "twelve purl rows"}, "email"},
		{"two lines", studio.NewAccount{Email: "runa@example.org\nbcc: x@example.org", Password: "twelve purl rows"}, "email"},
		{"endless address", studio.NewAccount{Email: strings.Repeat("a", 300) + "@example.org", Password: "twelve purl rows"}, "email"},
		{"short password", studio.NewAccount{Email: "runa@example.org", Password: "elevenchars"}, "password"},
		{"twelve wide letters", studio.NewAccount{Email: "runa@example.org", Password: "åäöåäöåäöåäö"}, ""},
		{"one letter", studio.NewAccount{Email: "runa@example.org", Password: "aaaaaaaaaaaaaaa"}, "password"},
		{"the address", studio.NewAccount{Email: "runa@example.org", Password: "Runa@example.org"}, "password"},
		{"endless password", studio.NewAccount{Email: "runa@example.org", Password: strings.Repeat("ab", 600)}, "password"},
		{"bad name", studio.NewAccount{Email: "runa@example.org", Name: "R\x00", Password: "twelve purl rows"}, "name"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := test.in.Validate()
			var inv *studio.InvalidError
			switch {
			case test.field == "" && err != nil:
				t.Errorf("Validate(%+v): %v", test.in, err)
			case test.field != "" && (!errors.As(err, &inv) || inv.Field != test.field || !errors.Is(err, studio.ErrInvalid)):
				t.Errorf("Validate(%+v): got %v, want one about %q", test.in, err, test.field)
			case test.field == "" && test.name == "good" && (got.Email != "runa@example.org" || got.Name != "Runa Holt"):
				t.Errorf("Validate(%+v): got %+v", test.in, got)
			}
		})
	}
}

func TestPasswordHash(t *testing.T) {
	hash, err := studio.HashPassword("twelve purl rows")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(hash, "$argon2id$v=19$m=65536,t=3,p=2$") {
		t.Errorf("HashPassword: got %s", hash)
	}
	if ok, err := studio.CheckPassword("twelve purl rows", hash); !ok || err != nil {
		t.Errorf("the password: got %v, %v", ok, err)
	}
	if ok, err := studio.CheckPassword("twelve purl row", hash); ok || err != nil {
		t.Errorf("another password: got %v, %v", ok, err)
	}
	// For an account that does not exist the work is done all the same.
	began := time.Now()
	if ok, err := studio.CheckPassword("twelve purl rows", ""); ok || err != nil {
		t.Errorf("no account: got %v, %v", ok, err)
	}
	if took := time.Since(began); took < 5*time.Millisecond {
		t.Errorf("no account: answered in %v, which tells", took)
	}
	if _, err := studio.CheckPassword("x", "broken"); err == nil {
		t.Error("a broken hash was no error")
	}
}
