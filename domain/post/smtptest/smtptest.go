// Package smtptest gives tests a real mail server, in this process, that keeps what it
// is sent.
//
//	srv := smtptest.Start(t)
//	… post.ParseSMTP(srv.URL("studio@ditch.example"))
//	mails := srv.Wait(t, 1)
//	letter := mails[0].Read(t) // headers decoded, body decoded
//
// It can be told to refuse, or to hang up in the middle: [Server.Refuse], [Server.HangUp].
package smtptest

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"io"
	"math/big"
	"net"
	"net/url"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"
)

// Stage is a place of the conversation at which the server can be told to refuse or to
// hang up.
type Stage string

// The stages of a conversation.
const (
	Greeting  Stage = "greeting"  // when the client has said its name
	Sender    Stage = "sender"    // MAIL FROM
	Recipient Stage = "recipient" // RCPT TO
	Content   Stage = "content"   // at the end of DATA, before the server keeps the mail
	Kept      Stage = "kept"      // after the server keeps the mail, before it says so
	Goodbye   Stage = "goodbye"   // RSET or QUIT after a mail that was kept and answered for
)

// Always refuses or hangs up as long as the server runs.
const Always = -1

// Mail is what the server was sent.
type Mail struct {
	From, To string // of the envelope
	Raw      []byte // headers and body as they came
	TLS      bool   // over an encrypted connection
	User     string // who signed in; "" for nobody
}

// Options are what a server asks and offers.
type Options struct {
	TLS            bool   // offers STARTTLS with a certificate that [Server.Roots] trusts
	Implicit       bool   // speaks TLS from the first byte, with that certificate
	User, Password string // wants them, where User is not empty
}

// Server is a mail server that runs until its test ends.
type Server struct {
	Host, Port string
	Roots      *x509.CertPool // trusts its certificate; nil without TLS

	opt     Options
	mu      sync.Mutex
	mails   []Mail
	changed chan struct{} // closed and replaced when mails grows or a connection comes
	tries   int
	trouble map[Stage]*trouble
}

type trouble struct {
	code  int // 0 hangs up
	words string
	left  int // times; Always
}

// Start starts a server on a free port of this machine. It stops when the test ends.
func Start(t testing.TB, options ...Options) *Server {
	t.Helper()
	s := &Server{changed: make(chan struct{}), trouble: map[Stage]*trouble{}}
	if len(options) > 0 {
		s.opt = options[0]
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatalf("the mail server of the test: %v", err)
	}
	if s.Host, s.Port, err = net.SplitHostPort(l.Addr().String()); err != nil {
		t.Fatal(err)
	}
	srv := smtp.NewServer(smtp.BackendFunc(s.session))
	srv.Domain = "mail.ditch.example"
	srv.EnableSMTPUTF8 = true
	srv.ReadTimeout, srv.WriteTimeout = 30*time.Second, 30*time.Second
	srv.ErrorLog = quiet{}
	if s.opt.TLS || s.opt.Implicit {
		var config *tls.Config
		if config, s.Roots, err = certificate(); err != nil {
			t.Fatalf("the certificate of the test's mail server: %v", err)
		}
		if s.opt.Implicit {
			l = tls.NewListener(l, config)
		} else {
			srv.TLSConfig = config
		}
	}
	var served sync.WaitGroup
	served.Go(func() { _ = srv.Serve(l) })
	t.Cleanup(func() {
		srv.Close()
		served.Wait()
	})
	return s
}

// URL is the setting that sends mail to this server from an address.
func (s *Server) URL(from string) string {
	u := url.URL{Scheme: "smtp", Host: net.JoinHostPort(s.Host, s.Port), RawQuery: url.Values{"from": {from}}.Encode()}
	if s.opt.User != "" {
		u.User = url.UserPassword(s.opt.User, s.opt.Password)
	}
	return u.String()
}

// Refuse answers with a code of three figures and words, as often as told: Always, or so
// many times.
func (s *Server) Refuse(at Stage, code int, words string, times int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.trouble[at] = &trouble{code, words, times}
}

// HangUp ends the connection without an answer, as often as told.
func (s *Server) HangUp(at Stage, times int) { s.Refuse(at, 0, "", times) }

// Mails returns what was kept so far.
func (s *Server) Mails() []Mail {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.mails)
}

