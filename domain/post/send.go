package post

import (
	"context"
	"errors"
	"fmt"
	netmail "net/mail"
	"regexp"
	"strconv"
	"strings"

	"github.com/wneessen/go-mail"

	"rowproof/domain/studio"
)

// send gives a message to the mail server, over a connection of its own. An error from the
// server is a [*mail.SendError].
func (s *SMTP) send(ctx context.Context, studioName string, m studio.Message) error {
	msg, err := s.compose(studioName, m)
	if err != nil {
		return err
	}
	c, err := s.client()
	if err != nil {
		return err
	}
	err = c.DialAndSendWithContext(ctx, msg)
	if err != nil && msg.IsDelivered() {
		return nil // the server took it, and hung up without a goodbye
	}
	return err
}

// compose makes a mail of a message: RFC 5322, with RFC 2045 to 2047 for what is not ASCII.
func (s *SMTP) compose(studioName string, m studio.Message) (*mail.Msg, error) {
	l, err := m.Letter.Validate() // it was checked when it was written; a header is worth a second look
	if err != nil {
		return nil, err
	}
	msg := mail.NewMsg(mail.WithCharset(mail.CharsetUTF8), mail.WithEncoding(mail.EncodingQP), mail.WithNoDefaultUserAgent())
	if err := msg.From(address(strings.Join(strings.Fields(studioName), " "), s.From)); err != nil {
		return nil, fmt.Errorf("the sender: %w", err)
	}
	if err := msg.To(address(l.ToName, l.ToEmail)); err != nil {
		return nil, fmt.Errorf("the recipient: %w", err)
	}
	msg.Subject(l.Subject)
	msg.SetMessageIDWithValue(m.MessageID + "@" + s.domain())
	msg.SetDateWithValue(m.QueuedAt)
	// RFC 3834, 5: nobody's holiday notice answers it.
	msg.SetGenHeader("Auto-Submitted", "auto-generated")
	if l.UnsubscribeURL != "" {
		msg.SetGenHeader(mail.HeaderListUnsubscribe, "<"+l.UnsubscribeURL+">")
		if strings.HasPrefix(l.UnsubscribeURL, "https://") { // RFC 8058, 3.1 wants https
			msg.SetGenHeader(mail.HeaderListUnsubscribePost, "List-Unsubscribe=One-Click")
		}
	}
	msg.SetBodyString(mail.TypeTextPlain, l.Body)
	if l.Calendar != "" {
		err := msg.AttachReader("calendar.ics", strings.NewReader(l.Calendar), mail.WithFileContentType("text/calendar; charset=utf-8"))
		if err != nil {
			return nil, fmt.Errorf("the calendar: %w", err)
		}
	}
	return msg, nil
}

// address writes a name and an address as a header has them, quoted or encoded.
func address(name, email string) string {
	return (&netmail.Address{Name: name, Address: email}).String()
}

// refusal tells of a failed try: in what words, with which code of the server's (0 where
// it did not come to that), and whether the recipient is refused for good. A refused sender,
// sign-in or content is not for good: settings can be mended, and servers change their minds.
func refusal(err error) (words string, code int, forGood bool) {
	words = err.Error()
	var se *mail.SendError
	if errors.As(err, &se) {
		words, _, _ = strings.Cut(se.Error(), ", affected ")
		code = se.ErrorCode()
		forGood = se.Reason == mail.ErrSMTPRcptTo && code >= 500
		if forGood {
			words = strings.TrimPrefix(words, se.Reason.String()+": ")
		}
	}
	words = quoted.ReplaceAllStringFunc(words, func(s string) string {
		if plain, err := strconv.Unquote(s[4:]); err == nil {
			return s[:4] + plain
		}
		return s
	})
	return strings.Join(strings.Fields(words), " "), code, forGood
}

// quoted is how net/textproto prints the answer of a server: 550 "no such user".
var quoted = regexp.MustCompile(`\b[245][0-9]{2} "(?:[^"\\]|\\.)*"`)
