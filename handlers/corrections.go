package handlers

import (
	"context"
	"fmt"
	"sync"

	"rowproof/domain/errata"
	"rowproof/domain/review"
	"rowproof/domain/studio"
)

// What revisions changed, for readers, knitters and the designer.

// readings keeps what was read of revisions. They never change, so nothing in it grows old.
type readings struct {
	mu sync.Mutex
	of map[int64]errata.Reading
}

// mostReadings bounds what is kept; beyond it, all is read anew.
const mostReadings = 64

// reading is a revision with the words of its rows in every size.
func (s *server) reading(ctx context.Context, rev studio.Revision) (errata.Reading, error) {
	return s.readingOf(ctx, rev.ID, func() (studio.Revision, error) { return rev, nil })
}

// readingAt is reading for the revision of a pattern with that id and number, which is asked
// for only when it was not read before.
func (s *server) readingAt(ctx context.Context, patternID, id int64, number int) (errata.Reading, error) {
	return s.readingOf(ctx, id, func() (studio.Revision, error) { return s.DB.Revision(ctx, s.StudioID, patternID, number) })
}

func (s *server) readingOf(ctx context.Context, id int64, rev func() (studio.Revision, error)) (errata.Reading, error) {
	s.read.mu.Lock()
	out, ok := s.read.of[id]
	s.read.mu.Unlock()
	if ok {
		return out, nil
	}
	r, err := rev()
	if err != nil {
		return out, err
	}
	if err := s.working(ctx, func() error { out = errata.Read(r); return nil }); err != nil {
		return out, err
	}
	s.read.mu.Lock()
	defer s.read.mu.Unlock()
	if s.read.of == nil || len(s.read.of) >= mostReadings {
		s.read.of = map[int64]errata.Reading{}
	}
	s.read.of[id] = out
	return out, nil
}

// between are the changes from one revision to another.
func (s *server) between(ctx context.Context, was, now studio.Revision) ([]errata.Change, errata.Reading, error) {
	a, err := s.reading(ctx, was)
	if err != nil {
		return nil, a, err
	}
	b, err := s.reading(ctx, now)
	if err != nil {
		return nil, b, err
	}
	return errata.Compare(a, b), b, nil
}

// asRevision is the pattern as it stands, as if it were a revision.
func (s *server) asRevision(ctx context.Context, p studio.Pattern, res *review.Result) (errata.Reading, error) {
	rows, err := s.DB.Rows(ctx, s.StudioID, p.ID)
	if err != nil {
		return errata.Reading{}, err
	}
	sizes, err := s.DB.Sizes(ctx, s.StudioID, p.ID)
	if err != nil {
		return errata.Reading{}, err
	}
	rev := studio.Revision{PatternID: p.ID, Slug: p.Slug, Title: p.Title, Manuscript: p.Manuscript, Sizes: sizes}
	counts := rowCounts(res, Project(res).Rows)
	for i, row := range rows {
		rr := studio.RevisionRow{Row: row}
		if i < len(counts) {
			rr.Counts = counts[i]
		}
		rev.Rows = append(rev.Rows, rr)
	}
	var out errata.Reading
	err = s.working(ctx, func() error {
		out = errata.Read(rev)
		return nil
	})
	return out, err
}

// changesSince lists what the pattern as it stands changes against one of its revisions.
func (s *server) changesSince(ctx context.Context, p studio.Pattern, res *review.Result, number int) ([]string, error) {
	rev, err := s.DB.Revision(ctx, s.StudioID, p.ID, number)
	if err != nil {
		return nil, err
	}
	was, err := s.reading(ctx, rev)
	if err != nil {
		return nil, err
	}
	now, err := s.asRevision(ctx, p, res)
	if err != nil {
		return nil, err
	}
	return lineWords(errata.Compare(was, now)), nil
}

func lineWords(changes []errata.Change) []string {
	var out []string
	for _, l := range errata.Lines(changes) {
		out = append(out, l.String())
	}
	return out
}

// corrections lists what a release changed against the one before it, for its readers:
// nothing for the first.
func (s *server) corrections(ctx context.Context, rev studio.Revision) (since int, lines []string, err error) {
	before, err := s.DB.ReleaseBefore(ctx, rev.PatternID, rev.Number)
	if err != nil || before.ID == 0 {
		return 0, nil, err
	}
	changes, _, err := s.between(ctx, before, rev)
	return before.Number, lineWords(changes), err
}

// fixedBy tells which accepted errata a newer text puts right, because their rows changed
// for their size, and which it leaves.
func (s *server) fixedBy(ctx context.Context, p studio.Pattern, now errata.Reading) (fixed, left []studio.Erratum, err error) {
	es, err := s.DB.Unfixed(ctx, s.StudioID, p.ID)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range es {
		was, err := s.readingAt(ctx, p.ID, e.RevisionID, e.Revision)
		if err != nil {
			return nil, nil, err
		}
		if f := errata.FateOf(e, was, now); f.Known && f.Touched {
			fixed = append(fixed, e)
		} else {
			left = append(left, e)
		}
	}
	return fixed, left, nil
}

// noteFixes notes which accepted errata a revision that went out has put right.
func (s *server) noteFixes(ctx context.Context, p studio.Pattern, rev studio.Revision) error {
	now, err := s.reading(ctx, rev)
	if err != nil {
		return err
	}
	fixed, _, err := s.fixedBy(ctx, p, now)
	if err != nil || len(fixed) == 0 {
		return err
	}
	if err := s.DB.NoteFixes(ctx, s.StudioID, p.ID, rev.ID, erratumIDs(fixed)); err != nil {
		return fmt.Errorf("noting what revision %d put right: %w", rev.Number, err)
	}
	return nil
}

func erratumIDs(es []studio.Erratum) []int64 {
	var out []int64
	for _, e := range es {
		out = append(out, e.ID)
	}
	return out
}
