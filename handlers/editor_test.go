package handlers

import (
	"encoding/json"
	"net/url"
	"strings"
	"testing"

	"rowproof/domain/finding"
)

func TestCheckWithoutScript(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	v := a.signedIn()
	got := v.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {strings.ReplaceAll(wrongScarf, "\n", "\r\n")}, "do": {"check"}})
	got.want(t, "checking", 200, "Row 3", "Not saved yet", "to last st, k2.", "level-error")
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil || now.Manuscript != rightScarf {
		t.Errorf("a check changed the pattern, error %v", err)
	}
}

func TestMendWithoutScript(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	v := a.signedIn()
	page := v.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {wrongScarf}, "do": {"check"}})
	_, rest, ok := strings.Cut(page.body, `name="do" value="mend-`)
	if !ok {
		t.Fatalf("no mend on the page: %s", page.body)
	}
	mend, _, _ := strings.Cut(rest, `"`)
	v.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {wrongScarf}, "do": {"mend-" + mend}}).want(t, "mending", 303)
	v.get(patternURL(p)).want(t, "the page after it", 200, "Every row proved", "Mended. Undo takes it back.")
	v.post(patternURL(p), url.Values{"base": {"1"}, "manuscript": {wrongScarf}, "do": {"mend-99-0"}}).want(t, "a mend that is not there", 404)
}

func TestCheckAnswersScripts(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	req := v.request("POST", "/studio/check", url.Values{"manuscript": {rightScarf}, "seq": {"17"}, "base": {"3"}})
	req.Header.Set("Accept", "application/json")
	var said struct {
		Seq, Base, Level, Status, Notes, Facts string
		Proof                                  marginData
	}
	got := v.do(req)
	if err := json.Unmarshal([]byte(got.body), &said); err != nil {
		t.Fatalf("%v in %s", err, got.body)
	}
	if said.Seq != "17" || said.Base != "3" || said.Level != "clear" || said.Status != "Every row proved, at all 3 sizes" {
		t.Errorf("said seq %q, base %q, level %q, status %q", said.Seq, said.Base, said.Level, said.Status)
	}
	if l := said.Proof.Lines["10"]; l.Side != "RS" || l.Counts != "27 (33, 39)" || l.Title != "S: 27, M: 33, L: 39" {
		t.Errorf("beside line 10 stands %+v", l)
	}
}

func TestSaveUndoRedoRestore(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	v := a.signedIn()
	text := func() string {
		t.Helper()
		now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
		if err != nil {
			t.Fatal(err)
		}
		return now.Manuscript
	}
	second, third := rightScarf+"Block.\n", rightScarf+"Block it well.\n"
	v.post(patternURL(p), url.Values{"base": {"1"}, "manuscript": {second}, "do": {"save"}}).want(t, "saving", 303)
	if text() != second {
		t.Fatalf("after saving: %q", text())
	}
	// An undo with text that was not saved yet keeps it first.
	v.post(patternURL(p), url.Values{"base": {"2"}, "manuscript": {third}, "do": {"undo"}}).want(t, "undo", 303)
	if text() != second {
		t.Errorf("after undo: %q", text())
	}
	v.post(patternURL(p), url.Values{"base": {"4"}, "do": {"redo"}}).want(t, "redo", 303)
	if text() != third {
		t.Errorf("after redo: %q", text())
	}
	v.get(patternURL(p)+"/history").want(t, "the history", 200, "Text 5", "Text 1", "begun", "undone", "Bring it back")
	snaps, err := a.db.Snapshots(t.Context(), a.studio.ID, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	first := snaps[len(snaps)-1]
	at := historyText(p, first)
	v.get(at.URL).want(t, "the first text", 200, "come: ", "Block it well.")
	v.post(at.RestoreURL, url.Values{"base": {"5"}}).want(t, "restoring", 303)
	if text() != rightScarf {
		t.Errorf("after restoring: %q", text())
	}
}

func TestSecondTabLosesNothing(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	one, two := a.signedIn(), a.signedIn()
	theirs, mine := rightScarf+"Soak and pin out.\n", strings.Replace(rightScarf, "Needles: 4 mm", "Needles: 4.5 mm", 1)
	one.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {theirs}, "do": {"save"}}).want(t, "the first tab", 303)

	// With a script: the answer names the page with both texts.
	req := two.request("POST", patternURL(p), url.Values{"base": {version(p)}, "manuscript": {mine}, "do": {"autosave"}})
	req.Header.Set("Accept", "application/json")
	got := two.do(req)
	got.want(t, "the second tab's script", 409, "conflict")

	// Without: it goes there.
	got = two.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {mine}, "do": {"save"}})
	if got.status != 303 || !strings.Contains(got.location, "/conflict/") {
		t.Fatalf("the second tab: %d to %q", got.status, got.location)
	}
	page := two.get(got.location)
	page.want(t, "the conflict", 200, "Soak and pin out.", "Needles: 4.5 mm", "Needles: 4 mm", "in another tab")
	// Saving from there makes mine the text; theirs stays in the history.
	both := mine + "Soak and pin out.\n"
	two.post(patternURL(p), url.Values{"base": {"2"}, "manuscript": {both}, "do": {"save"}}).want(t, "settling it", 303)
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil || now.Manuscript != both || now.Version != 3 {
		t.Errorf("after it version %d stands, error %v", now.Version, err)
	}
	one.get(patternURL(p)+"/history").want(t, "the history", 200, "Text kept aside")
}

