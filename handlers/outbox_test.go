package handlers

import (
	"context"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"rowproof/domain/post"
	"rowproof/domain/post/smtptest"
	"rowproof/domain/studio"
)

func invitationTo(name, email string) studio.Letter {
	return studio.Letter{Kind: "invitation", ToEmail: email, ToName: name, Subject: "Test knit: Ditch Scarf in size M",
		Body: "Dear " + name + ",\n\nwould you knit <it> for us?\n\nhttps://knit.example/enter?t=abc&x=1\n", Calendar: "BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n"}
}

// letter writes a letter and returns its message.
func (a *app) letter(l studio.Letter) studio.Message {
	a.t.Helper()
	if err := a.db.WriteLetter(a.t.Context(), a.studio.ID, l); err != nil {
		a.t.Fatal(err)
	}
	all, err := a.db.Messages(a.t.Context(), a.studio.ID, 0, 1)
	if err != nil {
		a.t.Fatal(err)
	}
	return all[0]
}

// mailing is the app again, on the same database, with a mail server and the post.
func (a *app) mailing(server *smtptest.Server) *app {
	a.t.Helper()
	srv := httptest.NewUnstartedServer(nil)
	h, err := New(Config{DB: a.db, StudioID: a.studio.ID, Reach: "http://" + srv.Listener.Addr().String(), MailGoesOut: true, Version: "test",
		Logger: slog.New(slog.NewTextHandler(a.t.Output(), nil))})
	if err != nil {
		a.t.Fatal(err)
	}
	srv.Config.Handler = h
	srv.Start()
	a.t.Cleanup(srv.Close)
	smtp, err := post.ParseSMTP(server.URL("studio@quarry.example"))
	if err != nil {
		a.t.Fatal(err)
	}
	a.posting(post.Config{SMTP: smtp})
	return &app{a.t, a.db, a.studio, h, srv.URL}
}

// posting starts the post of the app's database, until the test ends.
func (a *app) posting(c post.Config) {
	a.t.Helper()
	p, err := post.Start(a.t.Context(), a.db, c, slog.New(slog.NewTextHandler(a.t.Output(), nil)))
	if err != nil {
		a.t.Fatal(err)
	}
	a.t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		defer cancel()
		if err := p.Stop(ctx); err != nil {
			a.t.Error(err)
		}
	})
}

// until waits until a message is in a state, half a minute at the most.
func (a *app) until(id int64, s studio.MessageState) {
	a.t.Helper()
	ctx, cancel := context.WithTimeout(a.t.Context(), 30*time.Second)
	defer cancel()
	tick := time.NewTicker(5 * time.Millisecond)
	defer tick.Stop()
	for {
		m, err := a.db.Message(ctx, a.studio.ID, id)
		if err == nil && m.State == s {
			return
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			a.t.Fatalf("message %d is %s, %v; want %s", id, m.State, err, s)
		}
	}
}

func TestOutboxWithoutAMailServer(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.posting(post.Config{})
	v := a.signedIn()
	v.get("/studio/settings").want(t, "the settings", 200, `href="/studio/outbox"`)
	v.get(outboxURL).want(t, "the empty outbox", 200, "No letter yet", "No mail server is set")
	m := a.letter(invitationTo("Wilma Ørsted", "wilma@quarry.example"))
	a.until(m.ID, studio.MessageKept)
	v.get(outboxURL).want(t, "the outbox", 200, letterURL(m.ID), "Test knit: Ditch Scarf in size M", "Wilma Ørsted &lt;wilma@quarry.example&gt;", "not mailed, kept here")
	got := v.get(letterURL(m.ID))
	got.want(t, "the letter", 200, "would you knit &lt;it&gt; for us?", "https://knit.example/enter?t=abc&amp;x=1", "BEGIN:VCALENDAR", "copy each",
		"mailto:wilma@quarry.example?subject=Test%20knit%3A%20Ditch%20Scarf%20in%20size%20M&amp;body=Dear%20Wilma%20%C3%98rsted%2C%0D%0A%0D%0A")
	if strings.Contains(got.body, "Send it now") || strings.Contains(got.body, "/send") {
		t.Error("without a server the letter can be sent")
	}
	// Whoever posts it all the same loses nothing.
	sent := v.post(letterURL(m.ID)+"/send", nil)
	sent.want(t, "sending without a server", 303)
	a.until(m.ID, studio.MessageKept)
	v.get(sent.location).want(t, "after it", 200, "There is no mail server")
	// A letter too long for a mail program's address is copied by hand.
	long := invitationTo("Wilma", "wilma@quarry.example")
	long.Body = strings.Repeat("knit ", 500)
	m = a.letter(long)
	a.until(m.ID, studio.MessageKept)
	if got := v.get(letterURL(m.ID)); strings.Contains(got.body, "mailto:") || got.status != 200 {
		t.Errorf("a long letter: status %d, with an address to open it", got.status)
	}
}

