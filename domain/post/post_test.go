package post

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/mail"
	"os/exec"
	"regexp"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/riverqueue/river/rivertype"

	"rowproof/domain/post/smtptest"
	"rowproof/domain/studio"
)

func TestMailIsDeliveredOnceAndWhole(t *testing.T) {
	b := newBench(t)
	p := b.start(Config{SMTP: b.smtp})
	// Names, subject and body beyond ASCII, a long line, a line of one full stop, the
	// mark of a signature with its blank, a word that looks like a header.
	l := studio.Letter{
		Kind: "reminder", Key: "reminder-7:knitter-12", ToEmail: "wilma@quarry.example", ToName: `Wilma "Ørsted" Żuk, 羊毛`,
		Subject:        "Überwurf – 3 Größen: reports are due in 7 days, " + strings.Repeat("längst ", 20) + "☂",
		Body:           "Dear Wilma,\n\nk2, *yo, ssk; rep from * — “to the end”.\n.\nBcc: nobody\n" + strings.Repeat("long ø ", 300) + "\n\nDitch\n\n-- \nNo more notices\n",
		Calendar:       "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VEVENT\r\nSUMMARY:Überwurf\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
		UnsubscribeURL: "https://knit.example/stop/" + strings.Repeat("abcDEF123-_", 40),
	}
	id := b.write(l)
	mails := b.server.Wait(t, 1)
	m := b.untilState(id, studio.MessageSent)
	b.stop(p)
	if mails = b.server.Mails(); len(mails) != 1 {
		t.Fatalf("%d mails, want 1", len(mails))
	}
	if mails[0].From != sender || mails[0].To != l.ToEmail {
		t.Errorf("the envelope is from %q to %q", mails[0].From, mails[0].To)
	}
	got := mails[0].Read(t)
	// RFC 5322, 3.6.2 and 3.6.3, with RFC 2047 for the names.
	if *got.From != (mail.Address{Name: "Ditch & Døtre", Address: sender}) || *got.To != (mail.Address{Name: l.ToName, Address: l.ToEmail}) {
		t.Errorf("from %v to %v", got.From, got.To)
	}
	// RFC 2047.
	if got.Subject != strings.TrimSpace(l.Subject) {
		t.Errorf("the subject is\n%q, want\n%q", got.Subject, l.Subject)
	}
	// RFC 5322, 3.6.1.
	if d, err := got.Header.Date(); err != nil || !d.Equal(m.QueuedAt.Truncate(time.Second)) {
		t.Errorf("the date is %v, %v; want %v", d, err, m.QueuedAt)
	}
	// RFC 5322, 3.6.4: ours, of a domain of ours.
	if want := "<" + m.MessageID + "@ditch.example>"; got.MessageID != want {
		t.Errorf("the Message-ID is %q, want %q", got.MessageID, want)
	}
	// RFC 8058, 3.1, and RFC 2369 for the form of the first; RFC 3834 for the last.
	for name, want := range map[string]string{
		"List-Unsubscribe": "<" + l.UnsubscribeURL + ">", "List-Unsubscribe-Post": "List-Unsubscribe=One-Click", "Auto-Submitted": "auto-generated", "Mime-Version": "1.0",
	} {
		if got.Header.Get(name) != want {
			t.Errorf("%s is %q, want %q", name, got.Header.Get(name), want)
		}
	}
	for name, values := range got.Header {
		if len(values) != 1 {
			t.Errorf("%s stands there %d times", name, len(values))
		}
	}
	// RFC 2045, 6.7; the body as it was written.
	if got.Body != l.Body || got.Encoding != "quoted-printable" || !strings.EqualFold(got.BodyType, "text/plain; charset=UTF-8") {
		t.Errorf("the body (%s, %s) is\n%q, want\n%q", got.BodyType, got.Encoding, got.Body, l.Body)
	}
	if got.Calendar != l.Calendar || got.File != "calendar.ics" {
		t.Errorf("the calendar %q is\n%q, want\n%q", got.File, got.Calendar, l.Calendar)
	}
	// RFC 5322, 2.1.1: no line over 998; headers and quoted-printable are ASCII.
	for line := range strings.SplitSeq(string(mails[0].Raw), "\r\n") {
		if len(line) > 998 || strings.ContainsFunc(line, func(r rune) bool { return r > 0x7e || r < ' ' && r != '\t' }) {
			t.Errorf("a line of the mail: %q", line)
		}
	}
}

