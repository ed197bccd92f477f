package store_test

import (
	"errors"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"rowproof/domain/store"
	"rowproof/domain/studio"
)

// letterTo is a letter of a few words to a knitter.
func letterTo(kind string) store.Letters {
	return func(k studio.Knitter) studio.Letter {
		return studio.Letter{Kind: kind, ToEmail: k.Person.Email, ToName: k.Person.Name, Subject: "Test knit", Body: "Hello.\n"}
	}
}

// inTest opens a test knit of the hat with one knitter wanted for each size.
func (b bench) inTest() (studio.Pattern, studio.TestKnit) {
	b.t.Helper()
	p := b.create(hat)
	rev, err := b.publish(p, studio.Test)
	if err != nil {
		b.t.Fatal(err)
	}
	wanted := map[int64]int{}
	for _, z := range rev.Sizes {
		wanted[z.ID] = 1
	}
	t, err := b.db.OpenTestKnit(b.t.Context(), b.studio, rev.ID, studio.Call{Wanted: wanted, Wants: "Gauge.", Note: "Ask Wilma.", Offers: true})
	if err != nil {
		b.t.Fatal(err)
	}
	return p, t
}

func (b bench) invite(t studio.TestKnit, email string, size int) studio.Knitter {
	b.t.Helper()
	k, err := b.db.Invite(b.t.Context(), b.studio, t.ID, studio.Offer{Email: email, SizeID: t.Seats[size].SizeID}, letterTo("invitation"))
	if err != nil {
		b.t.Fatalf("Invite(%s): %v", email, err)
	}
	return k
}

func (b bench) knit(k studio.Knitter) studio.Knit {
	b.t.Helper()
	got, err := b.db.Knit(b.t.Context(), b.studio, k.Person.ID, k.ID)
	if err != nil {
		b.t.Fatal(err)
	}
	return got
}

func (b bench) letters() []studio.Message {
	b.t.Helper()
	ms, err := b.db.Messages(b.t.Context(), b.studio, 0, 100)
	if err != nil {
		b.t.Fatal(err)
	}
	return ms
}

