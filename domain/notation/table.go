package notation

// This file reads the last column of a table of rows, where its head says that it holds
// the stitches after each: "| Rnd | Work | Sts |".

// talliedHead reports whether a line is the head of a table whose last column holds
// stitch counts.
func talliedHead(toks []Token) bool {
	n := len(toks)
	if n < 5 || toks[0].Text != "|" || toks[n-1].Text != "|" {
		return false
	}
	from := n - 1
	for from > 0 && toks[from-1].Text != "|" {
		from--
	}
	counts := false
	for _, t := range toks[from : n-1] {
		switch t.fold {
		case "st", "sts", "stitch", "stitches", "count", "counts", "total":
			counts = true
		case "no", "number", "of", "in", "all", "on", "needle", "after", ".", "#", "row", "rnd", "rnds", "rows":
		default:
			return false
		}
	}
	return counts
}

// tally makes a stated count of the number in the last cell of a row of a table, which
// stands behind the row as ". 120".
func tally(row []Token) []Token {
	n := len(row)
	if n < 4 || row[n-1].Kind != Number || row[n-2].Text != "." && row[n-2].Text != "]" && row[n-2].Text != ")" {
		return row
	}
	word := scanLine("[x sts]", row[n-1].Line)
	at := row[n-1]
	for i := range word {
		word[i].Col, word[i].EndCol = at.EndCol, at.EndCol
	}
	word[0].Col, word[0].EndCol = at.Col, at.Col
	out := append([]Token(nil), row[:n-1]...)
	return append(out, word[0], at, word[2], word[3])
}