// Tries counts the connections so far.
func (s *Server) Tries() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tries
}

// Wait waits until at least n mails are kept, at most for half a minute.
func (s *Server) Wait(t testing.TB, n int) []Mail {
	t.Helper()
	s.until(t, "mails", n, func() int { return len(s.mails) })
	return s.Mails()
}

// WaitTries waits until there were at least n connections, at most for half a minute.
func (s *Server) WaitTries(t testing.TB, n int) {
	t.Helper()
	s.until(t, "connections", n, func() int { return s.tries })
}

func (s *Server) until(t testing.TB, what string, n int, count func() int) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	for {
		s.mu.Lock()
		have, changed := count(), s.changed
		s.mu.Unlock()
		if have >= n {
			return
		}
		select {
		case <-changed:
		case <-ctx.Done():
			t.Fatalf("the mail server has had %d %s, want %d", have, what, n)
		}
	}
}

// note changes what is counted and wakes who waits.
func (s *Server) note(f func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f()
	close(s.changed)
	s.changed = make(chan struct{})
}

// stop answers what the server was told to at a stage, nil to go on.
func (s *Server) stop(at Stage, conn *smtp.Conn) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	t := s.trouble[at]
	if t == nil || t.left == 0 {
		return nil
	}
	if t.left > 0 {
		t.left--
	}
	if t.code == 0 {
		conn.Conn().Close()
		return errors.New("hung up")
	}
	return &smtp.SMTPError{Code: t.code, EnhancedCode: smtp.NoEnhancedCode, Message: t.words}
}

func (s *Server) session(c *smtp.Conn) (smtp.Session, error) {
	_, encrypted := c.TLSConnectionState()
	if !encrypted || s.opt.Implicit { // after STARTTLS the client says its name again
		s.note(func() { s.tries++ })
	}
	if err := s.stop(Greeting, c); err != nil {
		return nil, err
	}
	return &session{server: s, conn: c, mail: Mail{TLS: encrypted}}, nil
}

type session struct {
	server *Server
	conn   *smtp.Conn
	mail   Mail
	kept   bool
}

func (s *session) AuthMechanisms() []string {
	if s.server.opt.User == "" {
		return nil
	}
	return []string{sasl.Plain}
}

func (s *session) Auth(string) (sasl.Server, error) {
	return sasl.NewPlainServer(func(_, user, password string) error {
		if user != s.server.opt.User || password != s.server.opt.Password {
			return smtp.ErrAuthFailed
		}
		s.mail.User = user
		return nil
	}), nil
}

func (s *session) Mail(from string, _ *smtp.MailOptions) error {
	if s.server.opt.User != "" && s.mail.User == "" {
		return smtp.ErrAuthRequired
	}
	s.mail.From = from
	return s.server.stop(Sender, s.conn)
}

func (s *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	if s.mail.To != "" {
		return &smtp.SMTPError{Code: 452, Message: "one recipient for each mail, please"}
	}
	s.mail.To = to
	return s.server.stop(Recipient, s.conn)
}

func (s *session) Data(r io.Reader) error {
	raw, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	if err := s.server.stop(Content, s.conn); err != nil {
		return err
	}
	s.mail.Raw, s.kept = raw, true
	s.server.note(func() { s.server.mails = append(s.server.mails, s.mail) })
	return s.server.stop(Kept, s.conn)
}

func (s *session) Reset() {
	if s.kept {
		_ = s.server.stop(Goodbye, s.conn) // hanging up is all it can do here
	}
	s.mail.From, s.mail.To, s.mail.Raw, s.kept = "", "", nil, false
}

func (s *session) Logout() error { return nil }

// quiet keeps connections that were hung up on out of the test's output.
type quiet struct{}

func (quiet) Printf(string, ...any) {}
func (quiet) Println(...any)        {}

// certificate makes a certificate of this machine's for a day, and who trusts it.
func certificate() (*tls.Config, *x509.CertPool, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, nil, err
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "mail.ditch.example"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, BasicConstraintsValid: true, IsCA: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return nil, nil, err
	}
	own, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, nil, err
	}
	roots := x509.NewCertPool()
	roots.AddCert(own)
	return &tls.Config{Certificates: []tls.Certificate{{Certificate: [][]byte{der}, PrivateKey: key}}, MinVersion: tls.VersionTLS12}, roots, nil
}