func TestTestKnitAndItsPeople(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p, tk := b.inTest()
	if tk.OfferCode == "" || len(tk.Seats) != 3 || !tk.Seats[1].Nobody() || tk.Revision != 1 {
		t.Errorf("OpenTestKnit: %+v", tk)
	}
	rev, err := b.publish(p, studio.Test)
	if err != nil {
		t.Fatal(err)
	}
	_, err = b.db.OpenTestKnit(ctx, b.studio, rev.ID, studio.Call{Wanted: map[int64]int{tk.Seats[0].SizeID: 1}})
	wantErr(t, "a second one", err, studio.ErrTaken)

	ada := b.invite(tk, "Ada@Wold.example", 1)
	if ada.State != studio.Invited || ada.Size != "M" || ada.Person.Email != "ada@wold.example" || ada.Revision != 1 {
		t.Errorf("Invite: %+v", ada)
	}
	_, err = b.db.Invite(ctx, b.studio, tk.ID, studio.Offer{Email: "ada@wold.example"}, nil)
	wantErr(t, "inviting her again", err, studio.ErrTaken)
	_, err = b.db.Invite(ctx, b.studio, tk.ID, studio.Offer{Email: "nobody"}, nil)
	wantErr(t, "inviting no address", err, studio.ErrInvalid)
	_, err = b.db.Invite(ctx, b.studio, tk.ID, studio.Offer{Email: "x@y.example", SizeID: 9999}, nil)
	wantErr(t, "a size it does not have", err, studio.ErrInvalid)

	o := studio.Offer{Name: "Bea", Email: "bea@fell.example", SizeID: tk.Seats[2].SizeID, Words: "I knit fast."}
	for range 2 { // twice, and nothing is told apart
		if err := b.db.TakeOffer(ctx, b.studio, tk.OfferCode, o, letterTo("offer")); err != nil {
			t.Fatal(err)
		}
	}
	wantErr(t, "a code that is none", b.db.TakeOffer(ctx, b.studio, "nothing", o, nil), studio.ErrNotFound)
	people, err := b.db.Knitters(ctx, b.studio, tk.ID)
	if err != nil || len(people) != 2 {
		t.Fatalf("Knitters: %v, %v", people, err)
	}
	bea := people[1]
	if bea.State != studio.Offered || bea.Size != "L" || bea.Offer != "I knit fast." || bea.RevisionID != 0 {
		t.Errorf("an offer: %+v", bea)
	}
	_, err = b.db.Knit(ctx, b.studio, bea.Person.ID, bea.ID)
	wantErr(t, "one who only offers reads", err, studio.ErrNotFound)
	_, err = b.db.Knit(ctx, b.studio, bea.Person.ID, ada.ID)
	wantErr(t, "another's test knit", err, studio.ErrNotFound)

	if bea, err = b.db.SeatKnitter(ctx, b.studio, tk.ID, bea.ID, tk.Seats[2].SizeID, letterTo("invitation")); err != nil || bea.State != studio.Invited {
		t.Fatalf("SeatKnitter: %+v, %v", bea, err)
	}
	if ms := b.letters(); len(ms) != 3 {
		t.Errorf("%d letters, want two invitations and one about the offer", len(ms))
	}
	// She wants no mail: nothing more is written to her.
	if err := b.db.StopMail(ctx, b.studio, bea.Person.ID, true); err != nil {
		t.Fatal(err)
	}
	if err := b.db.Remind(ctx, b.studio, tk.ID, bea.ID, letterTo("invitation")); err != nil || len(b.letters()) != 3 {
		t.Errorf("a notice to one who wants none: %v, %d letters", err, len(b.letters()))
	}
	if err := b.db.EndKnitter(ctx, b.studio, tk.ID, bea.ID, nil); err != nil {
		t.Fatal(err)
	}
	_, err = b.db.Knit(ctx, b.studio, bea.Person.ID, bea.ID)
	wantErr(t, "one whose seat was taken back reads", err, studio.ErrNotFound)

	// Two designers change the call from the same version.
	call := studio.Call{Wanted: map[int64]int{tk.Seats[0].SizeID: 2}}
	if _, err := b.db.ChangeTestKnit(ctx, b.studio, tk.ID, tk.Version, call); err != nil {
		t.Fatal(err)
	}
	_, err = b.db.ChangeTestKnit(ctx, b.studio, tk.ID, tk.Version, call)
	wantErr(t, "the second of two changes", err, studio.ErrConflict)

	if err := b.db.CloseTestKnit(ctx, b.studio, tk.ID, "Thank you.", letterTo("thanks")); err != nil {
		t.Fatal(err)
	}
	if k := b.knit(ada); k.Open || k.Thanks != "Thank you." {
		t.Errorf("her test knit when it is closed: %+v", k)
	}
	_, err = b.db.OfferedTestKnit(ctx, b.studio, tk.OfferCode)
	wantErr(t, "offers to a closed one", err, studio.ErrNotFound)
}

func TestAnotherStudioSeesNothing(t *testing.T) {
	b := newBench(t)
	p, tk := b.inTest()
	ada := b.invite(tk, "ada@wold.example", 0)
	other := b.studio + 1000
	ctx := t.Context()
	_, err := b.db.TestKnit(ctx, other, p.ID)
	wantErr(t, "TestKnit", err, studio.ErrNotFound)
	_, err = b.db.KnitterOfStudio(ctx, other, p.ID, ada.ID)
	wantErr(t, "KnitterOfStudio", err, studio.ErrNotFound)
	_, err = b.db.Knit(ctx, other, ada.Person.ID, ada.ID)
	wantErr(t, "Knit", err, studio.ErrNotFound)
	_, err = b.db.Person(ctx, other, ada.Person.ID)
	wantErr(t, "Person", err, studio.ErrNotFound)
	wantErr(t, "CloseTestKnit", b.db.CloseTestKnit(ctx, other, tk.ID, "", nil), studio.ErrNotFound)
	if es, err := b.db.Errata(ctx, other, p.ID); err != nil || len(es) != 0 {
		t.Errorf("Errata: %v, %v", es, err)
	}
}

func noted(seq int64, u string, row int64, had string) store.KnitEvent {
	return store.KnitEvent{Seq: seq, At: time.Now(), Kind: "erratum", Erratum: &studio.NewErratum{UUID: u, RowID: row, Label: "Rnd 3", Kind: studio.WrongCount, Had: had}}
}

