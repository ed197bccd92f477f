package errata

import "rowproof/domain/studio"

// Fate is what became of a row since an erratum was noted on it.
type Fate struct {
	Was      string // what the row said then, for the knitter's size
	WasHead  string
	WasCount int // stitches after it, -1 when not known
	Now      string
	NowHead  string
	NowCount int
	Removed  bool // the row no longer stands
	Touched  bool // its words or its count, for that size, are others now
	Known    bool // the row stood in the revision that was read
}

// FateOf tells what became of the row of an erratum: what it said in the revision that was
// read, what it says in another, and whether the change touches it. The sizes are told
// apart: a change for size L leaves an erratum in size S untouched.
func FateOf(e studio.Erratum, was, now Reading) Fate {
	f := Fate{WasCount: -1, NowCount: -1}
	j, ok := was.Row(e.RowID)
	if !ok {
		return f
	}
	f.Known = true
	ka, _ := was.Size(e.SizeID)
	f.Was, f.WasHead, f.WasCount = was.Text(j, ka), was.Rev.Rows[j].Head, was.Count(j, ka)
	i, ok := now.Row(e.RowID)
	if !ok {
		f.Removed, f.Touched = true, true
		return f
	}
	kb, there := now.Size(e.SizeID)
	if !there {
		f.Removed, f.Touched = true, true
		return f
	}
	f.Now, f.NowHead, f.NowCount = now.Text(i, kb), now.Rev.Rows[i].Head, now.Count(i, kb)
	f.Touched = !same(f.Was, f.Now) || f.WasCount >= 0 && f.NowCount >= 0 && f.WasCount != f.NowCount
	return f
}

// ForKnitter are the changes that touch a size, those ahead of the row she is at first,
// then those she is past. place is the row's id; 0 when it is not known, then all are ahead.
func ForKnitter(changes []Change, now Reading, sizeID, place int64) (ahead, past []Change) {
	at := -1
	if i, ok := now.Row(place); ok {
		at = i
	}
	for _, c := range changes {
		if c.Kind == Renumbered {
			continue
		}
		if _, ok := c.For(sizeID); !ok {
			continue
		}
		if c.Kind != Removed && c.At >= at || c.Kind == Removed && at < 0 {
			ahead = append(ahead, c)
		} else {
			past = append(past, c)
		}
	}
	return ahead, past
}
