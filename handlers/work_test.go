package handlers

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"golang.org/x/tools/txtar"

	"rowproof/domain/notation"
	"rowproof/web"
)

// The page of every fourth manuscript of the corpus, right or wrong: each step is named in
// the list, or stands for others that are, and the script gets what it needs.
func TestEveryPatternCanBeWorkedThrough(t *testing.T) {
	files, err := filepath.Glob("../domain/review/testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	for i := 0; i < len(files); i += 4 {
		ar, err := txtar.ParseFile(files[i])
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range ar.Files {
			if x.Name != "manuscript.txt" {
				continue
			}
			size := len(notation.Read(string(x.Data)).Sizes) - 1
			var v web.WorkView
			if err := workView(t.Context(), &v, workCopy{text: string(x.Data), size: max(0, size)}); err != nil {
				t.Errorf("%s: %v", files[i], err)
				continue
			}
			if v.Problem != "" {
				continue
			}
			d := v.Data.(workData)
			items := 0
			for _, s := range v.Sections {
				items += len(s.Items)
			}
			if len(d.Steps) == 0 || items == 0 {
				t.Errorf("%s: %d steps, %d in the list", files[i], len(d.Steps), items)
			}
			for _, l := range d.Lines {
				if l.Chart != nil && l.Chart[0] >= len(v.Charts) {
					t.Errorf("%s: a line stands in chart %d of %d", files[i], l.Chart[0], len(v.Charts))
				}
			}
			if _, err := json.Marshal(d); err != nil {
				t.Errorf("%s: %v", files[i], err)
			}
		}
	}
}
