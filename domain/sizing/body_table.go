package sizing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Table is a published table as it is kept with the program: tab-separated, a
// head row, and comment lines that name the sources. A figure marked "read" was
// seen in its source; one marked "memory" was recalled from it.
type Table struct {
	Head []string
	Rows [][]string
	Keys map[string]string // what the short names of sources stand for
}

// ReadTable reads the text of a table. The error names the line.
func ReadTable(text string) (Table, error) {
	t := Table{Keys: map[string]string{}}
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSuffix(line, "\r")
		switch {
		case line == "":
		case strings.HasPrefix(line, "#"):
			for _, s := range strings.Split(strings.TrimPrefix(line, "# "), "  ") {
				if k, v, ok := strings.Cut(s, " = "); ok && isKey(k) {
					t.Keys[k] = v
				}
			}
		case t.Head == nil:
			t.Head = strings.Split(line, "\t")
		default:
			row := strings.Split(line, "\t")
			if len(row) > len(t.Head) {
				return Table{}, fmt.Errorf("line %d: %d fields under %d heads", i+1, len(row), len(t.Head))
			}
			for len(row) < len(t.Head) {
				row = append(row, "")
			}
			t.Rows = append(t.Rows, row)
		}
	}
	if t.Head == nil {
		return Table{}, fmt.Errorf("table without a head row")
	}
	return t, nil
}

// isKey says whether s is the short name of a source: "CYC15".
func isKey(s string) bool {
	return s != "" && len(s) <= 6 && !strings.ContainsFunc(s, func(r rune) bool { return (r < 'A' || r > 'Z') && (r < '0' || r > '9') })
}

// Cell is the field of a row under a head, "" where there is none.
func (t Table) Cell(row []string, head string) string {
	if i := slices.Index(t.Head, head); i >= 0 && i < len(row) {
		return row[i]
	}
	return ""
}

// Number is the field of a row under a head as a number; ok is false where it is
// empty or no number.
func (t Table) Number(row []string, head string) (x float64, ok bool) {
	x, err := strconv.ParseFloat(t.Cell(row, head), 64)
	return x, err == nil
}

// Source spells out the short names of a source, as "CYC+MM".
func (t Table) Source(key string) string {
	var out []string
	for _, k := range strings.Split(key, "+") {
		if v, ok := t.Keys[k]; ok {
			k = v
		}
		out = append(out, strings.TrimSuffix(k, "."))
	}
	return strings.Join(out, "; ")
}
