package studio_test

import (
	"errors"
	"strings"
	"testing"

	"rowproof/domain/studio"
)

func TestLetterIsChecked(t *testing.T) {
	good := studio.Letter{Kind: "sign-in", ToEmail: " Wilma@Ditch.example ", ToName: "Wilma\t Ørsted", Subject: "Ditch  Scarf — ready", Body: "One\r\ntwo\rthree"}
	got, err := good.Validate()
	want := studio.Letter{Kind: "sign-in", ToEmail: "wilma@ditch.example", ToName: "Wilma Ørsted", Subject: "Ditch Scarf — ready", Body: "One\ntwo\nthree"}
	if err != nil || got != want {
		t.Errorf("a good letter: %+v, %v; want %+v", got, err, want)
	}
	for _, test := range []struct {
		field  string
		change func(*studio.Letter)
	}{
		{"kind", func(l *studio.Letter) { l.Kind = "" }},
		{"kind", func(l *studio.Letter) { l.Kind = "Sign in" }},
		{"key", func(l *studio.Letter) { l.Key = "a\nb" }},
		{"email", func(l *studio.Letter) { l.ToEmail = "nobody" }},
		{"email", func(l *studio.Letter) { l.ToEmail = "wilma@ditch.example\r\nBcc: all@ditch.example" }},
		{"email", func(l *studio.Letter) { l.ToEmail = "wilma@ditch.example, all@ditch.example" }},
		{"name", func(l *studio.Letter) { l.ToName = "Wilma\r\nBcc: all@ditch.example" }},
		{"name", func(l *studio.Letter) { l.ToName = "Wilma\nX" }},
		{"name", func(l *studio.Letter) { l.ToName = "Wilma\x00" }},
		{"name", func(l *studio.Letter) { l.ToName = strings.Repeat("w", 201) }},
		{"subject", func(l *studio.Letter) { l.Subject = " " }},
		{"subject", func(l *studio.Letter) { l.Subject = "Scarf\rBcc: all@ditch.example" }},
		{"subject", func(l *studio.Letter) { l.Subject = "Scarf\n" }},
		{"subject", func(l *studio.Letter) { l.Subject = "Scarf \xff" }},
		{"subject", func(l *studio.Letter) { l.Subject = strings.Repeat("ø", studio.LongestSubject+1) }},
		{"letter", func(l *studio.Letter) { l.Body = " \n" }},
		{"letter", func(l *studio.Letter) { l.Body = "a\x00b" }},
		{"letter", func(l *studio.Letter) { l.Body = strings.Repeat("a", studio.LongestLetter+1) }},
		{"calendar", func(l *studio.Letter) { l.Calendar = "BEGIN:VCARD" }},
		{"unsubscribe", func(l *studio.Letter) { l.UnsubscribeURL = "mailto:stop@ditch.example" }},
		{"unsubscribe", func(l *studio.Letter) { l.UnsubscribeURL = "https://ditch.example/>\r\nBcc: x@y.example" }},
		{"unsubscribe", func(l *studio.Letter) { l.UnsubscribeURL = "https://ditch.example/" + strings.Repeat("a", 900) }},
	} {
		l := good
		test.change(&l)
		_, err := l.Validate()
		var invalid *studio.InvalidError
		if !errors.As(err, &invalid) || invalid.Field != test.field {
			t.Errorf("%+v: error %v, want one of the field %s", l, err, test.field)
		}
	}
}
