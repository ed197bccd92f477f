package handlers

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"rowproof/domain/studio"
	"rowproof/web"
)

// What a test knitter noted: one erratum with its conversation, and the form for noting
// something without a script.

func (s *server) showKnitErratum(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	n, err := id(r, "erratum")
	if err != nil {
		return err
	}
	e, err := s.DB.ErratumOfKnitter(r.Context(), k.ID, n)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.KnitErratumPage(s.knitErratumView(r, k, e)))
}

func (s *server) knitErratumView(r *http.Request, k studio.Knit, e studio.Erratum) web.KnitErratumView {
	at := knitURL(k.ID) + "/errata/" + strconv.FormatInt(e.ID, 10)
	v := web.KnitErratumView{Page: s.sharedFlash(r, e.Label, "knit"), Back: knitURL(k.ID), Title: k.Title, Erratum: erratumFacts(e, at, true), Action: at}
	v.Said = said(e, true, v.Studio)
	return v
}

// erratumFacts shows what was noted, to its knitter or to the studio; at is the address of
// the erratum.
func erratumFacts(e studio.Erratum, at string, forKnitter bool) web.ErratumFacts {
	f := web.ErratumFacts{
		HadLabel: "Had", DidLabel: "Did instead", Label: e.Label, Knitter: e.Knitter, Kind: e.Kind.Words(), State: e.State.Words(), StateKey: string(e.State), Had: e.Had, Did: e.Did, Note: e.Note,
		When: moment(e.NotedAt), Revision: fmt.Sprintf("revision %d", e.Revision), Fixed: fixedWords(e),
	}
	if forKnitter {
		f.HadLabel, f.DidLabel = "You had", "You did instead"
	}
	if e.Size != "" {
		f.Size = "size " + e.Size
	}
	if e.Photo {
		f.Photo = web.Picture{URL: at + "/photo.jpg?small=1", Alt: "What " + e.Knitter + " photographed at " + e.Label}
		f.PhotoBig = at + "/photo.jpg"
	}
	return f
}

// said is a conversation, as the knitter or the studio reads it.
func said(e studio.Erratum, forKnitter bool, studioName string) []web.ErratumSaid {
	var out []web.ErratumSaid
	for _, m := range e.Messages {
		x := web.ErratumSaid{When: moment(m.At), Body: m.Body, Mine: m.ByKnitter == forKnitter}
		switch {
		case m.ByKnitter && forKnitter:
			x.Who = "You"
		case m.ByKnitter:
			x.Who = e.Knitter
		case forKnitter || m.Author == "": // who of the studio it was is the studio's affair
			x.Who = studioName
		default:
			x.Who = m.Author
		}
		switch m.State {
		case studio.Accepted:
			x.Decision = "Accepted: it will be put right."
		case studio.NotAnError:
			x.Decision = "Not an error."
		case studio.Duplicate:
			x.Decision = "Told before by somebody else."
			if !forKnitter && m.Duplicate != 0 {
				x.Decision = fmt.Sprintf("Told before: kept with erratum %d.", m.Duplicate)
			}
		case studio.AskedBack:
			x.Decision = "Asked back."
		case studio.ErratumOpen:
			x.Decision = "Open again."
		}
		out = append(out, x)
	}
	return out
}

// tellOfErrata writes to the studio that something was noted: once a day for each pattern,
// however much it is. A letter that cannot be written is no matter of the knitter's.
func (s *server) tellOfErrata(r *http.Request, k studio.Knit) {
	s.tell(r, k, k.Title+": something was noted on its rows", fmt.Sprintf("errata:testknit-%d:%s", k.TestKnitID, s.testOnlyClock().Format(time.DateOnly)),
		"%s has noted something on a row"+inYourSize(k)+". This letter comes once a day, however much is noted; all of it stands under Errata.", "/errata")
}

// tell writes a letter about a knitter to the owner; words name her with %s, key makes it
// the only one of its kind.
func (s *server) tell(r *http.Request, k studio.Knit, subject, key, words, under string) {
	ctx := r.Context()
	owner, err := s.DB.OwnerOf(ctx, s.StudioID)
	if err == nil {
		desk, base := s.desk(ctx)
		l := desk.ToStudio(owner, subject, fmt.Sprintf(words, k.Person.Called()), fmt.Sprintf("%s/studio/patterns/%d/test%s", base, k.PatternID, under))
		l.Key = key
		err = s.DB.WriteLetter(ctx, s.StudioID, l)
	}
	if err != nil {
		s.Logger.Warn("no letter to the studio", "error", err)
	}
}

// answerErratum adds what she says to the conversation.
func (s *server) answerErratum(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	n, err := id(r, "erratum")
	if err != nil {
		return err
	}
	err = s.DB.Answer(r.Context(), k.ID, n, manuscriptOf(r, "body"))
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		e, eerr := s.DB.ErratumOfKnitter(r.Context(), k.ID, n)
		if eerr != nil {
			return eerr
		}
		v := s.knitErratumView(r, k, e)
		v.Answer = web.Field{Value: manuscriptOf(r, "body"), Problem: sentence("this " + invalid.Problem)}
		return s.render(w, r, http.StatusUnprocessableEntity, web.KnitErratumPage(v))
	}
	if err != nil {
		return err
	}
	s.tell(r, k, k.Title+": an answer about an erratum", "", "%s has written about one of the errata"+inYourSize(k)+".", "/errata/"+strconv.FormatInt(n, 10))
	return s.done(w, r, knitURL(k.ID)+"/errata/"+strconv.FormatInt(n, 10), "The studio can read it now.")
}

