package handlers

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"rowproof/domain/store"
	"rowproof/domain/studio"
)

// What a test knitter's device noted, with a network or without. The device numbers its
// notes from 1 and sends them until it hears that they have arrived; each is taken once.

// Bounds of one request.
const (
	eventsBody = 12 << 20 // bytes: some photographs, in base64
	mostEvents = 100
)

// eventsSent is what a device sends.
type eventsSent struct {
	Device string      `json:"device"`
	Events []eventSent `json:"events"`
}

// eventSent is one note. Which fields count depends on its kind: "place" or "erratum".
type eventSent struct {
	Seq  int64     `json:"seq"`
	At   time.Time `json:"at"`
	Kind string    `json:"kind"`
	Row  int64     `json:"row"` // id of the row; 0 for none

	// place
	Step  int    `json:"step"`
	Of    int    `json:"of"`
	Words string `json:"words"`

	// erratum
	UUID  string `json:"uuid"`
	Label string `json:"label"`
	What  string `json:"what"`
	Had   string `json:"had"`
	Did   string `json:"did"`
	Note  string `json:"note"`
	Photo string `json:"photo"` // a JPEG in base64, or a data: address; "" for none
}

// takeEvents answers with how far the device's notes have arrived, {"upto": 12}, and which
// of them could not be used, with the reason.
func (s *server) takeEvents(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	var in eventsSent
	if err := json.NewDecoder(r.Body).Decode(&in); err != nil {
		var big *http.MaxBytesError
		if errors.As(err, &big) {
			return fmt.Errorf("notes of knitter %d: %w", k.ID, errTooBig)
		}
		return fmt.Errorf("notes of knitter %d: %w: %v", k.ID, errBadForm, err)
	}
	device, err := uuid.Parse(in.Device)
	if err != nil || len(in.Events) > mostEvents {
		return fmt.Errorf("notes of knitter %d: a device is a UUID and sends %d notes at most: %w", k.ID, mostEvents, errBadForm)
	}
	if k.State == studio.Invited {
		if err := s.DB.OpenKnit(r.Context(), k.ID); err != nil {
			return err
		}
	}
	events := make([]store.KnitEvent, len(in.Events))
	for i, e := range in.Events {
		if events[i], err = s.knitEvent(r.Context(), e); err != nil {
			return err
		}
	}
	taken, err := s.DB.TakeEvents(r.Context(), k.Knitter, device.String(), events)
	if err != nil {
		return err
	}
	for _, e := range events {
		if e.Erratum != nil && e.Seq <= taken.Upto && taken.Refused[e.Seq] == "" {
			s.tellOfErrata(r, k)
			break
		}
	}
	refused := map[string]string{}
	for seq, why := range taken.Refused {
		refused[strconv.FormatInt(seq, 10)] = sentence(why)
	}
	s.json(w, http.StatusOK, map[string]any{"upto": taken.Upto, "refused": refused})
	return nil
}

// knitEvent reads one note. What cannot be read has its reason in it.
func (s *server) knitEvent(ctx context.Context, e eventSent) (store.KnitEvent, error) {
	now := s.testOnlyClock()
	if e.At.IsZero() || e.At.After(now.Add(24*time.Hour)) || e.At.Year() < 2000 {
		e.At = now
	}
	out := store.KnitEvent{Seq: e.Seq, At: e.At, Kind: studio.Clip(e.Kind, 20)}
	switch e.Kind {
	case "place":
		if e.Step < 0 || e.Of < 0 || e.Step > 1e6 || e.Of > 1e6 {
			out.Problem = "a place counts steps from 0 to a million"
			break
		}
		out.Place = &studio.Place{RowID: e.Row, Words: e.Words, Step: e.Step, Of: e.Of}
	case "erratum":
		u, err := uuid.Parse(e.UUID)
		if err != nil {
			out.Problem = "an erratum without its UUID"
			break
		}
		out.Erratum = &studio.NewErratum{UUID: u.String(), RowID: e.Row, Label: e.Label, Kind: studio.ErratumKind(e.What), Had: e.Had, Did: e.Did, Note: e.Note, At: e.At}
		if e.Photo == "" {
			break
		}
		_, data, _ := strings.Cut(e.Photo, ",") // a data: address
		if data == "" {
			data = e.Photo
		}
		problem := "it is no base64"
		if b, err := base64.StdEncoding.DecodeString(data); err == nil {
			if out.Photo, problem, err = s.takeIn(ctx, b); err != nil {
				return out, err
			}
		}
		if problem != "" { // what was written is worth more than the picture
			out.Erratum.Note = strings.TrimSpace(out.Erratum.Note + "\n(A photograph came with it, but could not be read.)")
		}
	default:
		out.Problem = fmt.Sprintf("a note of a kind that is not known: %q", out.Kind)
	}
	return out, nil
}