func TestOutboxWithAMailServer(t *testing.T) {
	a := newApp(t)
	a.owner()
	kept := a.letter(invitationTo("Kept Hollow", "kept@quarry.example"))
	if err := a.db.MarkKept(t.Context(), kept.ID); err != nil {
		t.Fatal(err)
	}
	server := smtptest.Start(t)
	server.Refuse(smtptest.Recipient, 550, "nobody of <that> name", 1)
	a = a.mailing(server)
	v := a.signedIn()
	m := a.letter(invitationTo("Wilma", "wilma@quarry.example"))
	a.until(m.ID, studio.MessageFailed)
	page := v.get(outboxURL)
	page.want(t, "the outbox", 200, "not delivered", "550 nobody of &lt;that&gt; name")
	if strings.Contains(page.body, "No mail server") {
		t.Error("it says that there is no mail server")
	}
	v.get(letterURL(m.ID)).want(t, "the letter", 200, "550 nobody of &lt;that&gt; name", "after 1 try", "Send again", letterURL(m.ID)+"/send")

	sent := v.post(letterURL(m.ID)+"/send", nil)
	if sent.status != 303 || sent.location != letterURL(m.ID) {
		t.Fatalf("sending again: %d to %s", sent.status, sent.location)
	}
	v.get(sent.location).want(t, "after it", 200, "The letter is on its way.")
	if got := server.Wait(t, 1)[0]; got.To != "wilma@quarry.example" || !strings.Contains(got.Read(t).Body, "https://knit.example/enter?t=abc&x=1") {
		t.Errorf("sent: %+v", got)
	}
	a.until(m.ID, studio.MessageSent)
	got := v.get(letterURL(m.ID))
	got.want(t, "the letter that was sent", 200, ">sent</span>")
	for _, gone := range []string{"Send again", "mailto:", "550"} {
		if strings.Contains(got.body, gone) {
			t.Errorf("the letter that was sent has %q", gone)
		}
	}
	// A second click, or a stale page.
	again := v.post(letterURL(m.ID)+"/send", nil)
	again.want(t, "sending it once more", 303)
	v.get(again.location).want(t, "after it", 200, "on its way already")
	// What was kept while there was no server.
	v.get(letterURL(kept.ID)).want(t, "the kept letter", 200, "Send it now")
	v.post(letterURL(kept.ID)+"/send", nil).want(t, "sending it", 303)
	if mails := server.Wait(t, 2); len(mails) != 2 || mails[1].To != "kept@quarry.example" {
		t.Errorf("the mails are %+v", mails)
	}
}

func TestOutboxPages(t *testing.T) {
	a := newApp(t)
	a.owner()
	for i := range outboxPage + 3 {
		l := invitationTo("Wilma", "wilma@quarry.example")
		l.Subject = fmt.Sprintf("Letter %d.", i+1)
		a.letter(l)
	}
	v := a.signedIn()
	first := v.get(outboxURL)
	first.want(t, "the newest", 200, "Letter 53.", "Letter 4.", "Older letters", "on its way")
	_, rest, _ := strings.Cut(first.body, outboxURL+"?before=")
	before, _, _ := strings.Cut(rest, `"`)
	second := v.get(outboxURL + "?before=" + before)
	second.want(t, "the older ones", 200, "Letter 3.", "Letter 1.", "Newest letters")
	if strings.Contains(first.body, "Letter 3.") || strings.Contains(second.body, "Letter 4.") || strings.Contains(first.body, "Newest letters") || strings.Contains(second.body, "Older letters") {
		t.Error("the pages overlap, or lead nowhere")
	}
}

func TestOutboxAccessibility(t *testing.T) {
	a := newApp(t)
	a.owner()
	b := a.newBrowser()
	b.signIn()
	b.axe(outboxURL)
	kept := a.letter(invitationTo("Wilma Ørsted", "wilma@quarry.example"))
	if err := a.db.MarkKept(t.Context(), kept.ID); err != nil {
		t.Fatal(err)
	}
	long := invitationTo(strings.Repeat("Wilma", 30), "a.very.long.address.of.a.knitter.who.has.many.names@"+strings.Repeat("valley", 10)+".example")
	long.Subject, long.Body = strings.Repeat("Überwurf", 30), "https://knit.example/enter?t="+strings.Repeat("abcdef", 60)+"\n"
	failed := a.letter(long)
	if err := a.db.MarkFailed(t.Context(), failed.ID, "550 "+strings.Repeat("nobody", 40)); err != nil {
		t.Fatal(err)
	}
	b.axe(outboxURL, letterURL(kept.ID), letterURL(failed.ID), "/studio/settings")
	mailing := a.mailing(smtptest.Start(t))
	b = mailing.newBrowser()
	b.signIn()
	b.axe(letterURL(failed.ID), outboxURL)
}
