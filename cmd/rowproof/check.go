package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"rowproof/domain/notation"
	"rowproof/domain/review"
)

// check is `rowproof check [--json] FILE`. It answers 0 where nothing is
// wrong, 1 where there is an error in the pattern, 2 where the file cannot be read.
func check(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	asJSON := false
	var files []string
	for _, a := range args {
		switch a {
		case "--json", "-json":
			asJSON = true
		default:
			files = append(files, a)
		}
	}
	if len(files) != 1 {
		fmt.Fprintln(stderr, "usage: rowproof check [--json] FILE    (- reads standard input)")
		return 2
	}
	text, err := readManuscript(files[0], stdin)
	if err != nil {
		fmt.Fprintf(stderr, "rowproof: %v\n", err)
		return 2
	}
	r := review.Check(text)
	if asJSON {
		enc := json.NewEncoder(stdout)
		enc.SetIndent("", "  ")
		enc.SetEscapeHTML(false)
		if err := enc.Encode(r.Report); err != nil {
			fmt.Fprintf(stderr, "rowproof: %v\n", err)
			return 2
		}
	} else {
		review.Terminal(stdout, files[0], r, isTerminal(stdout))
	}
	if r.Errors() > 0 {
		return 1
	}
	return 0
}

// readManuscript reads a file, or standard input for "-", up to a little over
// the bound of a manuscript: what is longer is a finding of the check.
func readManuscript(name string, stdin io.Reader) (string, error) {
	in := stdin
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return "", err
		}
		defer f.Close()
		in = f
	}
	b, err := io.ReadAll(io.LimitReader(in, notation.MaxBytes+1024))
	return string(b), err
}

// isTerminal says whether w is a terminal that takes colour.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("NO_COLOR") != "" {
		return false
	}
	st, err := f.Stat()
	return err == nil && st.Mode()&os.ModeCharDevice != 0
}
