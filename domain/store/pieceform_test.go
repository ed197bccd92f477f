package store_test

import (
	"errors"
	"strings"
	"testing"

	"rowproof/domain/studio"
)

func TestPieceForm(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	if _, err := b.db.PieceForm(ctx, b.studio, p.ID); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("never drafted: %v", err)
	}
	want := studio.PieceForm{PatternID: p.ID, Form: "scarf", Inputs: []byte(`{"sts": "20"}`), Generated: "Scarf\n"}
	for range 2 {
		if err := b.db.SetPieceForm(ctx, b.studio, want); err != nil {
			t.Fatal(err)
		}
		got, err := b.db.PieceForm(ctx, b.studio, p.ID)
		if err != nil || got.Form != want.Form || string(got.Inputs) != string(want.Inputs) || got.Generated != want.Generated {
			t.Errorf("%+v, %v", got, err)
		}
		want.Form, want.Generated = "cowl", "Cowl\n"
	}
	if _, err := b.db.PieceForm(ctx, b.studio+1, p.ID); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("another studio's: %v", err)
	}
	if err := b.db.SetPieceForm(ctx, b.studio+1, want); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("set by another studio: %v", err)
	}
	want.Generated = strings.Repeat("x", 1<<20+1)
	if err := b.db.SetPieceForm(ctx, b.studio, want); err == nil {
		t.Error("a draft over the bound was kept")
	}
}
