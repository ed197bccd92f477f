package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/lineage"
	"rowproof/domain/studio"
)

type rowRow struct {
	RowID int64
	Piece string
	Head  string
	Text  string
	Line  int
}

func (r rowRow) row() studio.Row {
	return studio.Row{ID: r.RowID, RowLine: studio.RowLine{Piece: r.Piece, Head: r.Head, Text: r.Text, Line: r.Line}}
}

// writeRows gives each row of the text its identity: the known one, or by lineage
// from the rows that stand in head_row, which are those of the last text. New rows
// get new ones; parents of splits and merges are recorded.
func writeRows(ctx context.Context, tx pgx.Tx, patternID int64, version int, p studio.Projection, known []int64) error {
	ids := append([]int64{}, known...) // an empty array, not null, for a text without rows
	if len(known) != len(p.Rows) {     // not known, or the program reads the text otherwise by now
		old, err := list[rowRow](ctx, tx, `
			SELECT row_id, piece, head, text, line FROM head_row WHERE pattern_id = @pattern ORDER BY ordinal`,
			args{"pattern": patternID})
		if err != nil {
			return err
		}
		if ids, err = trace(ctx, tx, patternID, version, old, p); err != nil {
			return err
		}
	}
	if _, err := tx.Exec(ctx, `DELETE FROM head_row WHERE pattern_id = @pattern`, args{"pattern": patternID}); err != nil {
		return err
	}
	_, err := tx.CopyFrom(ctx, pgx.Identifier{"head_row"},
		[]string{"pattern_id", "ordinal", "row_id", "piece", "head", "text", "line"},
		pgx.CopyFromSlice(len(ids), func(i int) ([]any, error) {
			r := p.Rows[i]
			return []any{patternID, i, ids[i], r.Piece, r.Head, r.Text, r.Line}, nil
		}))
	if err != nil {
		return err
	}
	return changeOne(ctx, tx, `
		UPDATE snapshot SET row_ids = @rows
		WHERE id = (SELECT head_snapshot_id FROM pattern WHERE id = @pattern)`, args{"pattern": patternID, "rows": ids})
}

// trace finds the identities of a text's rows and makes those that are new.
func trace(ctx context.Context, tx pgx.Tx, patternID int64, version int, old []rowRow, p studio.Projection) ([]int64, error) {
	before := make([]lineage.Row, len(old))
	for i, r := range old {
		before[i] = lineage.Row{ID: r.RowID, Piece: r.Piece, Head: r.Head, Text: r.Text}
	}
	matches := lineage.Trace(before, p.Lines())
	ids := make([]int64, len(matches))
	var fresh []int
	for i, m := range matches {
		if ids[i] = m.ID; m.ID == 0 {
			fresh = append(fresh, i)
		}
	}
	if len(fresh) > 0 {
		made, err := values[int64](ctx, tx, `
			INSERT INTO row_identity (pattern_id, born_version)
			SELECT @pattern, @version FROM generate_series(1, @n::integer)
			RETURNING id`, args{"pattern": patternID, "version": version, "n": len(fresh)})
		if err != nil {
			return nil, err
		}
		if len(made) != len(fresh) {
			return nil, fmt.Errorf("BUG: asked for %d row identities, got %d", len(fresh), len(made))
		}
		for k, i := range fresh {
			ids[i] = made[k]
		}
	}
	var children, parents []int64
	for i, m := range matches {
		for _, parent := range m.Parents {
			children, parents = append(children, ids[i]), append(parents, parent)
		}
	}
	if len(children) > 0 {
		_, err := tx.Exec(ctx, `
			INSERT INTO row_parent (row_id, parent_id)
			SELECT * FROM unnest(@children::bigint[], @parents::bigint[])
			ON CONFLICT DO NOTHING`, args{"children": children, "parents": parents})
		if err != nil {
			return nil, err
		}
	}
	return ids, nil
}

// Rows returns the rows of a pattern as it stands, with their identities.
func (db *DB) Rows(ctx context.Context, studioID, patternID int64) ([]studio.Row, error) {
	rows, err := list[rowRow](ctx, db.pool, `
		SELECT t.row_id, t.piece, t.head, t.text, t.line
		FROM head_row t `+ofPattern+` ORDER BY t.ordinal`, args{"studio": studioID, "pattern": patternID})
	out := make([]studio.Row, len(rows))
	for i, r := range rows {
		out[i] = r.row()
	}
	return out, fail(err, "reading the rows of pattern %d", patternID)
}

// RowAncestors returns the rows that a row was split off from or that were merged
// into it, and theirs, ascending: an erratum on any of them concerns this row.
func (db *DB) RowAncestors(ctx context.Context, studioID, rowID int64) ([]int64, error) {
	out, err := values[int64](ctx, db.pool, `
		WITH RECURSIVE up AS ( -- UNION, not UNION ALL: undo can make a ring of splits and merges
			SELECT rp.parent_id
			FROM row_parent rp
			JOIN row_identity ri ON ri.id = rp.row_id
			JOIN pattern p ON p.id = ri.pattern_id AND p.studio_id = @studio
			WHERE rp.row_id = @row
			UNION
			SELECT rp.parent_id FROM up JOIN row_parent rp ON rp.row_id = up.parent_id
		)
		SELECT parent_id FROM up WHERE parent_id <> @row ORDER BY parent_id`,
		args{"studio": studioID, "row": rowID})
	return out, fail(err, "reading where row %d came from", rowID)
}

// RowHeirs returns the rows of the pattern as it stands that a row which no longer stands
// went into, by merging or splitting, in their order.
func (db *DB) RowHeirs(ctx context.Context, studioID, patternID, rowID int64) ([]studio.Row, error) {
	rows, err := list[rowRow](ctx, db.pool, `
		WITH RECURSIVE down AS ( -- UNION, not UNION ALL: undo can make a ring of splits and merges
			SELECT row_id FROM row_parent WHERE parent_id = @row
			UNION
			SELECT rp.row_id FROM down JOIN row_parent rp ON rp.parent_id = down.row_id
		)
		SELECT h.row_id, h.piece, h.head, h.text, h.line
		FROM head_row h JOIN down ON down.row_id = h.row_id JOIN pattern p ON p.id = h.pattern_id
		WHERE p.studio_id = @studio AND p.id = @pattern AND h.row_id <> @row
		ORDER BY h.ordinal`, args{"studio": studioID, "pattern": patternID, "row": rowID})
	out := make([]studio.Row, len(rows))
	for i, r := range rows {
		out[i] = r.row()
	}
	return out, fail(err, "reading what row %d went into", rowID)
}