func TestEventsAreTakenOnceAndInOrder(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p, tk := b.inTest()
	ada, row := b.invite(tk, "ada@wold.example", 1), b.ids(p)[2]
	device, u1, u2, u3 := uuid.NewString(), uuid.NewString(), uuid.NewString(), uuid.NewString()
	place := func(seq int64, step int) store.KnitEvent {
		return store.KnitEvent{Seq: seq, At: time.Now(), Kind: "place", Place: &studio.Place{RowID: row, Words: "Rnd 3", Step: step, Of: 40}}
	}
	take := func(what string, want int64, events ...store.KnitEvent) store.Taken {
		t.Helper()
		got, err := b.db.TakeEvents(ctx, ada, device, events)
		if err != nil || got.Upto != want {
			t.Fatalf("%s: %+v, %v; want all up to %d", what, got, err, want)
		}
		return got
	}
	take("the first two", 2, place(1, 3), noted(2, u1, row, "83"))
	take("the same again, as after a lost answer", 2, place(1, 3), noted(2, u1, row, "83"))
	take("behind a gap", 2, noted(4, u3, row, "85"))
	take("the gap closed", 4, noted(3, u2, row, "84"), noted(4, u3, row, "85"))
	got := take("what cannot be used", 6, store.KnitEvent{Seq: 5, Kind: "song", At: time.Now()}, noted(6, uuid.NewString(), 99999, "1"))
	if len(got.Refused) != 2 {
		t.Errorf("refused: %v", got.Refused)
	}
	// Another browser brings the same erratum, as after a restored backup.
	if _, err := b.db.TakeEvents(ctx, ada, uuid.NewString(), []store.KnitEvent{noted(1, u1, row, "83")}); err != nil {
		t.Fatal(err)
	}
	es, err := b.db.Errata(ctx, b.studio, p.ID)
	if err != nil || len(es) != 3 || es[0].Had != "83" || es[2].Had != "85" || es[0].Size != "M" || es[0].Knitter != "ada" {
		t.Errorf("Errata: %+v, %v", es, err)
	}
	if k := b.knit(ada); k.Place.Step != 3 || k.Place.RowID != row || k.Errata != 3 {
		t.Errorf("where she is: %+v", k)
	}
	// Many requests of one device at once: each event once.
	second := uuid.NewString()
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for n := int64(1); n <= 5; n++ {
				if _, err := b.db.TakeEvents(ctx, ada, second, []store.KnitEvent{noted(n, uuid.NewSHA1(uuid.Nil, []byte{byte(n)}).String(), row, "again")}); err != nil {
					t.Errorf("at once: %v", err)
				}
			}
		})
	}
	wait.Wait()
	if es, err := b.db.Errata(ctx, b.studio, p.ID); err != nil || len(es) != 8 {
		t.Errorf("after many at once there are %d errata, want 8 (error %v)", len(es), err)
	}
}

