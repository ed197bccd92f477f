package store

import (
	"context"
	"slices"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// writeProjection writes what is read off a pattern's text. The pattern is locked
// by the caller. rowIDs are the identities of the rows when they are known.
func writeProjection(ctx context.Context, tx pgx.Tx, patternID int64, version int, p studio.Projection, rowIDs []int64) error {
	err := changeOne(ctx, tx, `
		UPDATE pattern SET title = @title, notes = @notes, errors = @errors, warnings = @warnings WHERE id = @pattern`,
		args{"pattern": patternID, "title": p.ShownTitle(), "notes": studio.CleanManuscript(p.Notes),
			"errors": p.Errors, "warnings": p.Warnings})
	if err != nil {
		return err
	}
	for _, write := range []func() error{
		func() error { return writeSizes(ctx, tx, patternID, p.Sizes) },
		func() error { return writeYarns(ctx, tx, patternID, p.Yarns) },
		func() error { return writeGauges(ctx, tx, patternID, p.Gauges) },
		func() error { return writeNeedles(ctx, tx, patternID, p.Needles) },
		func() error { return writeStitches(ctx, tx, patternID, p.Stitches) },
		func() error { return writeRows(ctx, tx, patternID, version, p, rowIDs) },
	} {
		if err := write(); err != nil {
			return err
		}
	}
	return nil
}

// keep gives names the ids of the table's items that they continue (studio.MatchNames).
// query selects id, name, retired of all the pattern's items.
func keep(ctx context.Context, tx pgx.Tx, query string, patternID int64, names []string) ([]int64, error) {
	old, err := list[studio.Named](ctx, tx, query, args{"pattern": patternID})
	if err != nil {
		return nil, err
	}
	return studio.MatchNames(old, names), nil
}

// item is one thing of an ordered list, with the statement's own arguments. Its
// id, pattern and ordinal are set by writeItems.
type item = args

// writeItems updates the items that have an id and inserts the others, in one round trip.
func writeItems(ctx context.Context, tx pgx.Tx, patternID int64, ids []int64, items []item, update, insert string) error {
	b := &pgx.Batch{}
	for i, it := range items {
		it["pattern"], it["ordinal"] = patternID, i
		if ids[i] != 0 {
			it["id"] = ids[i]
			b.Queue(update, it)
		} else {
			b.Queue(insert, it)
		}
	}
	return tx.SendBatch(ctx, b).Close()
}

func writeSizes(ctx context.Context, tx pgx.Tx, patternID int64, labels []string) error {
	ids, err := keep(ctx, tx, `SELECT id, label AS name, retired FROM size WHERE pattern_id = @pattern ORDER BY ordinal, id`, patternID, labels)
	if err != nil {
		return err
	}
	items := make([]item, len(labels))
	for i, l := range labels {
		items[i] = item{"label": l}
	}
	// Those that are gone give up their places; the places are checked at commit.
	_, err = tx.Exec(ctx, `UPDATE size SET retired = true, ordinal = NULL WHERE pattern_id = @pattern AND NOT retired AND id <> ALL (@kept)`,
		args{"pattern": patternID, "kept": ids})
	if err != nil {
		return err
	}
	return writeItems(ctx, tx, patternID, ids, items,
		`UPDATE size SET label = @label, ordinal = @ordinal, retired = false WHERE id = @id AND pattern_id = @pattern`,
		`INSERT INTO size (pattern_id, label, ordinal) VALUES (@pattern, @label, @ordinal)`)
}

func writeYarns(ctx context.Context, tx pgx.Tx, patternID int64, yarns []studio.Yarn) error {
	letters := make([]string, len(yarns))
	items := make([]item, len(yarns))
	for i, y := range yarns {
		letters[i] = y.Letter
		items[i] = item{"letter": y.Letter, "name": y.Name, "weight": y.Weight, "m": measure(y.MPerBall), "g": measure(y.GPerBall)}
	}
	ids, err := keep(ctx, tx, `SELECT id, letter AS name, retired FROM yarn WHERE pattern_id = @pattern ORDER BY ordinal, id`, patternID, letters)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE yarn SET retired = true, ordinal = NULL WHERE pattern_id = @pattern AND NOT retired AND id <> ALL (@kept)`,
		args{"pattern": patternID, "kept": ids})
	if err != nil {
		return err
	}
	return writeItems(ctx, tx, patternID, ids, items, `
		UPDATE yarn SET letter = @letter, name = @name, weight = @weight, m_per_ball = @m, g_per_ball = @g,
			ordinal = @ordinal, retired = false
		WHERE id = @id AND pattern_id = @pattern`, `
		INSERT INTO yarn (pattern_id, letter, name, weight, m_per_ball, g_per_ball, ordinal)
		VALUES (@pattern, @letter, @name, @weight, @m, @g, @ordinal)`)
}

func writeGauges(ctx context.Context, tx pgx.Tx, patternID int64, gauges []studio.Gauge) error {
	var names []string
	var items []item
	for _, g := range gauges {
		if measure(g.Sts) == nil && measure(g.Rows) == nil {
			continue // says nothing; the text has it and its finding
		}
		state := g.State
		if !slices.Contains(studio.GaugeStates, state) {
			state = ""
		}
		over := g.OverMM
		if measure(over) == nil {
			over = 100
		}
		names = append(names, g.Stitch)
		items = append(items, item{"stitch": g.Stitch, "sts": measure(g.Sts), "rows": measure(g.Rows), "over": over,
			"state": state, "source": g.Source})
	}
	ids, err := keep(ctx, tx, `SELECT id, stitch AS name, false AS retired FROM gauge WHERE pattern_id = @pattern ORDER BY ordinal`, patternID, names)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `DELETE FROM gauge WHERE pattern_id = @pattern AND id <> ALL (@kept)`, args{"pattern": patternID, "kept": ids})
	if err != nil {
		return err
	}
	return writeItems(ctx, tx, patternID, ids, items, `
		UPDATE gauge SET stitch = @stitch, sts = @sts, rows = @rows, over_mm = @over, state = @state, source = @source, ordinal = @ordinal
		WHERE id = @id AND pattern_id = @pattern`, `
		INSERT INTO gauge (pattern_id, stitch, sts, rows, over_mm, state, source, ordinal)
		VALUES (@pattern, @stitch, @sts, @rows, @over, @state, @source, @ordinal)`)
}

func writeNeedles(ctx context.Context, tx pgx.Tx, patternID int64, needles []studio.Needle) error {
	names := make([]string, len(needles))
	items := make([]item, len(needles))
	for i, n := range needles {
		mm := measure(n.MM)
		if mm != nil && *mm >= 1000 {
			mm = nil
		}
		names[i] = n.Label
		items[i] = item{"label": n.Label, "mm": mm}
	}
	ids, err := keep(ctx, tx, `SELECT id, label AS name, false AS retired FROM needle WHERE pattern_id = @pattern ORDER BY ordinal`, patternID, names)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `DELETE FROM needle WHERE pattern_id = @pattern AND id <> ALL (@kept)`, args{"pattern": patternID, "kept": ids})
	if err != nil {
		return err
	}
	return writeItems(ctx, tx, patternID, ids, items,
		`UPDATE needle SET label = @label, mm = @mm, ordinal = @ordinal WHERE id = @id AND pattern_id = @pattern`,
		`INSERT INTO needle (pattern_id, label, mm, ordinal) VALUES (@pattern, @label, @mm, @ordinal)`)
}

func writeStitches(ctx context.Context, tx pgx.Tx, patternID int64, stitches []studio.SpecialStitch) error {
	names := make([]string, len(stitches))
	items := make([]item, len(stitches))
	for i, s := range stitches {
		names[i] = s.Name
		items[i] = item{"name": s.Name, "text": s.Text}
	}
	ids, err := keep(ctx, tx, `SELECT id, name, false AS retired FROM special_stitch WHERE pattern_id = @pattern ORDER BY ordinal`, patternID, names)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `DELETE FROM special_stitch WHERE pattern_id = @pattern AND id <> ALL (@kept)`, args{"pattern": patternID, "kept": ids})
	if err != nil {
		return err
	}
	return writeItems(ctx, tx, patternID, ids, items,
		`UPDATE special_stitch SET name = @name, text = @text, ordinal = @ordinal WHERE id = @id AND pattern_id = @pattern`,
		`INSERT INTO special_stitch (pattern_id, name, text, ordinal) VALUES (@pattern, @name, @text, @ordinal)`)
}

// measure is a number for a numeric(10, 3) column, nil when it was not stated or
// makes no sense there: what the text says is still in the text.
func measure(v float64) *float64 {
	if !(v >= 0.001) || v >= 1e7 { // NaN too
		return nil
	}
	return &v
}

// ofPattern is where the pattern of a query about what is read off it is checked:
// it belongs to the studio and is not in the bin.
const ofPattern = `JOIN pattern p ON p.id = t.pattern_id AND p.id = @pattern AND p.studio_id = @studio AND p.deleted_at IS NULL`

// Sizes returns the sizes of a pattern as it stands, smallest first.
func (db *DB) Sizes(ctx context.Context, studioID, patternID int64) ([]studio.Size, error) {
	out, err := list[studio.Size](ctx, db.pool, `
		SELECT t.id, t.label FROM size t `+ofPattern+`
		WHERE NOT t.retired ORDER BY t.ordinal`, args{"studio": studioID, "pattern": patternID})
	return out, fail(err, "reading the sizes of pattern %d", patternID)
}

// Yarns returns the yarns of a pattern as it stands, with their colours on screen.
func (db *DB) Yarns(ctx context.Context, studioID, patternID int64) ([]studio.Yarn, error) {
	type row struct {
		ID        int64
		Letter    string
		Name      string
		Weight    string
		MPerBall  float64
		GPerBall  float64
		Colourway *string
		Runs      []studio.ColourRun
	}
	rows, err := list[row](ctx, db.pool, `
		SELECT t.id, t.letter, t.name, t.weight, coalesce(t.m_per_ball, 0)::float8 AS m_per_ball,
			coalesce(t.g_per_ball, 0)::float8 AS g_per_ball, c.colourway, c.runs
		FROM yarn t `+ofPattern+` LEFT JOIN colour c ON c.yarn_id = t.id
		WHERE NOT t.retired ORDER BY t.ordinal`, args{"studio": studioID, "pattern": patternID})
	out := make([]studio.Yarn, len(rows))
	for i, r := range rows {
		out[i] = studio.Yarn{ID: r.ID, Letter: r.Letter, Name: r.Name, Weight: r.Weight, MPerBall: r.MPerBall, GPerBall: r.GPerBall}
		if r.Colourway != nil {
			out[i].Colour = &studio.Colour{Colourway: *r.Colourway, Runs: r.Runs}
		}
	}
	return out, fail(err, "reading the yarns of pattern %d", patternID)
}

// SetColour says how a yarn of a pattern looks on screen.
func (db *DB) SetColour(ctx context.Context, studioID, patternID, yarnID int64, c studio.Colour) error {
	if err := c.Validate(); err != nil {
		return err
	}
	err := changeOne(ctx, db.pool, `
		INSERT INTO colour (yarn_id, colourway, runs)
		SELECT t.id, @colourway, @runs FROM yarn t `+ofPattern+` WHERE t.id = @yarn
		ON CONFLICT (yarn_id) DO UPDATE SET colourway = EXCLUDED.colourway, runs = EXCLUDED.runs`,
		args{"studio": studioID, "pattern": patternID, "yarn": yarnID, "colourway": c.Colourway, "runs": c.Runs})
	return fail(err, "colouring yarn %d", yarnID)
}

// copyColours gives the yarns of a copy the colours of their originals, by letter.
func copyColours(ctx context.Context, tx pgx.Tx, from, to int64) error {
	_, err := tx.Exec(ctx, `
		INSERT INTO colour (yarn_id, colourway, runs)
		SELECT new.id, c.colourway, c.runs
		FROM yarn new
		JOIN yarn old ON old.letter = new.letter AND old.ordinal = new.ordinal
		JOIN colour c ON c.yarn_id = old.id
		WHERE new.pattern_id = @to AND old.pattern_id = @from`, args{"from": from, "to": to})
	return err
}

// Gauges returns the gauges that the pattern states.
func (db *DB) Gauges(ctx context.Context, studioID, patternID int64) ([]studio.Gauge, error) {
	out, err := list[studio.Gauge](ctx, db.pool, `
		SELECT t.id, t.stitch, coalesce(t.sts, 0)::float8 AS sts, coalesce(t.rows, 0)::float8 AS rows,
			t.over_mm::float8 AS over_mm, t.state, t.source
		FROM gauge t `+ofPattern+` ORDER BY t.ordinal`, args{"studio": studioID, "pattern": patternID})
	return out, fail(err, "reading the gauges of pattern %d", patternID)
}

// Needles returns the needles that the pattern names.
func (db *DB) Needles(ctx context.Context, studioID, patternID int64) ([]studio.Needle, error) {
	out, err := list[studio.Needle](ctx, db.pool, `
		SELECT t.id, t.label, coalesce(t.mm, 0)::float8 AS mm
		FROM needle t `+ofPattern+` ORDER BY t.ordinal`, args{"studio": studioID, "pattern": patternID})
	return out, fail(err, "reading the needles of pattern %d", patternID)
}

// SpecialStitches returns the stitches that the pattern defines for itself.
func (db *DB) SpecialStitches(ctx context.Context, studioID, patternID int64) ([]studio.SpecialStitch, error) {
	out, err := list[studio.SpecialStitch](ctx, db.pool, `
		SELECT t.id, t.name, t.text
		FROM special_stitch t `+ofPattern+` ORDER BY t.ordinal`, args{"studio": studioID, "pattern": patternID})
	return out, fail(err, "reading the special stitches of pattern %d", patternID)
}
