package store_test

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"time"

	"rowproof/domain/store"
	"rowproof/domain/studio"
)

func TestSwatchesAreKept(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	st := b.stitch("Pebble", pebble)
	want := studio.Swatch{
		StitchID: st.ID, Yarn: "Harbour DK", Needle: "4 mm", Before: studio.Counted{Sts: 33, Width: 15, Rows: 44, Height: 15.25}, After: studio.Counted{Sts: 33.5, Width: 14.4},
		Grams: 12.5, Width: 18, Height: 17, BallMetres: 112, BallGrams: 50, Verdict: "for the cowl", Note: "Bled a little.\nWash apart.",
	}
	photo := store.Picture{JPEG: []byte("large"), Small: []byte("small"), Width: 1600, Height: 900}
	made, err := b.db.CreateSwatch(ctx, b.studio, want, store.SwatchPictures{"rs": photo})
	if err != nil || made.StitchName != "Pebble" || made.Version != 1 || made.RS.Width != 1600 || made.RS.Hash == "" || made.WS.Hash != "" {
		t.Fatalf("CreateSwatch: %+v, %v", made, err)
	}
	bare := made
	bare.ID, bare.StudioID, bare.StitchName, bare.Version, bare.RS = 0, 0, "", 0, studio.SwatchPhoto{}
	bare.CreatedAt, bare.UpdatedAt = time.Time{}, time.Time{}
	if !reflect.DeepEqual(bare, want) {
		t.Errorf("kept\n%+v\nwant\n%+v", bare, want)
	}
	if p, err := b.db.SwatchPhoto(ctx, b.studio, made.ID, "rs", true); err != nil || !bytes.Equal(p, photo.Small) {
		t.Errorf("the small photograph: %q, %v", p, err)
	}
	_, err = b.db.SwatchPhoto(ctx, b.studio, made.ID, "ws", false)
	wantErr(t, "a photograph there is none of", err, studio.ErrNotFound)
	_, err = b.db.SwatchPhoto(ctx, b.studio+1, made.ID, "rs", false)
	wantErr(t, "another studio's photograph", err, studio.ErrNotFound)

	change := made
	change.StitchID, change.Stitch, change.After, change.BallMetres, change.BallGrams = 0, "garter stitch", studio.Counted{}, 0, 0
	now, err := b.db.SaveSwatch(ctx, b.studio, change, store.SwatchPictures{"rs": {}, "ws": photo})
	if err != nil || now.Version != 2 || now.Name() != "garter stitch" || now.After != (studio.Counted{}) || now.RS.Hash != "" || now.WS.Hash == "" {
		t.Errorf("SaveSwatch: %+v, %v", now, err)
	}
	_, err = b.db.SaveSwatch(ctx, b.studio, change, nil)
	wantErr(t, "SaveSwatch from an older version", err, studio.ErrConflict)
	if again, err := b.db.SaveSwatch(ctx, b.studio, now, nil); err != nil || again.WS != now.WS {
		t.Errorf("a photograph that is not sent again: %+v, %v", again.WS, err)
	}
	_, err = b.db.SaveSwatch(ctx, b.studio+1, now, nil)
	wantErr(t, "another studio's SaveSwatch", err, studio.ErrNotFound)
	now.Stitch = ""
	_, err = b.db.SaveSwatch(ctx, b.studio, now, nil)
	wantErr(t, "SaveSwatch without a stitch", err, studio.ErrInvalid)
	_, err = b.db.CreateSwatch(ctx, b.studio, studio.Swatch{StitchID: 99}, nil)
	wantErr(t, "a stitch that is not there", err, studio.ErrNotFound)
	_, err = b.db.CreateSwatch(ctx, b.studio+1, want, nil)
	wantErr(t, "a swatch of no studio", err, studio.ErrNotFound)

	second, err := b.db.CreateSwatch(ctx, b.studio, studio.Swatch{Stitch: strings.Repeat("x", 200)}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if all, err := b.db.ListSwatches(ctx, b.studio); err != nil || len(all) != 2 || all[0].ID != second.ID {
		t.Errorf("ListSwatches: %+v, %v", all, err)
	}
	if all, err := b.db.ListSwatches(ctx, b.studio+1); err != nil || len(all) != 0 {
		t.Errorf("another studio's swatches: %+v, %v", all, err)
	}
	wantErr(t, "another studio's DeleteSwatch", b.db.DeleteSwatch(ctx, b.studio+1, made.ID), studio.ErrNotFound)
	if err := b.db.DeleteSwatch(ctx, b.studio, made.ID); err != nil {
		t.Error(err)
	}
	_, err = b.db.Swatch(ctx, b.studio, made.ID)
	wantErr(t, "a swatch that is deleted", err, studio.ErrNotFound)
	_, err = b.db.SwatchPhoto(ctx, b.studio, made.ID, "ws", false)
	wantErr(t, "its photograph", err, studio.ErrNotFound)
}