func TestDecidingErrata(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p, tk := b.inTest()
	ada, row := b.invite(tk, "ada@wold.example", 1), b.ids(p)[2]
	device := uuid.NewString()
	if _, err := b.db.TakeEvents(ctx, ada, device, []store.KnitEvent{noted(1, uuid.NewString(), row, "83"), noted(2, uuid.NewString(), row, "83 too"), noted(3, uuid.NewString(), 0, "all of it")}); err != nil {
		t.Fatal(err)
	}
	es, _ := b.db.Errata(ctx, b.studio, p.ID)
	decide := func(e studio.Erratum, d studio.Decision) error {
		return b.db.Decide(ctx, b.studio, p.ID, e.ID, b.owner.ID, d, func(k studio.Knitter, e studio.Erratum) studio.Letter {
			return letterTo("erratum")(k)
		})
	}
	// Two designers look at the same version; the second sees what the first decided.
	if err := decide(es[0], studio.Decision{State: studio.Accepted, Base: 1}); err != nil {
		t.Fatal(err)
	}
	err := decide(es[0], studio.Decision{State: studio.NotAnError, Body: "It fits.", Base: 1})
	var late *studio.DecidedMeanwhile
	if !errors.As(err, &late) || late.Erratum.State != studio.Accepted || late.Mine.Body != "It fits." {
		t.Errorf("the second decision: %v", err)
	}
	if err := decide(es[0], studio.Decision{Body: "Words alone.", Base: 1}); err != nil {
		t.Errorf("words are never too late: %v", err)
	}
	for what, d := range map[string]studio.Decision{
		"a question without words":   {State: studio.AskedBack, Base: 1},
		"no error, without a reason": {State: studio.NotAnError, Base: 1},
		"told before, by nobody":     {State: studio.Duplicate, Base: 1},
		"told before, by itself":     {State: studio.Duplicate, DuplicateOf: es[1].ID, Base: 1},
		"a state that is none":       {State: "maybe", Base: 1},
	} {
		wantErr(t, what, decide(es[1], d), studio.ErrInvalid)
	}
	if err := decide(es[1], studio.Decision{State: studio.Duplicate, DuplicateOf: es[0].ID, Base: 1}); err != nil {
		t.Fatal(err)
	}
	if err := decide(es[2], studio.Decision{State: studio.AskedBack, Body: "Which row?", Base: 1}); err != nil {
		t.Fatal(err)
	}
	if err := b.db.Answer(ctx, ada.ID, es[2].ID, "Rnd 3."); err != nil {
		t.Fatal(err)
	}
	wantErr(t, "answering about another's", b.db.Answer(ctx, ada.ID+1, es[2].ID, "Mine?"), studio.ErrNotFound)
	e, err := b.db.Erratum(ctx, b.studio, p.ID, es[2].ID)
	if err != nil || e.State != studio.ErratumOpen || len(e.Messages) != 2 || !e.Messages[1].ByKnitter || e.Messages[0].Author != "Runa Holt" {
		t.Errorf("asked and answered: %+v, %v", e, err)
	}
	e, err = b.db.Erratum(ctx, b.studio, p.ID, es[0].ID)
	if err != nil || e.State != studio.Accepted || len(e.Messages) != 2 || e.Version != 2 {
		t.Errorf("accepted, with words after: %+v, %v", e, err)
	}

	// Accepted, it waits for a revision in which its row changed.
	un, err := b.db.Unfixed(ctx, b.studio, p.ID)
	if err != nil || len(un) != 1 || un[0].ID != es[0].ID {
		t.Errorf("Unfixed: %v, %v", un, err)
	}
	wantErr(t, "settled without a revision", b.db.SettleErratum(ctx, b.studio, p.ID, es[0].ID, b.owner.ID, "No.", nil), studio.ErrNothing)
	rev, err := b.publish(p, studio.Test)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.db.SendRevision(ctx, b.studio, tk.ID, rev.ID, []int64{es[0].ID, es[2].ID}, letterTo("revision")); err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{2, 0, 0} { // es[2] was never accepted
		e, err := b.db.Erratum(ctx, b.studio, p.ID, es[i].ID)
		got := 0
		if e.Fix != nil {
			got = e.Fix.Revision
		}
		if err != nil || got != want {
			t.Errorf("erratum %d is fixed in revision %d, want %d (error %v)", i, got, want, err)
		}
	}
	if k := b.knit(ada); k.Revision != 2 || k.ChangedFrom != 0 {
		t.Errorf("one who has not begun reads %d, changed from %d", k.Revision, k.ChangedFrom)
	}
}

func TestSendRevisionKeepsThoseWhoAreThrough(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p, tk := b.inTest()
	ada, bea, cor := b.invite(tk, "ada@wold.example", 0), b.invite(tk, "bea@fell.example", 1), b.invite(tk, "cor@tarn.example", 2)
	for _, k := range []studio.Knitter{ada, bea} {
		if err := b.db.OpenKnit(ctx, k.ID); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.db.SaveKnitReport(ctx, ada, 0, studio.KnitReport{Hours: 12, Yarns: []studio.KnitYarn{{Letter: "MC", Grams: 80}}}, "Ada of the Wold", true); err != nil {
		t.Fatal(err)
	}
	wantErr(t, "a report from an old page", b.db.SaveKnitReport(ctx, ada, 0, studio.KnitReport{Hours: 13}, "", false), studio.ErrConflict)
	p = b.save(p, hat+"Rnd 5: purl\n")
	rev, err := b.publish(p, studio.Test)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.db.SendRevision(ctx, b.studio, tk.ID, rev.ID, nil, letterTo("revision")); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		k           studio.Knitter
		revision    int
		changedFrom bool
	}{{ada, 1, false}, {bea, 2, true}, {cor, 2, false}} {
		if k := b.knit(c.k); k.Revision != c.revision || (k.ChangedFrom != 0) != c.changedFrom {
			t.Errorf("%s reads revision %d, changed from %d", k.Person.Email, k.Revision, k.ChangedFrom)
		}
	}
	reports, err := b.db.KnitReports(ctx, b.studio, p.ID)
	if err != nil || len(reports) != 1 || reports[0].Hours != 12 || len(reports[0].Yarns) != 1 || reports[0].Yarns[0].Grams != 80 || reports[0].Revision != 1 {
		t.Errorf("KnitReports: %+v, %v", reports, err)
	}
	if err := b.db.AskAboutYarn(ctx, b.studio, p.ID, ada.ID, "MC", "leave"); err != nil {
		t.Fatal(err)
	}
	// The same weight again keeps what was said of it; another one is asked about anew.
	for _, c := range []struct {
		grams float64
		asked string
	}{{80, "leave"}, {90, "new"}} {
		rep, err := b.db.KnitReport(ctx, ada.ID)
		if err != nil {
			t.Fatal(err)
		}
		rep.Yarns = []studio.KnitYarn{{Letter: "MC", Grams: c.grams}}
		if err := b.db.SaveKnitReport(ctx, ada, rep.Version, rep, "", true); err != nil {
			t.Fatal(err)
		}
		if rep, err = b.db.KnitReport(ctx, ada.ID); err != nil || rep.Yarns[0].Asked != c.asked {
			t.Errorf("%g g: %+v, %v; want %q", c.grams, rep.Yarns, err, c.asked)
		}
	}
}