func TestNewPatternFromBlankForm(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	got := v.post("/studio/new/blank", url.Values{"title": {"Hedge Mitts"}, "sizes": {"S, M"}, "gauge": {"24 sts and 32 rows = 10 cm in stockinette"},
		"yarn": {"sock yarn, 100 g = 400 m"}, "needle": {"2.5 mm"}, "piece": {"Cuff"}, "begin": {"CO 48 (56) sts"}})
	if got.status != 303 {
		t.Fatalf("status %d: %s", got.status, got.body)
	}
	v.get(got.location).want(t, "its page", 200, "Hedge Mitts", "CO 48 (56) sts.", "Every row proved, at all 2 sizes")
	ps, err := a.db.ListPatterns(t.Context(), a.studio.ID)
	if err != nil || len(ps) != 1 {
		t.Fatalf("%d patterns, error %v", len(ps), err)
	}
	gauges, err := a.db.Gauges(t.Context(), a.studio.ID, ps[0].ID)
	if err != nil || len(gauges) != 1 || gauges[0].Sts != 24 || gauges[0].Rows != 32 || gauges[0].OverMM != 100 || gauges[0].Stitch != "stockinette" {
		t.Errorf("gauges %+v, error %v", gauges, err)
	}
	yarns, err := a.db.Yarns(t.Context(), a.studio.ID, ps[0].ID)
	if err != nil || len(yarns) != 1 || yarns[0].MPerBall != 400 || yarns[0].GPerBall != 100 {
		t.Errorf("yarns %+v, error %v", yarns, err)
	}
}

func TestMaterialsChangeTheirOwnLinesOnly(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	v := a.signedIn()
	v.get(patternURL(p)+"/materials").want(t, "the form", 200, "Ditch Scarf", "DK weight wool, 50 g = 110 m")
	form := url.Values{"base": {version(p)}, "title": {"Ditch Scarf"}, "sizes": {"S, M, L"}, "gauge": {"21 sts and 28 rows = 10 cm in stockinette"},
		"yarn": {"DK weight wool, 50 g = 110 m"}, "needles": {"4 mm"}, "notes": {"Soft yarn drapes best."}}
	v.post(patternURL(p)+"/materials", form).want(t, "saving the form", 303)
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Replace(rightScarf, "20 sts", "21 sts", 1)
	want = strings.Replace(want, "Needles: 4 mm\n", "Needles: 4 mm\n\nNotes\nSoft yarn drapes best.\n", 1)
	if now.Manuscript != want {
		t.Errorf("the text is\n%s\nwant\n%s", now.Manuscript, want)
	}
}

func TestCopyDeleteRestore(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	v := a.signedIn()
	got := v.post(patternURL(p)+"/copy", nil)
	v.get(got.location).want(t, "the copy", 200, "Ditch Scarf (copy)")
	v.post(patternURL(p)+"/delete", nil).want(t, "to the bin", 303)
	v.get(patternURL(p)).want(t, "a pattern in the bin", 404)
	v.get("/studio/bin").want(t, "the bin", 200, "Ditch Scarf", "Take it out again")
	v.post(patternURL(p)+"/restore", nil).want(t, "out of the bin", 303)
	v.get(patternURL(p)).want(t, "the pattern again", 200)
}

func TestPrivateNotes(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	a.publish(p)
	v := a.signedIn()
	v.post(patternURL(p)+"/notes", url.Values{"body": {"Ask Wilma about the <edge>."}}).want(t, "a note", 303)
	v.get(patternURL(p)+"/notes").want(t, "the notes", 200, "Ask Wilma about the &lt;edge&gt;.")
	v.post(patternURL(p)+"/notes", url.Values{"body": {"  "}}).want(t, "an empty note", 422)
	if got := v.get("/p/ditch-scarf"); strings.Contains(got.body, "Wilma") {
		t.Error("a private note is on the public page")
	}
}

