package studio_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"rowproof/domain/studio"
)

func TestStates(t *testing.T) {
	for _, test := range []struct {
		from    studio.State
		purpose studio.Purpose
		want    studio.State
	}{
		{studio.Draft, studio.Test, studio.Testing},
		{studio.Testing, studio.Test, studio.Testing},
		{studio.Draft, studio.Release, studio.Published},
		{studio.Testing, studio.Release, studio.Published},
		{studio.Published, studio.Test, studio.Published},
		{studio.Published, studio.Release, studio.Revised},
		{studio.Revised, studio.Test, studio.Revised},
		{studio.Revised, studio.Release, studio.Revised},
		{studio.Draft, "sale", ""},
		{"sold", studio.Release, ""},
	} {
		got, err := test.from.After(test.purpose)
		if got != test.want || (err == nil) != (test.want != "") {
			t.Errorf("%q.After(%q): got %q, %v; want %q", test.from, test.purpose, got, err, test.want)
		}
	}
}

func TestSlug(t *testing.T) {
	for _, test := range []struct{ title, want string }{
		{"Ember Hat", "ember-hat"},
		{"  Moss & Fern -- a Scarf! ", "moss-fern-a-scarf"},
		{"Grandmother’s Mitts No. 2", "grandmothers-mitts-no-2"},
		{"Über-Öse: façade naïve Łódź", "uber-ose-facade-naive-lodz"},
		{"e\u0301cru", "ecru"},
		{"編み物", "pattern"},
		{"", "pattern"},
		{strings.Repeat("long ", 40), strings.TrimSuffix(strings.Repeat("long-", 14), "-")},
		{strings.Repeat("x", 100), strings.Repeat("x", 70)},
	} {
		got := studio.Slug(test.title)
		if got != test.want {
			t.Errorf("Slug(%q): got %q, want %q", test.title, got, test.want)
		}
		if again := studio.Slug(got); again != got {
			t.Errorf("Slug(%q) is not a slug: %q", got, again)
		}
	}
	taken := map[string]bool{"hat": true, "hat-2": true}
	if got := studio.FreeSlug("hat", func(s string) bool { return taken[s] }); got != "hat-3" {
		t.Errorf("FreeSlug: got %q", got)
	}
	for slug, want := range map[string]bool{"untitled": true, "untitled-12": true, "untitled-hat": false, "hat": false} {
		if got := studio.PlaceholderSlug(slug); got != want {
			t.Errorf("PlaceholderSlug(%q): got %v", slug, got)
		}
	}
}

func FuzzSlug(f *testing.F) {
	f.Add("Ember Hat")
	f.Add("ẞ\xff-–-İ")
	f.Fuzz(func(t *testing.T, title string) {
		s := studio.Slug(title)
		if s == "" || len(s) > 70 || strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" ||
			strings.HasPrefix(s, "-") || strings.HasSuffix(s, "-") || strings.Contains(s, "--") || studio.Slug(s) != s {
			t.Errorf("Slug(%q): got %q", title, s)
		}
	})
}

func TestCleanManuscript(t *testing.T) {
	in := "Row 1: k1\r\n\x00p1\xff\xfe“k2”"
	want := "Row 1: k1\r\n\uFFFDp1\uFFFD“k2”"
	if got := studio.CleanManuscript(in); got != want {
		t.Errorf("CleanManuscript: got %q, want %q", got, want)
	}
	if err := studio.ValidateManuscript(in, studio.Projection{}); !errors.Is(err, studio.ErrInvalid) {
		t.Errorf("ValidateManuscript of what is not clean: got %v", err)
	}
	if err := studio.ValidateManuscript(want, studio.Projection{}); err != nil {
		t.Errorf("ValidateManuscript of what is clean: got %v", err)
	}
}

func TestShownTitle(t *testing.T) {
	for in, want := range map[string]string{
		"": "Untitled", " \n ": "Untitled", " Ember\n  Hat ": "Ember Hat",
		strings.Repeat("é", 300): strings.Repeat("é", 199) + "…",
	} {
		if got := (studio.Projection{Title: in}).ShownTitle(); got != want {
			t.Errorf("ShownTitle(%q): got %q, want %q", in, got, want)
		}
	}
	if got := studio.CopyTitle(studio.CopyTitle("Hat")); got != "Hat (copy)" {
		t.Errorf("CopyTitle twice: got %q", got)
	}
}

