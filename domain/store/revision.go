package store

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// Publish sends a pattern out as its next revision, which never changes after.
// When the version that was reviewed is no longer the last, the error is a
// [*studio.Conflict]; when an error is left in without a reason, studio.ErrUnproved;
// when the account may not, studio.ErrForbidden. accountID 0 is the program itself,
// for its demo patterns. A draft that was begun without a title gets its slug
// from the title it has by its first release.
func (db *DB) Publish(ctx context.Context, studioID, patternID, accountID int64, pub studio.Publication) (studio.Revision, error) {
	var out studio.Revision
	err := db.withPlaceholderReplaced(ctx, studioID, patternID, pub.Purpose, func(tx pgx.Tx, p patternRow) error {
		if err := mayPublish(ctx, tx, studioID, accountID); err != nil {
			return err
		}
		if p.Version != pub.Version {
			return passedBy(p, pub.Version)
		}
		state, err := p.State.After(pub.Purpose)
		if err != nil {
			return err
		}
		id, err := writeRevision(ctx, tx, p, accountID, pub)
		if err != nil {
			return err
		}
		err = changeOne(ctx, tx, `UPDATE pattern SET state = @state WHERE id = @pattern`, args{"state": state, "pattern": patternID})
		if err != nil {
			return err
		}
		out, err = readRevision(ctx, tx, id)
		return err
	})
	return out, fail(err, "publishing pattern %d", patternID)
}

func mayPublish(ctx context.Context, tx pgx.Tx, studioID, accountID int64) error {
	if accountID == 0 {
		return nil
	}
	role, err := value[studio.Role](ctx, tx, `SELECT role FROM account WHERE id = @id AND studio_id = @studio`,
		args{"id": accountID, "studio": studioID})
	if err == nil && !(studio.Account{Role: role}).MayPublish() {
		err = studio.ErrForbidden
	}
	return err
}

// withPlaceholderReplaced locks the pattern for f, having given it a slug of its
// title when it still has that of a pattern without one and is to be released.
func (db *DB) withPlaceholderReplaced(ctx context.Context, studioID, patternID int64, purpose studio.Purpose, f func(pgx.Tx, patternRow) error) error {
	current, err := db.Pattern(ctx, studioID, patternID)
	if err != nil {
		return err
	}
	if purpose != studio.Release || current.State.Public() || !studio.PlaceholderSlug(current.Slug) || studio.PlaceholderSlug(studio.Slug(current.Title)) {
		return db.inTx(ctx, func(tx pgx.Tx) error {
			p, err := lockPattern(ctx, tx, studioID, patternID)
			if err != nil {
				return err
			}
			return f(tx, p)
		})
	}
	return db.withFreeSlug(ctx, studio.Slug(current.Title), func(tx pgx.Tx, slug string) error {
		p, err := lockPattern(ctx, tx, studioID, patternID)
		if err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `UPDATE pattern SET slug = @slug WHERE id = @pattern`, args{"slug": slug, "pattern": patternID})
		if err != nil {
			return err
		}
		return f(tx, p)
	})
}