func TestMailSomebodyAskedFor(t *testing.T) {
	b := newBench(t)
	b.start(Config{SMTP: b.smtp})
	l := plain("Your link to sign in")
	l.ToName = ""
	b.write(l)
	got := b.server.Wait(t, 1)[0].Read(t)
	if got.To.Name != "" || got.To.Address != l.ToEmail || got.Body != l.Body || got.Calendar != "" {
		t.Errorf("the letter is %+v", got)
	}
	for _, name := range []string{"List-Unsubscribe", "List-Unsubscribe-Post", "User-Agent", "X-Mailer", "Bcc", "Cc"} {
		if got.Header.Get(name) != "" {
			t.Errorf("it has %s: %s", name, got.Header.Get(name))
		}
	}
	// RFC 8058, 3.1: one click needs https; without it, the address alone.
	l.UnsubscribeURL = "http://localhost:8080/stop/x"
	b.write(l)
	got = b.server.Wait(t, 2)[1].Read(t)
	if got.Header.Get("List-Unsubscribe") != "<http://localhost:8080/stop/x>" || got.Header.Get("List-Unsubscribe-Post") != "" {
		t.Errorf("without https: %v", got.Header)
	}
}

// What would begin another header is refused when the letter is written; what got into the
// database past that is not sent.
func TestHeadersCannotBeInjected(t *testing.T) {
	b := newBench(t)
	for _, change := range []func(*studio.Letter){
		func(l *studio.Letter) { l.Subject = "Scarf\r\nBcc: all@quarry.example" },
		func(l *studio.Letter) { l.ToName = "Wilma\nBcc: all@quarry.example" },
		func(l *studio.Letter) { l.ToEmail = "wilma@quarry.example\r\nBcc: all@quarry.example" },
		func(l *studio.Letter) { l.UnsubscribeURL = "https://knit.example/\r\nBcc: all@quarry.example" },
	} {
		l := plain("Scarf")
		change(&l)
		if err := b.db.WriteLetter(t.Context(), b.studio.ID, l); !errors.Is(err, studio.ErrInvalid) {
			t.Errorf("%+v: error %v", l, err)
		}
		if _, err := b.smtp.compose("Ditch", studio.Message{Letter: l, MessageID: "x"}); !errors.Is(err, studio.ErrInvalid) {
			t.Errorf("composing %+v: error %v", l, err)
		}
	}
	// The studio's name is no letter's, and may be anything.
	msg, err := b.smtp.compose("Ditch\" <x@evil.example>\r\nBcc: all@quarry.example", studio.Message{Letter: plain("Scarf"), MessageID: "x"})
	if err != nil {
		t.Fatal(err)
	}
	var raw strings.Builder
	if _, err := msg.WriteTo(&raw); err != nil {
		t.Fatal(err)
	}
	got := smtptest.Mail{Raw: []byte(raw.String())}.Read(t)
	if got.From.Address != sender || got.Header.Get("Bcc") != "" {
		t.Errorf("the headers are %v", got.Header)
	}
}

func TestATemporaryRefusalIsTriedAgain(t *testing.T) {
	for _, test := range []struct {
		name, words string
		set         func(*smtptest.Server)
	}{
		{"greylisting", "450 come back later", func(s *smtptest.Server) { s.Refuse(smtptest.Recipient, 450, "come back later", 2) }},
		{"the sender", "553 not from here", func(s *smtptest.Server) { s.Refuse(smtptest.Sender, 553, "not from here", 2) }},
		{"the content", "554 too woolly", func(s *smtptest.Server) { s.Refuse(smtptest.Content, 554, "too woolly", 2) }},
		{"hung up at the greeting", "EOF", func(s *smtptest.Server) { s.HangUp(smtptest.Greeting, 2) }},
		{"hung up at the content", "", func(s *smtptest.Server) { s.HangUp(smtptest.Content, 2) }},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := newBench(t)
			test.set(b.server)
			p := b.start(Config{SMTP: b.smtp, test: slowly(100 * time.Millisecond)})
			id := b.write(plain("Scarf"))
			m := b.until(id, "tried", func(m studio.Message) bool { return m.Attempts > 0 })
			if m.State != studio.MessageWaiting || !strings.Contains(m.Problem, test.words) || m.Problem == "" {
				t.Errorf("after a try it is %s: %q", m.State, m.Problem)
			}
			m = b.untilState(id, studio.MessageSent)
			b.stop(p)
			if n := len(b.server.Mails()); n != 1 || m.Attempts != 3 || m.Problem != "" || b.server.Tries() != 3 {
				t.Errorf("%d mails after %d tries of ours and %d of the server's, %q; want 1 after 3", n, m.Attempts, b.server.Tries(), m.Problem)
			}
		})
	}
}

