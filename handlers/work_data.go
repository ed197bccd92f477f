package handlers

import (
	"slices"

	"rowproof/domain/working"
)

// workData is a plan as the script of its page reads it. Names are short: a step costs
// some forty bytes.
type workData struct {
	Key      string       `json:"key"` // of the project on the device
	Title    string       `json:"title"`
	Size     string       `json:"size"`
	Revision string       `json:"revision"` // for people
	Edition  string       `json:"edition"`  // for comparing
	URL      string       `json:"url"`
	Sync     string       `json:"sync,omitempty"`
	SignIn   string       `json:"signIn,omitempty"`
	Lines    []workLine   `json:"lines"`
	Steps    []workStep   `json:"steps"`
	Loops    []workLoop   `json:"loops"`
	Repeats  []workRepeat `json:"repeats"` // that steps name by index
}

type workLine struct {
	Row     int         `json:"r"`            // ordinal of the instruction; -1 for none
	ID      int64       `json:"id,omitempty"` // of the row
	Changed bool        `json:"new,omitempty"`
	Place   string      `json:"at,omitempty"`
	Head    string      `json:"h,omitempty"`
	Text    string      `json:"t"`
	Like    string      `json:"like,omitempty"`
	Terms   [][2]string `json:"terms,omitempty"`
	Chart   *[2]int     `json:"chart,omitempty"` // which, and its row
}

type workStep struct {
	Line    int    `json:"l"`
	By      *int   `json:"b,omitempty"`
	Kind    string `json:"k,omitempty"` // "" for a row
	Head    string `json:"h,omitempty"`
	Count   string `json:"c,omitempty"` // in words
	Change  int    `json:"d,omitempty"`
	Pass    int    `json:"p,omitempty"`
	Passes  int    `json:"q,omitempty"`
	Before  string `json:"note,omitempty"`
	Repeats []int  `json:"x,omitempty"`
}

type workLoop struct {
	From    int    `json:"from"`
	To      int    `json:"to"`
	Text    string `json:"t,omitempty"` // the sentence that asks for it
	Until   string `json:"until"`
	Changes bool   `json:"changes,omitempty"`
}

type workRepeat struct {
	Words    string `json:"w"`
	Times    int    `json:"n"`
	Stitches int    `json:"s,omitempty"`
}

func newWorkData(p *working.Plan, c workCopy) workData {
	d := workData{Key: c.key, Title: c.title, Size: p.Name, Revision: c.revision, Edition: c.edition, URL: c.url, Sync: c.sync, SignIn: c.signIn,
		Lines: []workLine{}, Steps: []workStep{}, Loops: []workLoop{}, Repeats: []workRepeat{}}
	for _, l := range p.Lines {
		line := workLine{Row: l.Row, Place: workPlace(l), Head: l.Head, Text: l.Text, Like: l.Like}
		if l.Row >= 0 && l.Row < len(c.rows) {
			line.ID = c.rows[l.Row]
			line.Changed = line.ID != 0 && c.changed[line.ID]
		}
		for _, t := range l.Terms {
			line.Terms = append(line.Terms, [2]string{t.Term, t.Text.String()})
		}
		d.Lines = append(d.Lines, line)
	}
	for _, s := range p.Steps {
		st := workStep{Line: s.Line, Head: s.Head, Count: workCount(s), Change: s.Change, Pass: s.Pass, Passes: s.Passes, Before: s.Before}
		if s.By >= 0 {
			st.By = &s.By
		}
		if s.Kind != working.Row {
			st.Kind = string(s.Kind)
		}
		for _, x := range s.Repeats {
			st.Repeats = append(st.Repeats, d.repeat(workRepeat(x)))
		}
		d.Steps = append(d.Steps, st)
	}
	for _, o := range p.Loops {
		loop := workLoop{From: o.From, To: o.To, Until: o.Until, Changes: o.Changes}
		if o.By >= 0 {
			loop.Text = p.Lines[o.By].Text
		}
		d.Loops = append(d.Loops, loop)
	}
	return d
}

// repeat gives the index of a repeat, which most rows of a piece share.
func (d *workData) repeat(x workRepeat) int {
	from := max(0, len(d.Repeats)-40)
	if i := slices.Index(d.Repeats[from:], x); i >= 0 {
		return from + i
	}
	d.Repeats = append(d.Repeats, x)
	return len(d.Repeats) - 1
}
