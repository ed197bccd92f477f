package handlers

import (
	"fmt"
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/shaping"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The pages that work out one shaping. The address holds the question; nothing is kept.

const shapingURL = "/studio/shaping"

func (s *server) showShapings(w http.ResponseWriter, r *http.Request) error {
	v := web.ShapingListView{Page: s.shared(r, "Work out a shaping")}
	v.Here = "studio"
	for _, t := range shaping.Tasks() {
		v.Tasks = append(v.Tasks, web.DraftForm{Name: t.Key, Title: t.Title, URL: shapingURL + "/" + t.Key, Hint: t.Hint})
	}
	return s.render(w, r, http.StatusOK, web.ShapingList(v))
}

// showShaping is the page of one question, with its answer once it is asked.
func (s *server) showShaping(w http.ResponseWriter, r *http.Request) error {
	key := chi.URLParam(r, "task")
	t, ok := shaping.Named(key)
	if !ok {
		return fmt.Errorf("shaping %q: %w", key, studio.ErrNotFound)
	}
	q := r.URL.Query()
	asked := len(q) > 0
	v := web.ShapingView{Page: s.shared(r, t.Title), Heading: t.Title, Hint: t.Hint, List: shapingURL, Action: shapingURL + "/" + key}
	v.Here = "studio"
	values := map[string]string{}
	for _, f := range t.Fields {
		values[f.Key] = f.Usual
		if asked {
			values[f.Key] = short(q, f.Key)
		}
		field := web.ShapingField{Key: f.Key, Label: f.Label, Hint: f.Hint, Value: web.Field{Value: values[f.Key]}}
		for _, c := range f.Choices {
			field.Choices = append(field.Choices, web.Choice{Value: c.Value, Label: c.Label, Here: c.Value == values[f.Key]})
		}
		v.Fields = append(v.Fields, field)
	}
	status := http.StatusOK
	if asked {
		a, err := t.Work(values)
		if err != nil {
			v.Problem, status = sentence(err.Error()), http.StatusUnprocessableEntity
		} else {
			v.Answer = &web.ShapingAnswer{Rows: a.Rows, Notes: a.Notes, Wrong: a.Wrong, Proved: a.Proved, Counts: shapingTable(a.Counts)}
		}
	}
	return s.render(w, r, status, web.Shaping(v))
}

// short is a typed line, no longer than any sensible one.
func short(q url.Values, key string) string {
	s := []rune(oneLine(studio.CleanManuscript(q.Get(key))))
	return string(s[:min(len(s), 300)])
}

func shapingTable(lines []shaping.Line) web.NumberTable {
	t := web.NumberTable{Caption: "Numbers of each size"}
	for _, l := range lines {
		t.Rows = append(t.Rows, web.NumberRow{Name: l.Name, Cells: l.Cells})
		if len(l.Cells) > 1 && t.Columns == nil {
			for i := range l.Cells {
				t.Columns = append(t.Columns, fmt.Sprintf("size %d", i+1))
			}
		}
	}
	return t
}