func slowly(d time.Duration) testOptions {
	o := quick()
	o.retry = func(int) time.Duration { return d }
	return o
}

func TestARefusedRecipientIsGivenUpAtOnce(t *testing.T) {
	b := newBench(t)
	b.server.Refuse(smtptest.Recipient, 550, "nobody \\ of “that” \"name\"\nin this valley", 1)
	p := b.start(Config{SMTP: b.smtp})
	id := b.write(plain("Scarf"))
	m := b.untilState(id, studio.MessageFailed)
	if m.Problem != `550 nobody \ of “that” "name" in this valley` || m.Attempts != 1 {
		t.Errorf("it failed with %q after %d tries", m.Problem, m.Attempts)
	}
	b.stop(p)
	if n, ids := b.server.Tries(), b.waiting(); n != 1 || len(ids) != 0 {
		t.Errorf("%d tries, %v wait", n, ids)
	}
	// Sent again, it goes out, as the same mail.
	p = b.start(Config{SMTP: b.smtp})
	if err := b.db.Resend(t.Context(), b.studio.ID, id); err != nil {
		t.Fatal(err)
	}
	again := b.untilState(id, studio.MessageSent)
	b.stop(p)
	if again.MessageID != m.MessageID || again.Attempts != 1 || !again.QueuedAt.After(m.QueuedAt) || len(b.server.Mails()) != 1 {
		t.Errorf("sent again: %+v", again)
	}
}

func (b *bench) waiting() []int64 {
	b.t.Helper()
	ids, err := b.db.WaitingMessages(b.t.Context())
	if err != nil {
		b.t.Fatal(err)
	}
	return ids
}

func TestItIsGivenUpAfterTwelveTries(t *testing.T) {
	b := newBench(t)
	b.server.Refuse(smtptest.Recipient, 451, "the mill is shut", smtptest.Always)
	p := b.start(Config{SMTP: b.smtp})
	id := b.write(plain("Scarf"))
	m := b.untilState(id, studio.MessageFailed)
	b.stop(p)
	if m.Attempts != 12 || b.server.Tries() != 12 || !strings.Contains(m.Problem, "given up after 12 tries") || !strings.Contains(m.Problem, "451 the mill is shut") {
		t.Errorf("it failed after %d tries (the server saw %d) with %q", m.Attempts, b.server.Tries(), m.Problem)
	}
}

