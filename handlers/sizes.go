package handlers

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/web"
)

// namesOfSizes are the names of the sizes as the form shows them: "" where a single size
// has none, and numbers where no line of the text names them.
func namesOfSizes(ms *notation.Manuscript) []string {
	if len(ms.Sizes) == 0 {
		return []string{""}
	}
	return slices.Clone(ms.Sizes)
}

func sizeRows(names []string) []web.SizeRow {
	var out []web.SizeRow
	for i, n := range names {
		label := n
		if label == "" {
			label = "the one size"
		}
		out = append(out, web.SizeRow{Number: strconv.Itoa(i), Name: n, Label: label,
			First: i == 0, Last: i == len(names)-1, Only: len(names) == 1, Full: len(names) >= notation.MaxResized})
	}
	return out
}

// saveSizes names, moves, drops or adds a size: an edit of every list of one number per
// size in the text.
func (s *server) saveSizes(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	ms, base := notation.Read(p.Manuscript), baseVersion(r)
	was := namesOfSizes(ms)
	typed := slices.Clone(was)
	for i := range typed {
		if r.PostForm.Has("size-" + strconv.Itoa(i)) {
			typed[i] = strings.Join(strings.Fields(r.PostFormValue("size-"+strconv.Itoa(i))), " ")
		}
	}
	again := func(status int, problem string) error {
		m := materials{heads: readHeads(ms), stitches: readStitches(ms), sizes: typed, sizesProblem: problem}
		return s.renderMaterials(w, r, status, p, m, p.Version)
	}
	if base != p.Version {
		typed = was
		return again(http.StatusConflict, "The pattern was saved since this page was opened. These are its sizes now; do again what you meant.")
	}
	plan, said, problem := planSizes(was, typed, r.PostFormValue("do"), strings.Join(strings.Fields(r.PostFormValue("new-size")), " "))
	if problem != "" {
		return again(http.StatusUnprocessableEntity, problem)
	}
	text, err := review.Resize(p.Manuscript, plan)
	if err != nil {
		return again(http.StatusUnprocessableEntity, "Nothing is changed: "+err.Error()+".")
	}
	if text == p.Manuscript {
		return s.done(w, r, patternURL(p)+"/materials#sizes-part", "The sizes are as they were.")
	}
	if _, err := s.keep(r.Context(), p, text, base, studio.Form); err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/materials", said)
}

// planSizes makes a plan of what a button of the form asks: "names", "up-2", "down-2",
// "remove-2" or "add-2". said tells what was done; problem what keeps it from being done.
func planSizes(was, typed []string, do, name string) (plan []notation.NewSize, said, problem string) {
	for i := range was {
		one := notation.NewSize{From: i}
		switch {
		case typed[i] == "" && len(was) > 1:
			return nil, "", "Each size needs a name."
		case typed[i] != was[i]:
			one.Name = typed[i]
		}
		plan = append(plan, one)
	}
	verb, number, _ := strings.Cut(do, "-")
	i, err := strconv.Atoi(number)
	if verb == "names" || verb == "" {
		return plan, "The names of the sizes are saved into the manuscript.", ""
	}
	if err != nil || i < 0 || i >= len(plan) {
		return nil, "", "There is no such size."
	}
	label := typed[i]
	switch {
	case verb == "up" && i > 0:
		plan[i-1], plan[i] = plan[i], plan[i-1]
		said = fmt.Sprintf("Size %s moved up, with its numbers.", label)
	case verb == "down" && i < len(plan)-1:
		plan[i], plan[i+1] = plan[i+1], plan[i]
		said = fmt.Sprintf("Size %s moved down, with its numbers.", label)
	case verb == "remove" && len(plan) > 1:
		plan = slices.Delete(plan, i, i+1)
		said = fmt.Sprintf("Size %s is taken out of the manuscript. The text before stands in the history.", label)
	case verb == "add":
		if name == "" {
			return nil, "", "Say what the new size is called, then add it."
		}
		if label == "" {
			return nil, "", "Give the present size a name too, then add another."
		}
		plan = slices.Insert(plan, i+1, notation.NewSize{From: i, Name: name})
		said = fmt.Sprintf("Size %s is added. It has the numbers of %s; write its own.", name, label)
	default:
		return nil, "", "That cannot be done with this size."
	}
	return plan, said, ""
}