// writeRevision writes a revision of a locked pattern and returns its id.
func writeRevision(ctx context.Context, tx pgx.Tx, p patternRow, accountID int64, pub studio.Publication) (int64, error) {
	rows, err := list[rowRow](ctx, tx, `
		SELECT row_id, piece, head, text, line FROM head_row WHERE pattern_id = @pattern ORDER BY ordinal`, args{"pattern": p.ID})
	if err != nil {
		return 0, err
	}
	sizes, err := list[studio.Size](ctx, tx, `
		SELECT id, label FROM size WHERE pattern_id = @pattern AND NOT retired ORDER BY ordinal`, args{"pattern": p.ID})
	if err != nil {
		return 0, err
	}
	if err := pub.Validate(len(rows), len(sizes)); err != nil {
		return 0, err
	}
	id, err := value[int64](ctx, tx, `
		INSERT INTO revision (pattern_id, number, purpose, version, snapshot_id, title, manuscript, report, checker, note, proved, published_by)
		VALUES (@pattern, @number, @purpose, @version, @snapshot, @title, @manuscript, @report, @checker, @note, @proved, @by)
		RETURNING id`,
		args{"pattern": p.ID, "number": p.Revision + 1, "purpose": pub.Purpose, "version": p.Version, "snapshot": p.HeadSnapshotID,
			"title": p.Title, "manuscript": p.Manuscript, "report": pub.Report, "checker": pub.Checker,
			"note": studio.CleanManuscript(pub.Note), "proved": len(pub.Left) == 0, "by": orNull(accountID)})
	if err != nil {
		return 0, err
	}
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"revision_row"},
		[]string{"revision_id", "ordinal", "row_id", "piece", "head", "text", "counts"},
		pgx.CopyFromSlice(len(rows), func(i int) ([]any, error) {
			r := rows[i]
			var counts []int
			if i < len(pub.Counts) {
				counts = pub.Counts[i]
			}
			return []any{id, i, r.RowID, r.Piece, r.Head, r.Text, nullable(counts)}, nil
		}))
	if err != nil {
		return 0, err
	}
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"revision_size"}, []string{"revision_id", "ordinal", "size_id", "label"},
		pgx.CopyFromSlice(len(sizes), func(i int) ([]any, error) {
			return []any{id, i, sizes[i].ID, sizes[i].Label}, nil
		}))
	if err != nil {
		return 0, err
	}
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"waiver"}, []string{"revision_id", "code", "row_id", "reason", "account_id"},
		pgx.CopyFromSlice(len(pub.Left), func(i int) ([]any, error) {
			e := pub.Left[i]
			var row *int64
			if e.Row >= 0 {
				row = &rows[e.Row].RowID
			}
			return []any{id, e.Code, row, studio.CleanManuscript(e.Reason), orNull(accountID)}, nil
		}))
	return id, err
}

// nullable turns -1 into null, for an integer[] column.
func nullable(counts []int) []*int32 {
	out := make([]*int32, len(counts))
	for i, c := range counts {
		if c >= 0 {
			n := int32(c) // a million stitches at most
			out[i] = &n
		}
	}
	return out
}

type revisionRow struct {
	ID         int64
	PatternID  int64
	Slug       string
	Number     int
	Purpose    studio.Purpose
	Title      string
	Manuscript string
	Report     json.RawMessage
	Checker    string
	Note       string
	Proved     bool
	Dated      time.Time
	Latest     bool
}

func readRevision(ctx context.Context, c conn, id int64) (studio.Revision, error) {
	r, err := one[revisionRow](ctx, c, `
		SELECT r.id, r.pattern_id, p.slug, r.number, r.purpose, r.title, r.manuscript, r.report, r.checker, r.note, r.proved, r.dated,
			NOT EXISTS (SELECT FROM revision l WHERE l.pattern_id = r.pattern_id AND l.purpose = 'release' AND l.number > r.number) AS latest
		FROM revision r JOIN pattern p ON p.id = r.pattern_id
		WHERE r.id = @id`, args{"id": id})
	if err != nil {
		return studio.Revision{}, err
	}
	out := studio.Revision{
		ID: r.ID, PatternID: r.PatternID, Slug: r.Slug, Number: r.Number, Purpose: r.Purpose, Title: r.Title, Manuscript: r.Manuscript,
		Report: r.Report, Checker: r.Checker, Note: r.Note, Proved: r.Proved, Dated: r.Dated, Latest: r.Latest,
	}
	out.Sizes, err = list[studio.Size](ctx, c, `
		SELECT size_id AS id, label FROM revision_size WHERE revision_id = @id ORDER BY ordinal`, args{"id": id})
	if err != nil {
		return studio.Revision{}, err
	}
	rows, err := list[struct {
		RowID  int64
		Piece  string
		Head   string
		Text   string
		Counts []*int32
	}](ctx, c, `SELECT row_id, piece, head, text, counts FROM revision_row WHERE revision_id = @id ORDER BY ordinal`, args{"id": id})
	if err != nil {
		return studio.Revision{}, err
	}
	for _, r := range rows {
		row := studio.RevisionRow{Row: studio.Row{ID: r.RowID, RowLine: studio.RowLine{Piece: r.Piece, Head: r.Head, Text: r.Text}}}
		for _, n := range r.Counts {
			if n == nil {
				row.Counts = append(row.Counts, -1)
			} else {
				row.Counts = append(row.Counts, int(*n))
			}
		}
		out.Rows = append(out.Rows, row)
	}
	out.Waivers, err = list[studio.Waiver](ctx, c, `
		SELECT code, coalesce(row_id, 0) AS row_id, reason FROM waiver WHERE revision_id = @id ORDER BY id`, args{"id": id})
	return out, err
}