func TestAServerThatIsNotThere(t *testing.T) {
	b := newBench(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	nobody := *b.smtp
	nobody.Port = l.Addr().(*net.TCPAddr).Port
	l.Close()
	p := b.start(Config{SMTP: &nobody})
	id := b.write(plain("Scarf"))
	m := b.until(id, "tried", func(m studio.Message) bool { return m.Attempts > 0 })
	b.stop(p)
	if m.State != studio.MessageWaiting || !strings.Contains(m.Problem, "connection refused") {
		t.Errorf("it is %s: %q", m.State, m.Problem)
	}
	// The next start, with another setting, sends it.
	b.start(Config{SMTP: b.smtp})
	b.untilState(id, studio.MessageSent)
}

// A job of a message that was sent, or is no more, does nothing.
func TestASecondJobOfAMessageSendsNothing(t *testing.T) {
	b := newBench(t)
	p := b.start(Config{SMTP: b.smtp})
	id := b.write(plain("Scarf"))
	b.untilState(id, studio.MessageSent)
	for _, id := range []int64{id, id + 100} {
		var job int64
		b.until(b.write(plain("Hat")), "enqueued", func(studio.Message) bool { // until the first job is noted as done
			res, err := p.client.Insert(t.Context(), mailArgs{Message: id}, nil)
			if err != nil {
				t.Fatal(err)
			}
			job = res.Job.ID
			return !res.UniqueSkippedAsDuplicate
		})
		b.until(b.write(plain("Hat")), "worked", func(studio.Message) bool {
			row, err := p.client.JobGet(t.Context(), job)
			if err != nil {
				t.Fatal(err)
			}
			return row.State == rivertype.JobStateCompleted && row.Attempt == 1
		})
	}
	b.stop(p)
	scarves := 0
	for _, m := range b.server.Mails() {
		if m.Read(t).Subject == "Scarf" {
			scarves++
		}
	}
	if scarves != 1 {
		t.Errorf("the letter went out %d times", scarves)
	}
}

// The server took the mail and hung up: that is no failure, and no second mail.
func TestAServerThatTakesItAndHangsUp(t *testing.T) {
	b := newBench(t)
	b.server.HangUp(smtptest.Goodbye, smtptest.Always)
	p := b.start(Config{SMTP: b.smtp})
	id := b.write(plain("Scarf"))
	m := b.untilState(id, studio.MessageSent)
	b.stop(p)
	if n := len(b.server.Mails()); n != 1 || m.Attempts != 1 {
		t.Errorf("%d mails after %d tries, want 1 after 1", n, m.Attempts)
	}
}

// The server took the mail and died before it said so: nobody can know, and it goes out
// again, as the same mail.
func TestAServerThatDiesBeforeItsAnswer(t *testing.T) {
	b := newBench(t)
	b.server.HangUp(smtptest.Kept, 1)
	p := b.start(Config{SMTP: b.smtp})
	id := b.write(plain("Scarf"))
	b.untilState(id, studio.MessageSent)
	b.stop(p)
	b.sameTwice()
}

// sameTwice wants two mails that a reader knows for one.
func (b *bench) sameTwice() {
	b.t.Helper()
	mails := b.server.Mails()
	if len(mails) != 2 {
		b.t.Fatalf("%d mails, want 2", len(mails))
	}
	one, two := mails[0].Read(b.t), mails[1].Read(b.t)
	if one.MessageID != two.MessageID || one.Header.Get("Date") != two.Header.Get("Date") || one.Body != two.Body {
		b.t.Errorf("the two differ:\n%s\n%s", mails[0].Raw, mails[1].Raw)
	}
}

// A process is killed between the server's yes and the note of it. Another takes the job
// over: at least once, under the same Message-ID.
func TestAProcessKilledBetweenSendingAndNoting(t *testing.T) {
	b := newBench(t)
	id := b.write(plain("Scarf"))
	err := startChild(t, b.url, b.server.URL(sender), true)()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGKILL {
		t.Fatalf("the process ended with %v", err)
	}
	if n := len(b.server.Mails()); n != 1 {
		t.Fatalf("before it was killed it sent %d mails, want 1", n)
	}
	if m, err := b.db.MessageToSend(t.Context(), id); err != nil || m.State != studio.MessageWaiting {
		t.Fatalf("the message is %s, %v", m.State, err)
	}
	p := b.start(Config{SMTP: b.smtp})
	b.untilState(id, studio.MessageSent)
	b.stop(p)
	b.sameTwice()
}

func TestTwoProcessesSendOnce(t *testing.T) {
	b := newBench(t)
	const n = 60
	// A third of it waits already, the rest is written while both work.
	for i := range n / 3 {
		b.write(plain(fmt.Sprint("Letter ", i)))
	}
	end := startChild(t, b.url, b.server.URL(sender), false)
	p := b.start(Config{SMTP: b.smtp})
	for i := n / 3; i < n; i++ {
		b.write(plain(fmt.Sprint("Letter ", i)))
	}
	b.server.Wait(t, n)
	b.stop(p)
	if err := end(); err != nil {
		t.Errorf("the other process: %v", err)
	}
	seen := map[string]int{}
	for _, m := range b.server.Mails() {
		seen[m.Read(t).Subject]++
	}
	for i := range n {
		if s := fmt.Sprint("Letter ", i); seen[s] != 1 {
			t.Errorf("%s went out %d times", s, seen[s])
		}
	}
	all, err := b.db.Messages(t.Context(), b.studio.ID, 0, 100)
	if err != nil || len(all) != n {
		t.Fatalf("%d messages, %v", len(all), err)
	}
	for _, m := range all {
		if m.State != studio.MessageSent || m.Attempts != 1 {
			t.Errorf("message %d is %s after %d tries", m.ID, m.State, m.Attempts)
		}
	}
}

func TestWhatWaitedIsSentAfterTheNextStart(t *testing.T) {
	b := newBench(t)
	before := b.write(plain("Before there was a queue"))
	p := b.start(Config{SMTP: b.smtp})
	b.untilState(before, studio.MessageSent)
	b.stop(p)
	stopped := b.write(plain("While it was stopped")) // its job is in the database
	if res, err := p.client.Insert(t.Context(), mailArgs{Message: stopped}, nil); err != nil || !res.UniqueSkippedAsDuplicate {
		t.Errorf("it can have a second job: %v", err)
	}
	b.db.SetQueue(nil)
	jobless := b.write(plain("Without a job"))
	if ids := b.waiting(); len(ids) != 1 || ids[0] != jobless {
		t.Errorf("%v wait without a job, want %d", ids, jobless)
	}
	b.start(Config{SMTP: b.smtp})
	b.untilState(stopped, studio.MessageSent)
	b.untilState(jobless, studio.MessageSent)
	// And while it runs.
	b.db.SetQueue(nil)
	b.untilState(b.write(plain("While it runs, without a job")), studio.MessageSent)
	if n := len(b.server.Mails()); n != 4 {
		t.Errorf("%d mails, want 4", n)
	}
}

func TestWithoutAServerMailIsKept(t *testing.T) {
	b := newBench(t)
	p := b.start(Config{})
	id := b.write(plain("Scarf"))
	b.untilState(id, studio.MessageKept)
	b.stop(p)
	// With one, what is kept stays, until somebody sends it.
	p = b.start(Config{SMTP: b.smtp})
	other := b.write(plain("Hat"))
	b.untilState(other, studio.MessageSent)
	if err := b.db.Resend(t.Context(), b.studio.ID, id); err != nil {
		t.Fatal(err)
	}
	b.untilState(id, studio.MessageSent)
	b.stop(p)
	if n := len(b.server.Mails()); n != 2 {
		t.Errorf("%d mails, want 2", n)
	}
}

// A letter may be sent again the moment its end is seen: it gets a job then, and does not
// wait for the next sweep.
func TestSendingAgainAtOnce(t *testing.T) {
	b := newBench(t)
	o := quick()
	o.sweep = time.Hour
	b.start(Config{test: o})
	id := b.write(plain("Again"))
	for range 8 {
		b.untilState(id, studio.MessageKept)
		if err := b.db.Resend(t.Context(), b.studio.ID, id); err != nil {
			t.Fatal(err)
		}
	}
	b.untilState(id, studio.MessageKept)
}

func TestEncryptionAndSigningIn(t *testing.T) {
	const user, password = "ottilie@ditch.example", "seven sheep / on a #slope?"
	for _, test := range []struct {
		name      string
		options   smtptest.Options
		tls       string // added to the setting
		encrypted bool
		problem   string // "": it is sent
	}{
		{"offered", smtptest.Options{TLS: true}, "", true, ""},
		{"not offered", smtptest.Options{}, "", false, ""},
		{"required", smtptest.Options{TLS: true}, "starttls", true, ""},
		{"required, not offered", smtptest.Options{}, "starttls", false, "does not support STARTTLS"},
		{"never", smtptest.Options{TLS: true}, "none", false, ""},
		{"from the first byte", smtptest.Options{Implicit: true}, "implicit", true, ""},
		{"signed in", smtptest.Options{TLS: true, User: user, Password: password}, "", true, ""},
		{"signed in, from the first byte", smtptest.Options{Implicit: true, User: user, Password: password}, "implicit", true, ""},
		{"a password is not sent in the open", smtptest.Options{User: user, Password: password}, "", false, "does not support STARTTLS"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := newBench(t, test.options)
			setting := b.server.URL(sender)
			if test.tls != "" {
				setting += "&tls=" + test.tls
			}
			s, err := ParseSMTP(setting)
			if err != nil {
				t.Fatal(err)
			}
			s.roots = b.server.Roots
			b.start(Config{SMTP: s})
			id := b.write(plain("Scarf"))
			if test.problem != "" {
				m := b.until(id, "tried", func(m studio.Message) bool { return m.Attempts > 0 })
				if !strings.Contains(m.Problem, test.problem) || len(b.server.Mails()) != 0 || strings.Contains(m.Problem, "sheep") {
					t.Errorf("the problem is %q, %d mails", m.Problem, len(b.server.Mails()))
				}
				return
			}
			got := b.server.Wait(t, 1)[0]
			if got.TLS != test.encrypted || got.User != test.options.User {
				t.Errorf("it came encrypted: %v, from the user %q", got.TLS, got.User)
			}
		})
	}
}