func TestReminders(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	rev, err := b.publish(p, studio.Test)
	if err != nil {
		t.Fatal(err)
	}
	today := time.Now().UTC().Truncate(24 * time.Hour)
	deadline := today.AddDate(0, 0, 30)
	tk, err := b.db.OpenTestKnit(ctx, b.studio, rev.ID, studio.Call{Deadline: deadline, Wanted: map[int64]int{rev.Sizes[0].ID: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if !tk.Deadline.Equal(deadline) {
		t.Errorf("the deadline came back as %v, want %v", tk.Deadline, deadline)
	}
	b.invite(tk, "ada@wold.example", 0)
	before := len(b.letters())
	for _, c := range []struct {
		days, letters, left int
	}{{0, 0, 0}, {22, 0, 0}, {23, 1, 7}, {23, 1, 0}, {25, 1, 0}, {29, 2, 1}, {30, 2, 0}, {31, 2, 0}} {
		left := 0
		err := b.db.RemindKnitters(ctx, b.studio, today.AddDate(0, 0, c.days).Add(9*time.Hour), []int{7, 1},
			func(k studio.Knitter, title string, deadline time.Time, l, due int) studio.Letter {
				left = l
				return studio.Desk{Studio: "Lindgrove"}.Reminder(k, title, deadline, l, due, "https://knit.example/knit/1")
			})
		if err != nil {
			t.Fatal(err)
		}
		if n := len(b.letters()) - before; n != c.letters {
			t.Errorf("after %d days there are %d reminders, want %d", c.days, n, c.letters)
		}
		if c.left != 0 && left != c.left {
			t.Errorf("after %d days the letter says %d days", c.days, left)
		}
	}
}

func TestForgettingAPerson(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p, tk := b.inTest()
	ada := b.invite(tk, "ada@wold.example", 1)
	if _, err := b.db.TakeEvents(ctx, ada, uuid.NewString(), []store.KnitEvent{noted(1, uuid.NewString(), b.ids(p)[2], "83")}); err != nil {
		t.Fatal(err)
	}
	if err := b.db.SaveKnitReport(ctx, ada, 0, studio.KnitReport{Fit: "It fits me.", Yarns: []studio.KnitYarn{{Letter: "MC", Grams: 80}}}, "Ada of the Wold", false); err != nil {
		t.Fatal(err)
	}
	if err := b.db.AddKnitPhoto(ctx, ada, store.Picture{JPEG: []byte{1}, Small: []byte{1}, Width: 1, Height: 1}, true, ""); err != nil {
		t.Fatal(err)
	}
	wantErr(t, "of another studio", b.db.ForgetPerson(ctx, b.studio+1, ada.Person.ID), studio.ErrNotFound)
	if err := b.db.ForgetPerson(ctx, b.studio, ada.Person.ID); err != nil {
		t.Fatal(err)
	}
	if ms := b.letters(); len(ms) != 0 {
		t.Errorf("%d letters are left", len(ms))
	}
	k, err := b.db.KnitterOfStudio(ctx, b.studio, p.ID, ada.ID)
	if err != nil || k.Person.Email != "" || k.Person.Name != "" || k.Person.Seal == ada.Person.Seal || k.State != studio.Withdrawn || k.Credit != "" {
		t.Errorf("what is left of her: %+v, %v", k, err)
	}
	es, err := b.db.Errata(ctx, b.studio, p.ID)
	if err != nil || len(es) != 1 || es[0].Knitter != "a knitter" {
		t.Errorf("what she noted: %+v, %v", es, err)
	}
	rep, err := b.db.KnitReport(ctx, ada.ID)
	if err != nil || rep.Fit != "" || len(rep.Photos) != 0 || rep.Yarns[0].Grams != 80 {
		t.Errorf("her report: %+v, %v", rep, err)
	}
	// The same address comes again as somebody new.
	if again := b.invite(tk, "ada@wold.example", 0); again.Person.ID == ada.Person.ID {
		t.Error("she is the old person")
	}
}
