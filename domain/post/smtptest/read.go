package smtptest

import (
	"bytes"
	"encoding/base64"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"net/textproto"
	"strings"
	"testing"
)

// Letter is a mail as its reader sees it, read by the standard library alone.
type Letter struct {
	Header    mail.Header   // raw
	From, To  *mail.Address // decoded (RFC 5322, RFC 2047)
	Subject   string        // decoded (RFC 2047)
	MessageID string        // with its angle brackets
	Body      string        // plain text, decoded, lines ended by LF
	BodyType  string        // its Content-Type
	Encoding  string        // its Content-Transfer-Encoding
	Calendar  string        // decoded; "" where none is attached
	File      string        // name of the attachment
}

// Read takes a mail apart.
func (m Mail) Read(t testing.TB) Letter {
	t.Helper()
	l, err := m.read()
	if err != nil {
		t.Fatalf("the mail cannot be read: %v\n%s", err, m.Raw)
	}
	return l
}

func (m Mail) read() (Letter, error) {
	msg, err := mail.ReadMessage(bytes.NewReader(m.Raw))
	if err != nil {
		return Letter{}, err
	}
	l := Letter{Header: msg.Header, MessageID: msg.Header.Get("Message-Id")}
	if l.From, err = mail.ParseAddress(msg.Header.Get("From")); err != nil {
		return l, err
	}
	if l.To, err = mail.ParseAddress(msg.Header.Get("To")); err != nil {
		return l, err
	}
	if l.Subject, err = new(mime.WordDecoder).DecodeHeader(msg.Header.Get("Subject")); err != nil {
		return l, err
	}
	return l, l.part(textproto.MIMEHeader(msg.Header), msg.Body)
}

// part reads a part, and the parts within it.
func (l *Letter) part(h textproto.MIMEHeader, r io.Reader) error {
	kind, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	if err != nil {
		return err
	}
	if strings.HasPrefix(kind, "multipart/") {
		parts := multipart.NewReader(r, params["boundary"])
		for {
			p, err := parts.NextRawPart()
			if errors.Is(err, io.EOF) {
				return nil
			}
			if err != nil {
				return err
			}
			if err := l.part(p.Header, p); err != nil {
				return err
			}
		}
	}
	switch h.Get("Content-Transfer-Encoding") {
	case "quoted-printable":
		r = quotedprintable.NewReader(r)
	case "base64":
		r = base64.NewDecoder(base64.StdEncoding, r)
	}
	b, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	switch kind {
	case "text/plain":
		l.BodyType, l.Encoding = h.Get("Content-Type"), h.Get("Content-Transfer-Encoding")
		l.Body = strings.ReplaceAll(string(b), "\r\n", "\n")
	case "text/calendar":
		l.Calendar = string(b)
		_, disposition, err := mime.ParseMediaType(h.Get("Content-Disposition"))
		if err != nil {
			return err
		}
		l.File = disposition["filename"]
	default:
		return errors.New("a part of the kind " + kind)
	}
	return nil
}