// A certificate that nobody vouches for, and a wrong password, are told of and tried
// again: they are for the studio to mend.
func TestSettingsThatAreWrong(t *testing.T) {
	b := newBench(t, smtptest.Options{TLS: true, User: "ottilie", Password: "right"})
	wrong := *b.smtp
	wrong.roots = nil
	p := b.start(Config{SMTP: &wrong})
	id := b.write(plain("Scarf"))
	b.until(id, "untrusted", func(m studio.Message) bool { return strings.Contains(m.Problem, "certificate") })
	b.stop(p)
	wrong.roots, wrong.password = b.server.Roots, "not-this"
	p = b.start(Config{SMTP: &wrong})
	m := b.until(id, "unknown", func(m studio.Message) bool { return strings.Contains(m.Problem, "535") })
	b.stop(p)
	if strings.Contains(m.Problem, "not-this") {
		t.Errorf("the problem %q tells the password", m.Problem)
	}
}

func TestHourly(t *testing.T) {
	b := newBench(t)
	var good, bad atomic.Int32
	called := make(chan struct{}, 10)
	b.start(Config{Hourly: []func(context.Context) error{
		func(context.Context) error { bad.Add(1); return errors.New("the moths were in it") },
		func(ctx context.Context) error {
			good.Add(1)
			called <- struct{}{}
			return b.db.WriteLetter(ctx, b.studio.ID, studio.Letter{Kind: "reminder", Key: "once", ToEmail: "wilma@quarry.example", Subject: "Due", Body: "Due.\n"})
		},
	}})
	for range 2 { // at the start, and once more because one failed
		select {
		case <-called:
		case <-time.After(30 * time.Second):
			t.Fatalf("called %d times, the failing one %d times", good.Load(), bad.Load())
		}
	}
	all, err := b.db.Messages(t.Context(), b.studio.ID, 0, 10)
	if err != nil || len(all) != 1 {
		t.Fatalf("%d letters, %v; want 1", len(all), err)
	}
	b.untilState(all[0].ID, studio.MessageKept)
}

// Stopping waits for a mail that is going out, and no longer than it is told.
func TestStoppingIsBounded(t *testing.T) {
	b := newBench(t)
	// A server that says nothing at all.
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	came := make(chan struct{})
	go func() {
		c, err := l.Accept()
		if err != nil {
			return
		}
		close(came)
		_, _ = io.Copy(io.Discard, c)
		c.Close()
	}()
	mute := *b.smtp
	mute.Port = l.Addr().(*net.TCPAddr).Port
	p, err := Start(t.Context(), b.db, Config{SMTP: &mute, test: quick()}, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	b.write(plain("Scarf"))
	<-came
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	begun := time.Now()
	err = p.Stop(ctx)
	if took := time.Since(begun); took > 10*time.Second {
		t.Errorf("stopping took %v", took)
	}
	if err != nil && !regexp.MustCompile(`did not end`).MatchString(err.Error()) {
		t.Error(err)
	}
}