// infoColumns selects a studio.RevisionInfo from revision r joined to pattern p.
const infoColumns = `r.pattern_id, p.slug, r.number, r.purpose, r.title, r.note, r.proved, r.dated,
	ARRAY (SELECT s.label FROM revision_size s WHERE s.revision_id = r.id ORDER BY s.ordinal) AS sizes`

// Revisions lists a pattern's revisions of both purposes, newest first.
func (db *DB) Revisions(ctx context.Context, studioID, patternID int64) ([]studio.RevisionInfo, error) {
	out, err := list[studio.RevisionInfo](ctx, db.pool, `
		SELECT `+infoColumns+`
		FROM revision r JOIN pattern p ON p.id = r.pattern_id
		WHERE p.studio_id = @studio AND p.id = @pattern AND p.deleted_at IS NULL
		ORDER BY r.number DESC`, args{"studio": studioID, "pattern": patternID})
	return out, fail(err, "listing the revisions of pattern %d", patternID)
}

// Revision returns one of a pattern's revisions, of either purpose, by number.
func (db *DB) Revision(ctx context.Context, studioID, patternID int64, number int) (studio.Revision, error) {
	id, err := value[int64](ctx, db.pool, `
		SELECT r.id FROM revision r JOIN pattern p ON p.id = r.pattern_id
		WHERE p.studio_id = @studio AND p.id = @pattern AND p.deleted_at IS NULL AND r.number = @number`,
		args{"studio": studioID, "pattern": patternID, "number": number})
	if err != nil {
		return studio.Revision{}, fail(err, "reading revision %d of pattern %d", number, patternID)
	}
	r, err := readRevision(ctx, db.pool, id)
	return r, fail(err, "reading revision %d of pattern %d", number, patternID)
}

// PublishedPatterns lists the newest release of each pattern that is published,
// last released first. It is public, and shows nothing of drafts and tests.
func (db *DB) PublishedPatterns(ctx context.Context) ([]studio.RevisionInfo, error) {
	out, err := list[studio.RevisionInfo](ctx, db.pool, `
		SELECT DISTINCT ON (r.pattern_id) `+infoColumns+`
		FROM revision r JOIN pattern p ON p.id = r.pattern_id
		WHERE r.purpose = 'release' AND p.deleted_at IS NULL
		ORDER BY r.pattern_id, r.number DESC`, args{})
	slices.SortStableFunc(out, func(a, b studio.RevisionInfo) int { return b.Dated.Compare(a.Dated) })
	return out, fail(err, "listing what is published")
}

// PublishedRevision returns a release of a published pattern: the one with that
// number, or the newest for number 0. It is public: tests and drafts are studio.ErrNotFound.
func (db *DB) PublishedRevision(ctx context.Context, slug string, number int) (studio.Revision, error) {
	id, err := value[int64](ctx, db.pool, `
		SELECT r.id FROM revision r JOIN pattern p ON p.id = r.pattern_id
		WHERE p.slug = @slug AND p.deleted_at IS NULL AND r.purpose = 'release' AND (@number = 0 OR r.number = @number)
		ORDER BY r.number DESC LIMIT 1`, args{"slug": slug, "number": number})
	if err != nil {
		return studio.Revision{}, fail(err, "reading the published pattern %q", slug)
	}
	r, err := readRevision(ctx, db.pool, id)
	return r, fail(err, "reading the published pattern %q", slug)
}

// ReleaseBefore returns the release of a pattern before that number; the zero revision
// when there is none.
func (db *DB) ReleaseBefore(ctx context.Context, patternID int64, number int) (studio.Revision, error) {
	id, err := value[int64](ctx, db.pool, `
		SELECT id FROM revision WHERE pattern_id = @pattern AND purpose = 'release' AND number < @number ORDER BY number DESC LIMIT 1`,
		args{"pattern": patternID, "number": number})
	if errors.Is(err, studio.ErrNotFound) {
		return studio.Revision{}, nil
	}
	if err != nil {
		return studio.Revision{}, fail(err, "reading the release before %d of pattern %d", number, patternID)
	}
	r, err := readRevision(ctx, db.pool, id)
	return r, fail(err, "reading the release before %d of pattern %d", number, patternID)
}