// serveKnitErratumPhoto shows her the photograph she sent.
func (s *server) serveKnitErratumPhoto(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	n, err := id(r, "erratum")
	if err != nil {
		return err
	}
	if _, err := s.DB.ErratumOfKnitter(r.Context(), k.ID, n); err != nil {
		return err
	}
	return s.serveErratumJPEG(w, r, k.PatternID, n)
}

func (s *server) serveErratumJPEG(w http.ResponseWriter, r *http.Request, pattern, erratum int64) error {
	b, err := s.DB.ErratumPhoto(r.Context(), s.StudioID, pattern, erratum, r.URL.Query().Get("small") != "")
	if err != nil {
		return err
	}
	return sendJPEG(w, b)
}

// showKnitNote is the form to note something on any row, without a script.
func (s *server) showKnitNote(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	v, err := s.knitNoteView(r, k)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.KnitNote(v))
}

func (s *server) knitNoteView(r *http.Request, k studio.Knit) (web.KnitNoteView, error) {
	rev, _, err := s.DB.KnitRevision(r.Context(), k)
	if err != nil {
		return web.KnitNoteView{}, err
	}
	reading, err := s.reading(r.Context(), rev)
	if err != nil {
		return web.KnitNoteView{}, err
	}
	v := web.KnitNoteView{Page: s.sharedFlash(r, "Something is wrong", "knit"), Back: knitURL(k.ID), Title: k.Title, Action: knitURL(k.ID) + "/errata/new",
		UUID: uuid.NewString()}
	v.Had.Value, v.Did.Value, v.Note.Value = manuscriptOf(r, "had"), manuscriptOf(r, "did"), manuscriptOf(r, "note")
	if u := r.PostForm.Get("uuid"); u != "" {
		v.UUID = u
	}
	chosen := r.PostForm.Get("row")
	if chosen == "" {
		chosen = strconv.FormatInt(k.Place.RowID, 10)
	}
	v.Rows = []web.Choice{{Value: "0", Label: "The pattern as a whole"}}
	size := max(knitSizeIndex(k, rev), 0)
	for i, row := range rev.Rows {
		text := reading.Text(i, size)
		if text == "" {
			continue
		}
		n := strconv.FormatInt(row.ID, 10)
		v.Rows = append(v.Rows, web.Choice{Value: n, Label: rowLabelOf(row.Piece, row.Head, text), Here: n == chosen})
	}
	for i, kind := range studio.ErratumKinds {
		v.Kinds = append(v.Kinds, web.Choice{Value: string(kind), Label: kind.Words(), Here: string(kind) == r.PostForm.Get("what") || i == 0 && r.PostForm.Get("what") == ""})
	}
	return v, nil
}

// rowLabelOf names a row to choose from: "Back, Row 12 (WS): K2, p2 …".
func rowLabelOf(piece, head, text string) string {
	l := studio.Clip(text, 50)
	if head != "" {
		l = head + ": " + l
	}
	if piece != "" {
		l = piece + ", " + l
	}
	return l
}

// noteErratum keeps what she noted on the form.
func (s *server) noteErratum(w http.ResponseWriter, r *http.Request) error {
	if err := readPhotoForm(r); err != nil {
		return err
	}
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	e := studio.NewErratum{Kind: studio.ErratumKind(r.PostForm.Get("what")), Had: manuscriptOf(r, "had"), Did: manuscriptOf(r, "did"), Note: manuscriptOf(r, "note"), At: s.testOnlyClock()}
	if u, err := uuid.Parse(r.PostForm.Get("uuid")); err == nil {
		e.UUID = u.String()
	} else {
		e.UUID = uuid.NewString()
	}
	e.RowID, _ = strconv.ParseInt(r.PostForm.Get("row"), 10, 64)
	v, err := s.knitNoteView(r, k)
	if err != nil {
		return err
	}
	e.Label = "The pattern as a whole"
	for _, c := range v.Rows {
		if c.Value == strconv.FormatInt(e.RowID, 10) && e.RowID != 0 {
			e.Label, _, _ = strings.Cut(c.Label, ":")
		}
	}
	pic, problem, err := s.upload(r, "photo")
	if err == nil && problem == "" {
		err = s.DB.NoteErratum(r.Context(), k.Knitter, e, pic)
	}
	var invalid *studio.InvalidError
	switch {
	case problem != "":
		v.Problem = "The photograph cannot be taken. " + problem
	case errors.As(err, &invalid):
		v.Problem = sentence("what you had " + invalid.Problem)
		if invalid.Field != "had" {
			v.Problem = sentence(invalid.Field + " " + invalid.Problem)
		}
	case err != nil:
		return err
	default:
		s.tellOfErrata(r, k)
		return s.done(w, r, knitURL(k.ID)+"#errata", "It is noted. The studio sees it now.")
	}
	return s.render(w, r, http.StatusUnprocessableEntity, web.KnitNote(v))
}
