package store

import (
	"context"

	"rowproof/domain/studio"
)

// What patterns were drafted from: PieceForm, SetPieceForm.

type pieceFormRow struct {
	PatternID int64
	Form      string
	Inputs    []byte
	Generated string
}

// PieceForm returns what a pattern was drafted from; studio.ErrNotFound for one that was
// not.
func (db *DB) PieceForm(ctx context.Context, studioID, patternID int64) (studio.PieceForm, error) {
	r, err := one[pieceFormRow](ctx, db.pool, `
		SELECT f.pattern_id, f.form, f.inputs, f.last_generated AS generated
		FROM piece_form f JOIN pattern p ON p.id = f.pattern_id
		WHERE p.studio_id = @studio AND p.id = @pattern AND p.deleted_at IS NULL`,
		args{"studio": studioID, "pattern": patternID})
	return studio.PieceForm(r), fail(err, "reading what pattern %d was drafted from", patternID)
}

// SetPieceForm keeps what a pattern was drafted from, in the place of what was kept
// before.
func (db *DB) SetPieceForm(ctx context.Context, studioID int64, f studio.PieceForm) error {
	_, err := value[int64](ctx, db.pool, `
		INSERT INTO piece_form (pattern_id, form, inputs, last_generated)
		SELECT id, @form, @inputs::jsonb, @generated FROM pattern WHERE studio_id = @studio AND id = @pattern AND deleted_at IS NULL
		ON CONFLICT (pattern_id) DO UPDATE SET form = EXCLUDED.form, inputs = EXCLUDED.inputs, last_generated = EXCLUDED.last_generated, drafted_at = now()
		RETURNING pattern_id`,
		args{"studio": studioID, "pattern": f.PatternID, "form": f.Form, "inputs": string(f.Inputs), "generated": f.Generated})
	return fail(err, "keeping what pattern %d was drafted from", f.PatternID)
}