func TestPublishingNeedsReasons(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(wrongScarf)
	v := a.signedIn()
	page := v.get(patternURL(p) + "/publish")
	page.want(t, "the gate", 200, "Why it is left in", "Row 3")
	v.post(patternURL(p)+"/publish", url.Values{"base": {version(p)}}).want(t, "without a reason", 422, "needs its reason")
	a.visitor().get("/p/ditch-scarf").want(t, "its public page before", 404)
	form := url.Values{"base": {version(p)}, "note": {"First words."}}
	for _, part := range strings.Split(page.body, `name="reason-`)[1:] {
		form.Set("reason-"+part[:strings.Index(part, `"`)], "A joke row.")
	}
	got := v.post(patternURL(p)+"/publish", form)
	got.want(t, "with reasons", 303)
	a.visitor().get(got.location).want(t, "its public page", 200, "Ditch Scarf", "Revision 1", "ot proved")
	a.visitor().get("/").want(t, "the front page", 200, "Ditch Scarf", "First words.", "Not proved")
	rev, err := a.db.PublishedRevision(t.Context(), "ditch-scarf", 0)
	if err != nil {
		t.Fatal(err)
	}
	if len(rev.Waivers) == 0 || rev.Waivers[0].Reason != "A joke row." || rev.Waivers[0].RowID == 0 {
		t.Errorf("waivers %+v", rev.Waivers)
	}
	for _, r := range rev.Rows {
		if r.Head == "Row 1" && (len(r.Counts) != 3 || r.Counts[1] != 33) {
			t.Errorf("counts after row 1: %v", r.Counts)
		}
	}
}

func TestApplyEdits(t *testing.T) {
	edit := func(l, c, el, ec int, s string) finding.Edit {
		return finding.Edit{Span: finding.Span{Line: l, Col: c, EndLine: el, EndCol: ec}, Text: s}
	}
	for _, test := range []struct {
		name, text string
		edits      []finding.Edit
		want       string
	}{
		{"one word", "Row 1: k2, p2.\nRow 2: purl.", []finding.Edit{edit(1, 12, 1, 14, "p3")}, "Row 1: k2, p3.\nRow 2: purl."},
		{"letters are characters", "½ äö k2", []finding.Edit{edit(1, 6, 1, 8, "k3")}, "½ äö k3"},
		{"two, from above", "ab\ncd", []finding.Edit{edit(1, 1, 1, 2, "x"), edit(2, 2, 2, 3, "y")}, "xb\ncy"},
		{"over lines", "ab\ncd\nef", []finding.Edit{edit(1, 2, 3, 2, "-")}, "a-f"},
		{"a line more", "ab", []finding.Edit{edit(1, 3, 1, 3, "\ncd")}, "ab\ncd"},
		{"no such line", "ab", []finding.Edit{edit(7, 1, 7, 2, "x"), edit(0, 1, 1, 2, "x")}, "ab"},
	} {
		if got := applyEdits(test.text, test.edits); got != test.want {
			t.Errorf("%s: applyEdits(%q) = %q, want %q", test.name, test.text, got, test.want)
		}
	}
}

func TestCompare(t *testing.T) {
	got := ""
	for _, l := range compare("a\nb\nc\nd\ne\nf\ng", "a\nb\nc\nd\ne\nF\ng", true) {
		got += l.Kind + " " + l.Text + "|"
	}
	if want := "gap …|kept d|kept e|gone f|come F|kept g|"; got != want {
		t.Errorf("compare gives %s, want %s", got, want)
	}
}

// Text is text on every page, whatever it holds.
func TestHostileTextStaysText(t *testing.T) {
	a := newApp(t)
	a.owner()
	const bad = `"><script>alert(1)</script>`
	text := strings.NewReplacer("Ditch Scarf", "Ditch "+bad, "k3; rep", bad+"; rep", "Needles: 4 mm", "Needles: "+bad+"\n\nNotes\n"+bad).Replace(rightScarf)
	p := a.add("</textarea>" + text)
	a.publish(p)
	if _, err := a.db.AddNote(t.Context(), a.studio.ID, p.ID, account(t.Context()).ID, bad); err != nil {
		t.Fatal(err)
	}
	v := a.signedIn()
	for _, path := range []string{"/", publicURL(p.Slug), "/studio/", patternURL(p), patternURL(p) + "/materials", patternURL(p) + "/notes",
		patternURL(p) + "/history", patternURL(p) + "/history/1", patternURL(p) + "/prints", patternURL(p) + "/publish", publicURL(p.Slug) + "/" + p.Slug + ".html"} {
		got := v.get(path)
		got.want(t, path, 200)
		if strings.Contains(got.body, "<script>alert") || strings.Contains(got.body, "</textarea></textarea>") {
			t.Errorf("%s lets text be more than text", path)
		}
	}
	req := v.request("POST", "/studio/check", url.Values{"manuscript": {text}})
	req.Header.Set("Accept", "application/json")
	var said struct{ Notes, Facts string }
	if err := json.Unmarshal([]byte(v.do(req).body), &said); err != nil || strings.Contains(said.Notes+said.Facts, "<script>") {
		t.Errorf("the check lets text be more than text, error %v", err)
	}
}
