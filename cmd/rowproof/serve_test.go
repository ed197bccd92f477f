package main

import (
	"bufio"
	"context"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"testing"

	"rowproof/domain/finding"
	"rowproof/domain/post"
	"rowproof/domain/post/smtptest"
	"rowproof/domain/review"
	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

func TestMain(m *testing.M) { storetest.Main(m) }

// start runs the server on a free port and returns its address and how to stop it.
func start(t *testing.T) (address string, stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	said, out := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		err := runServer(ctx, "127.0.0.1:0", t.TempDir(), "", out, slog.New(slog.NewTextHandler(t.Output(), nil)))
		out.CloseWithError(io.EOF)
		ended <- err
	}()
	line, err := bufio.NewReader(said).ReadString('\n')
	if err != nil {
		cancel()
		t.Fatalf("the server said nothing: %v; it ended with: %v", err, <-ended)
	}
	_, rest, ok := strings.Cut(line, "open ")
	address, _, _ = strings.Cut(rest, " ")
	if !ok || !strings.HasPrefix(address, "http://localhost:") {
		t.Errorf("the server says %q", line)
	}
	return address, func() {
		t.Helper()
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("it ended with: %v", err)
		}
	}
}

func get(t *testing.T, url string) string {
	t.Helper()
	res, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != 200 {
		t.Fatalf("%s: status %d, error %v", url, res.StatusCode, err)
	}
	return string(b)
}

func TestServeFromFirstStart(t *testing.T) {
	url := storetest.URL(t)
	t.Setenv("DATABASE_URL", url)
	address, stop := start(t)
	if got := get(t, address+"/healthz"); got != "ok\n" {
		t.Errorf("healthz says %q", got)
	}
	front := get(t, address+"/")
	for _, want := range []string{demoStudio, "Rain on Slate", "Lantern Hat", "Make the owner’s account"} {
		if !strings.Contains(front, want) {
			t.Errorf("the front page does not hold %q", want)
		}
	}
	if strings.Contains(front, "Marsh Cowl") {
		t.Error("the draft is on the front page")
	}
	stop()

	// A second start finds what the first left, and adds nothing.
	_, stop = start(t)
	stop()
	db, err := store.Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	st, err := db.EnsureStudio(t.Context(), demoStudio)
	if err != nil {
		t.Fatal(err)
	}
	if ps, err := db.ListPatterns(t.Context(), st.ID); err != nil || len(ps) != 7 {
		t.Errorf("after two starts there are %d patterns, error %v", len(ps), err)
	}
}

func TestServeRefusesATakenAddress(t *testing.T) {
	t.Setenv("DATABASE_URL", storetest.URL(t))
	address, stop := start(t)
	defer stop()
	err := runServer(t.Context(), "127.0.0.1"+address[strings.LastIndex(address, ":"):], t.TempDir(), "", io.Discard, slog.New(slog.DiscardHandler))
	if err == nil || !strings.Contains(err.Error(), "choose another with --addr") {
		t.Errorf("the second says %v", err)
	}
}

func TestServeSendsMail(t *testing.T) {
	url := storetest.URL(t)
	mail := smtptest.Start(t)
	t.Setenv("DATABASE_URL", url)
	t.Setenv(post.Setting, mail.URL("studio@quarry.example"))
	_, stop := start(t)
	db, err := store.Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	st, err := db.EnsureStudio(t.Context(), demoStudio)
	if err != nil {
		t.Fatal(err)
	}
	stop()
	// Written by another process, while ours is stopped.
	if err := db.WriteLetter(t.Context(), st.ID, studio.Letter{Kind: "reminder", ToEmail: "wilma@quarry.example", Subject: "Due", Body: "Due.\n"}); err != nil {
		t.Fatal(err)
	}
	_, stop = start(t)
	if got := mail.Wait(t, 1)[0].Read(t); got.From.Name != demoStudio || got.From.Address != "studio@quarry.example" || got.Body != "Due.\n" {
		t.Errorf("the mail is %+v", got)
	}
	stop()
	if ms, err := db.Messages(t.Context(), st.ID, 0, 2); err != nil || len(ms) != 1 || ms[0].State != studio.MessageSent {
		t.Errorf("the outbox holds %+v, %v", ms, err)
	}
}

func TestServeRefusesAMailServerItCannotRead(t *testing.T) {
	t.Setenv(post.Setting, "smtp://ursel:geh/eim@mail.example.org?from=studio@example.org")
	err := runServer(t.Context(), "127.0.0.1:0", t.TempDir(), "", io.Discard, slog.New(slog.DiscardHandler))
	if err == nil || !strings.Contains(err.Error(), post.Setting) || !strings.Contains(err.Error(), "%2F") || strings.Contains(err.Error(), "eim@") {
		t.Errorf("it says %v", err)
	}
}

// What is published of the demo is right; the draft has something to mend.
func TestDemoPatterns(t *testing.T) {
	demos, err := demoPatterns()
	if err != nil || len(demos) != 7 {
		t.Fatalf("%d demo patterns, error %v", len(demos), err)
	}
	for _, d := range demos {
		res := review.Check(d.Manuscript)
		errs, mends := 0, 0
		for _, f := range res.Findings {
			if f.Severity() == finding.Error {
				errs++
				mends += len(f.Mends)
			}
			if d.Published && f.Severity() != finding.Note {
				t.Errorf("%s, line %d: %s", res.Report.Title, f.Line, f.Message)
			}
		}
		if !d.Published && (errs < 2 || mends < 2) {
			t.Errorf("%s has %d errors and %d mends, too few to try", res.Report.Title, errs, mends)
		}
		for _, p := range res.Report.Parts {
			if d.Published && p.Proved != "all" {
				t.Errorf("%s, %s is proved for %q, want all", res.Report.Title, p.Name, p.Proved)
			}
		}
	}
}
