package studio_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"rowproof/domain/studio"
)

// editor is the plainest model of undo: a list of texts and a place in it.
type editor struct {
	snaps []studio.Snapshot
	line  []int64 // original snapshots from the first to the last that redo reaches
	at    int
}

func newEditor() *editor {
	e := &editor{}
	e.append(studio.Created, 0)
	e.line = []int64{1}
	return e
}

func (e *editor) append(reason studio.Reason, shows int64) int64 {
	id := int64(len(e.snaps) + 1)
	e.snaps = append(e.snaps, studio.Snapshot{ID: id, Version: int(id), ParentID: id - 1, ShowsID: shows, Reason: reason,
		CreatedAt: time.Unix(0, 0).Add(time.Duration(id) * time.Minute)})
	return id
}

func TestUndoIsAListAndAPlaceInIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := newEditor()
		for range rapid.IntRange(1, 60).Draw(t, "steps") {
			undo, canUndo := studio.UndoTarget(e.snaps)
			redo, canRedo := studio.RedoTarget(e.snaps)
			if canUndo != (e.at > 0) || canRedo != (e.at < len(e.line)-1) {
				t.Fatalf("at %d of %v: can undo %v, can redo %v", e.at, e.line, canUndo, canRedo)
			}
			switch rapid.SampledFrom([]string{"save", "undo", "undo", "redo"}).Draw(t, "step") {
			case "save":
				id := e.append(studio.Saved, 0)
				e.line = append(e.line[:e.at+1:e.at+1], id)
				e.at++
			case "undo":
				if !canUndo {
					continue
				}
				e.at--
				if undo != e.line[e.at] {
					t.Fatalf("undo brings back %d, want %d of %v", undo, e.line[e.at], e.line)
				}
				e.append(studio.Undone, undo)
			case "redo":
				if !canRedo {
					continue
				}
				e.at++
				if redo != e.line[e.at] {
					t.Fatalf("redo brings back %d, want %d of %v", redo, e.line[e.at], e.line)
				}
				e.append(studio.Redone, redo)
			}
		}
	})
}

func TestLostTextsDoNotTouchUndo(t *testing.T) {
	e := newEditor()
	e.append(studio.Saved, 0)
	e.snaps = append(e.snaps, studio.Snapshot{ID: 99, ParentID: 1, Reason: studio.Lost})
	if got, ok := studio.UndoTarget(e.snaps); !ok || got != 1 {
		t.Errorf("UndoTarget: got %d, %v", got, ok)
	}
	if _, ok := studio.UndoTarget(nil); ok {
		t.Error("UndoTarget of no snapshots")
	}
}

func TestThinKeepsTheLastOfEachWindow(t *testing.T) {
	now := time.Date(2031, 5, 6, 12, 0, 0, 0, time.UTC)
	var snaps []studio.Snapshot
	for i := range 400 { // one a minute, the last ten minutes ago
		snaps = append(snaps, studio.Snapshot{ID: int64(i + 1), Version: i + 1, ParentID: int64(i), Reason: studio.Autosaved,
			CreatedAt: now.Add(-time.Duration(409-i) * time.Minute)})
	}
	snaps[0].Reason = studio.Created
	drop, parents := studio.Thin(snaps, now)
	gone := map[int64]bool{}
	for _, id := range drop {
		gone[id] = true
	}
	for i := range 10 {
		if gone[int64(400-i)] {
			t.Errorf("a young autosave was dropped: %d", 400-i)
		}
	}
	// 349 minutes are older than an hour: one is left of each ten, and the first.
	if left := 400 - len(drop); left < 50+35 || left > 50+37 {
		t.Errorf("%d are left", left)
	}
	for child, parent := range parents {
		if gone[child] || gone[parent] || parent >= child {
			t.Errorf("%d is now made from %d", child, parent)
		}
	}
}

func TestThinLeavesWhatIsNeeded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := newEditor()
		now := time.Unix(0, 0).Add(time.Duration(rapid.IntRange(0, 4000).Draw(t, "hours")) * time.Hour)
		for range rapid.IntRange(1, 80).Draw(t, "steps") {
			switch step := rapid.IntRange(0, 9).Draw(t, "step"); {
			case step < 6:
				e.append(studio.Autosaved, 0)
			case step == 6:
				e.append(studio.Saved, 0)
			case step == 7:
				if id, ok := studio.UndoTarget(e.snaps); ok {
					e.append(studio.Undone, id)
				}
			case step == 8:
				if id, ok := studio.RedoTarget(e.snaps); ok {
					e.append(studio.Redone, id)
				}
			case step == 9:
				e.snaps[len(e.snaps)-1].Published = true
			}
		}
		lost := studio.Snapshot{ID: int64(len(e.snaps) + 1), Reason: studio.Lost, ParentID: rapid.Int64Range(1, int64(len(e.snaps))).Draw(t, "base")}
		e.snaps = append(e.snaps, lost)

		drop, parents := studio.Thin(e.snaps, now)
		gone := map[int64]bool{}
		for _, id := range drop {
			gone[id] = true
		}
		var left []studio.Snapshot
		for _, s := range e.snaps {
			if gone[s.ID] {
				if s.Published || s.Version == len(e.snaps)-1 || s.Reason == studio.Saved || s.Reason == studio.Created || s.Reason == studio.Lost {
					t.Fatalf("dropped %+v", s)
				}
				continue
			}
			if p, ok := parents[s.ID]; ok {
				s.ParentID = p
			}
			if gone[s.ParentID] || gone[s.ShowsID] {
				t.Fatalf("%+v stands on one that goes; drop %v, parents %v", s, drop, parents)
			}
			left = append(left, s)
		}
		// Undo still leads to the first text, in fewer steps.
		for range len(left) {
			id, ok := studio.UndoTarget(left)
			if !ok {
				break
			}
			n := int64(len(e.snaps) + len(left) + 1)
			left = append(left, studio.Snapshot{ID: n, Version: int(n), ParentID: left[len(left)-1].ID, ShowsID: id, Reason: studio.Undone})
		}
		head := left[0]
		for _, s := range left {
			if s.Version > head.Version {
				head = s
			}
		}
		if head.ID != 1 && head.ShowsID != 1 {
			t.Fatalf("undo ends at %+v", head)
		}
		if d, _ := studio.Thin(left[:1], now); len(d) != 0 {
			t.Fatalf("the only one was dropped")
		}
	})
}
