package post

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"syscall"
	"testing"
	"time"

	"rowproof/domain/post/smtptest"
	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

// childDatabase makes this test program a process that sends mail of the database it
// names, until its input ends; childDies makes that process kill itself between the
// server's yes and the note of it.
const (
	childDatabase = "ROWPROOF_POST_TEST_DATABASE"
	childDies     = "ROWPROOF_POST_TEST_DIES"
)

func TestMain(m *testing.M) {
	if url := os.Getenv(childDatabase); url != "" {
		if err := child(url); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	storetest.Main(m)
}

func child(url string) error {
	ctx := context.Background()
	db, err := store.Open(ctx, url)
	if err != nil {
		return err
	}
	defer db.Close()
	server, err := ParseSMTP(os.Getenv(Setting))
	if err != nil {
		return err
	}
	c := Config{SMTP: server, test: quick()}
	if os.Getenv(childDies) != "" {
		c.test.afterSend = func() {
			_ = syscall.Kill(os.Getpid(), syscall.SIGKILL)
			select {} // until it arrives
		}
	}
	p, err := Start(ctx, db, c, slog.New(slog.NewTextHandler(os.Stderr, nil)))
	if err != nil {
		return err
	}
	fmt.Println("ready")
	_, _ = io.Copy(io.Discard, os.Stdin)
	return p.Stop(ctx)
}

// start starts such a process. end lets it finish in peace and returns how it did.
func startChild(t *testing.T, url, setting string, dies bool) (end func() error) {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), os.Args[0])
	cmd.Env = append(os.Environ(), childDatabase+"="+url, Setting+"="+setting)
	if dies {
		cmd.Env = append(cmd.Env, childDies+"=yes")
	}
	cmd.Stderr = t.Output()
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if !dies { // it may do so before it says so
		if line, err := bufio.NewReader(out).ReadString('\n'); line != "ready\n" {
			t.Fatalf("the process says %q, %v", line, err)
		}
	}
	return func() error {
		if !dies {
			in.Close()
		}
		return cmd.Wait()
	}
}

// quick are options that wait for little.
func quick() testOptions {
	return testOptions{
		retry: func(int) time.Duration { return 10 * time.Millisecond }, sweep: 300 * time.Millisecond,
		timeout: 5 * time.Second, rescue: 5*time.Second + 100*time.Millisecond,
	}
}

// bench is a database with a studio, and a mail server.
type bench struct {
	t      *testing.T
	db     *store.DB
	url    string
	studio studio.Studio
	server *smtptest.Server
	smtp   *SMTP
}

const sender = "studio@ditch.example"

func newBench(t *testing.T, options ...smtptest.Options) *bench {
	t.Helper()
	t.Parallel()
	b := &bench{t: t, url: storetest.URL(t), server: smtptest.Start(t, options...)}
	var err error
	if b.db, err = store.Open(t.Context(), b.url); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.db.Close)
	if b.studio, err = b.db.EnsureStudio(t.Context(), "Ditch & Døtre"); err != nil {
		t.Fatal(err)
	}
	if b.smtp, err = ParseSMTP(b.server.URL(sender)); err != nil {
		t.Fatal(err)
	}
	b.smtp.roots = b.server.Roots
	return b
}

// start starts the post on the bench's database; it stops at the end of the test, if the
// test does not stop it.
func (b *bench) start(c Config) *Post {
	b.t.Helper()
	if c.test.retry == nil {
		c.test = quick()
	}
	p, err := Start(b.t.Context(), b.db, c, slog.New(slog.NewTextHandler(b.t.Output(), nil)))
	if err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(func() { b.stop(p) })
	return p
}

func (b *bench) stop(p *Post) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	if err := p.Stop(ctx); err != nil {
		b.t.Error(err)
	}
}

// write writes a letter and returns the id of its message.
func (b *bench) write(l studio.Letter) int64 {
	b.t.Helper()
	if err := b.db.WriteLetter(b.t.Context(), b.studio.ID, l); err != nil {
		b.t.Fatal(err)
	}
	all, err := b.db.Messages(b.t.Context(), b.studio.ID, 0, 1)
	if err != nil {
		b.t.Fatal(err)
	}
	return all[0].ID
}

// until waits until a message is as wanted, half a minute at the most.
func (b *bench) until(id int64, what string, is func(studio.Message) bool) studio.Message {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.t.Context(), 30*time.Second)
	defer cancel()
	tick := time.NewTicker(5 * time.Millisecond)
	defer tick.Stop()
	for {
		m, err := b.db.MessageToSend(ctx, id)
		if err == nil && is(m) {
			return m
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			b.t.Fatalf("message %d is %s after %d tries, %q (%v); want it %s", id, m.State, m.Attempts, m.Problem, errors.Join(err, ctx.Err()), what)
		}
	}
}

func (b *bench) untilState(id int64, s studio.MessageState) studio.Message {
	b.t.Helper()
	return b.until(id, string(s), func(m studio.Message) bool { return m.State == s })
}

func plain(subject string) studio.Letter {
	return studio.Letter{Kind: "reminder", ToEmail: "wilma@quarry.example", ToName: "Wilma Tarn", Subject: subject, Body: "Dear Wilma,\n\nit is time.\n"}
}
