package studio

import (
	"cmp"
	"slices"
	"time"
)

// Undo and redo append snapshots; nothing is taken away. Each snapshot shows the
// text of some original one: its own, or for an undo or redo that of ShowsID.
// Undo goes to the text from which the one shown was made. Redo goes back
// towards the last original text, step by step, until something else is saved.

// history is a pattern's accepted snapshots by id.
type history struct {
	byID map[int64]Snapshot
	head Snapshot
}

func newHistory(snaps []Snapshot) (history, bool) {
	h := history{byID: make(map[int64]Snapshot, len(snaps))}
	for _, s := range snaps {
		if s.Reason == Lost {
			continue
		}
		h.byID[s.ID] = s
		if s.Version > h.head.Version {
			h.head = s
		}
	}
	return h, h.head.Version > 0
}

// shown is the original snapshot whose text a snapshot shows.
func (h history) shown(s Snapshot) (Snapshot, bool) {
	if s.ShowsID == 0 {
		return s, true
	}
	o, ok := h.byID[s.ShowsID]
	return o, ok
}

// before is the original snapshot from whose text an original one was made.
func (h history) before(original Snapshot) (Snapshot, bool) {
	p, ok := h.byID[original.ParentID]
	if !ok {
		return p, false
	}
	return h.shown(p)
}

// UndoTarget returns the snapshot whose text an undo brings back. The snapshots
// are a pattern's, in any order; false when there is nothing to undo.
func UndoTarget(snaps []Snapshot) (int64, bool) {
	h, ok := newHistory(snaps)
	if !ok {
		return 0, false
	}
	now, ok := h.shown(h.head)
	if !ok {
		return 0, false
	}
	target, ok := h.before(now)
	return target.ID, ok
}

// RedoTarget returns the snapshot whose text a redo brings back, false when the
// last thing done was not an undo.
func RedoTarget(snaps []Snapshot) (int64, bool) {
	h, ok := newHistory(snaps)
	if !ok || h.head.ShowsID == 0 {
		return 0, false
	}
	// Back over the run of undos and redos to the text it started from.
	tip := h.head
	for tip.ShowsID != 0 {
		if tip, ok = h.byID[tip.ParentID]; !ok {
			return 0, false
		}
	}
	// From there back to the child of the text that is shown now.
	for steps := 0; steps <= len(snaps); steps++ {
		p, ok := h.before(tip)
		if !ok {
			return 0, false
		}
		if p.ID == h.head.ShowsID {
			return tip.ID, true
		}
		tip = p
	}
	return 0, false
}

// The thinning of autosaves: all are kept for the first hour, then the last of
// each ten minutes, after a day the last of each hour, after a month the last of each day.
var thinning = []struct{ age, window time.Duration }{
	{30 * 24 * time.Hour, 24 * time.Hour},
	{24 * time.Hour, time.Hour},
	{time.Hour, 10 * time.Minute},
}

// Thin returns which of a pattern's snapshots may go, and for those that stay
// and were made from one that goes, the snapshot they now count as made from
// (0: none). Only autosaves, undos and redos go; never the last version, never
// one that a revision was made from, never one whose text a snapshot that stays shows
// again or that a lost save started from.
func Thin(snaps []Snapshot, now time.Time) (drop []int64, parents map[int64]int64) {
	snaps = slices.Clone(snaps)
	slices.SortFunc(snaps, func(a, b Snapshot) int { return cmp.Compare(a.ID, b.ID) })
	last := 0
	for _, s := range snaps {
		last = max(last, s.Version)
	}
	gone := map[int64]Snapshot{}
	needed := map[int64]bool{}
	type slot struct{ window, n int64 }
	filled := map[slot]bool{}
	// Newest first: the last of each window stays, and what a snapshot needs is
	// older than itself.
	for _, s := range slices.Backward(snaps) {
		thinnable := s.Reason == Autosaved || s.Reason == Undone || s.Reason == Redone
		if thinnable && s.Version != last && !s.Published && !needed[s.ID] {
			age := now.Sub(s.CreatedAt)
			for _, r := range thinning {
				if age < r.age {
					continue
				}
				at := slot{int64(r.window), s.CreatedAt.UnixNano() / int64(r.window)}
				if filled[at] {
					gone[s.ID] = s
				}
				filled[at] = true
				break
			}
		}
		if _, goes := gone[s.ID]; goes {
			continue
		}
		if s.ShowsID != 0 {
			needed[s.ShowsID] = true
		}
		if s.Reason == Lost {
			needed[s.ParentID] = true
		}
	}
	parents = map[int64]int64{}
	for _, s := range snaps {
		if _, goes := gone[s.ID]; goes {
			drop = append(drop, s.ID)
			continue
		}
		p := s.ParentID
		for {
			g, goes := gone[p]
			if !goes {
				break
			}
			// What was made from an undo was made from the text it showed.
			if p = g.ParentID; g.ShowsID != 0 {
				p = g.ShowsID
			}
		}
		if p != s.ParentID {
			parents[s.ID] = p
		}
	}
	return drop, parents
}

// MatchNames gives the items of a new list the identities of an old one: those
// of the same name first; then, when the lists are of one length, an item whose
// name is new has the one that stood in its place, when that is still free: it was
// renamed. old[i].ID 0 does not occur; 0 in the answer stands for a new item.
func MatchNames(old []Named, names []string) []int64 {
	ids := make([]int64, len(names))
	taken := make([]bool, len(old))
	byName := map[string][]int{}
	inPlace := []int{} // old items that stand in the list now, in order
	for i, o := range old {
		byName[o.Name] = append(byName[o.Name], i)
		if !o.Retired {
			inPlace = append(inPlace, i)
		}
	}
	// Those that stand in the list come before retired ones of the same name.
	for _, at := range byName {
		slices.SortStableFunc(at, func(a, b int) int {
			switch {
			case old[a].Retired == old[b].Retired:
				return 0
			case old[b].Retired:
				return -1
			}
			return 1
		})
	}
	for i, name := range names {
		if at := byName[name]; len(at) > 0 {
			ids[i], taken[at[0]] = old[at[0]].ID, true
			byName[name] = at[1:]
		}
	}
	if len(inPlace) == len(names) {
		for i, o := range inPlace {
			if ids[i] == 0 && !taken[o] {
				ids[i], taken[o] = old[o].ID, true
			}
		}
	}
	return ids
}

// Named is an item of a list that keeps its identity: a size, a yarn.
type Named struct {
	ID      int64
	Name    string
	Retired bool // not in the list now
}