func TestPublicationValidate(t *testing.T) {
	good := studio.Publication{Purpose: studio.Release, Report: json.RawMessage(`{}`), Counts: [][]int{{1, 2}, nil},
		Left: []studio.ErrorLeft{{Code: "c", Row: -1, Reason: "r"}}}
	if err := good.Validate(2, 2); err != nil {
		t.Errorf("good: %v", err)
	}
	for _, test := range []struct {
		name   string
		change func(*studio.Publication)
		want   error
	}{
		{"purpose", func(p *studio.Publication) { p.Purpose = "" }, studio.ErrInvalid},
		{"report", func(p *studio.Publication) { p.Report = nil }, studio.ErrInvalid},
		{"too many rows", func(p *studio.Publication) { p.Counts = make([][]int, 3) }, studio.ErrInvalid},
		{"too few sizes", func(p *studio.Publication) { p.Counts = [][]int{{1}} }, studio.ErrInvalid},
		{"no such row", func(p *studio.Publication) { p.Left = []studio.ErrorLeft{{Row: 2, Reason: "r"}} }, studio.ErrInvalid},
		{"no reason", func(p *studio.Publication) { p.Left = []studio.ErrorLeft{{Reason: " \n"}} }, studio.ErrUnproved},
		{"endless reason", func(p *studio.Publication) { p.Left = []studio.ErrorLeft{{Reason: strings.Repeat("r", 3000)}} }, studio.ErrInvalid},
	} {
		p := good
		test.change(&p)
		if err := p.Validate(2, 2); !errors.Is(err, test.want) {
			t.Errorf("%s: got %v, want %v", test.name, err, test.want)
		}
	}
}

func TestMatchNames(t *testing.T) {
	old := []studio.Named{{1, "S", false}, {2, "M", false}, {3, "L", false}, {9, "XL", true}}
	for _, test := range []struct {
		names []string
		want  string
	}{
		{[]string{"S", "M", "L"}, "[1 2 3]"},
		{[]string{"L", "M", "S"}, "[3 2 1]"},
		{[]string{"S", "Medium", "L"}, "[1 2 3]"},
		{[]string{"XS", "S", "M", "L"}, "[0 1 2 3]"},
		{[]string{"M", "S", "XL"}, "[2 1 9]"},
		{[]string{"S", "S"}, "[1 0]"},
		{[]string{"A", "B", "C"}, "[1 2 3]"},
		{nil, "[]"},
	} {
		if got := fmt.Sprint(studio.MatchNames(old, test.names)); got != test.want {
			t.Errorf("MatchNames(%v, %q): got %s, want %s", old, test.names, got, test.want)
		}
	}
}

func TestColourValidate(t *testing.T) {
	for _, test := range []struct {
		c  studio.Colour
		ok bool
	}{
		{studio.Colour{Runs: []studio.ColourRun{{Hex: "#a1b2c3"}}}, true},
		{studio.Colour{Runs: []studio.ColourRun{{Hex: "#a1b2c3", CM: 4}, {Hex: "#000000", CM: 5}}}, true},
		{studio.Colour{Runs: []studio.ColourRun{{Hex: "#a1b2c3", CM: 4}, {Hex: "#000000"}}}, false},
		{studio.Colour{Runs: []studio.ColourRun{{Hex: "red"}}}, false},
		{studio.Colour{Runs: []studio.ColourRun{{Hex: "#a1b2c3;background:url(x)"}}}, false},
		{studio.Colour{Runs: []studio.ColourRun{{Hex: "#a1b2c3", CM: -1}}}, false},
		{studio.Colour{}, false},
	} {
		if err := test.c.Validate(); (err == nil) != test.ok {
			t.Errorf("Validate(%+v): got %v", test.c, err)
		}
	}
}

func TestStudioValidate(t *testing.T) {
	good := studio.Studio{Name: "Lindgrove", Settings: studio.Settings{Paper: "a4", Terms: "uk", Units: "metric"}}
	if err := good.Validate(); err != nil {
		t.Errorf("good: %v", err)
	}
	for _, change := range []func(*studio.Studio){
		func(s *studio.Studio) { s.Name = "" },
		func(s *studio.Studio) { s.Settings.Terms = "au" },
		func(s *studio.Studio) { s.Settings.Contact = strings.Repeat("x", 301) },
	} {
		s := good
		change(&s)
		if err := s.Validate(); !errors.Is(err, studio.ErrInvalid) {
			t.Errorf("Validate(%+v): got %v", s, err)
		}
	}
}
