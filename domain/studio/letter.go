package studio

import (
	"net/url"
	"strings"
	"time"
	"unicode/utf8"
)

// Bounds of a letter.
const (
	LongestSubject  = 300     // letters
	LongestLetter   = 200_000 // letters of the body
	LongestCalendar = 64_000  // bytes
	longestLetterTo = 200     // letters of a name
	// A header line holds at most 998 characters, its name included: RFC 5322, 2.1.1. An
	// address cannot be broken over two.
	longestUnsubscribe = 900
)

// Letter is a mail to write to one person.
type Letter struct {
	Kind string // what it is for, "reminder": letters, digits and hyphens
	// Key is what the letter is written for, once: "reminder-7:knitter-12". A second
	// letter of the studio with the same key is not written. "": as often as asked.
	Key            string
	ToEmail        string
	ToName         string // "" where it is not known
	Subject        string
	Body           string // plain text; lines are as long as they like
	Calendar       string // an .ics file to attach (RFC 5545); "" for none
	UnsubscribeURL string // ends these letters at one click (RFC 8058); "" where somebody asked for this one
}

// Validate evens out the address, the blanks of name and subject, and the line ends of
// the body, and checks all fields. A line break in what becomes a header is refused: it
// would begin another header. The error is an [InvalidError].
func (l Letter) Validate() (Letter, error) {
	if !letterKind(l.Kind) {
		return l, invalid("kind", "%q is not a word of up to 40 small letters, digits and hyphens", l.Kind)
	}
	if utf8.RuneCountInString(l.Key) > 200 || !readable(l.Key) {
		return l, invalid("key", "has more than 200 letters, or letters that cannot be read")
	}
	var err error
	if l.ToEmail, err = NormalEmail(l.ToEmail); err != nil {
		return l, err
	}
	if !readable(l.ToEmail) {
		return l, invalid("email", "does not look like an e-mail address")
	}
	if l.ToName, err = headerText("name", l.ToName, longestLetterTo); err != nil {
		return l, err
	}
	if l.Subject, err = headerText("subject", l.Subject, LongestSubject); err != nil {
		return l, err
	}
	if l.Subject == "" {
		return l, invalid("subject", "is empty")
	}
	l.Body = strings.ReplaceAll(strings.ReplaceAll(l.Body, "\r\n", "\n"), "\r", "\n")
	if CleanManuscript(l.Body) != l.Body || utf8.RuneCountInString(l.Body) > LongestLetter {
		return l, invalid("letter", "has more than %d letters, or letters that cannot be read", LongestLetter)
	}
	if strings.TrimSpace(l.Body) == "" {
		return l, invalid("letter", "is empty")
	}
	if l.Calendar != "" && (!strings.HasPrefix(l.Calendar, "BEGIN:VCALENDAR") || len(l.Calendar) > LongestCalendar || CleanManuscript(l.Calendar) != l.Calendar) {
		return l, invalid("calendar", "is no calendar file of up to %d bytes", LongestCalendar)
	}
	if l.UnsubscribeURL != "" && !webAddress(l.UnsubscribeURL) {
		return l, invalid("unsubscribe", "is no web address of up to %d letters", longestUnsubscribe)
	}
	return l, nil
}

func letterKind(s string) bool {
	return s != "" && len(s) <= 40 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789-") == ""
}

// headerText evens out the blanks of a name or subject.
func headerText(field, s string, longest int) (string, error) {
	if strings.ContainsAny(s, "\r\n") {
		return s, invalid(field, "holds a line break")
	}
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) > longest || !readable(s) {
		return s, invalid(field, "has more than %d letters, or letters that cannot be read", longest)
	}
	return s, nil
}

// readable reports whether s is UTF-8 without control characters.
func readable(s string) bool {
	return utf8.ValidString(s) && !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r >= 0x7f && r < 0xa0 || r == '\u2028' || r == '\u2029' })
}

// webAddress reports whether s can stand between angle brackets in a header.
func webAddress(s string) bool {
	if len(s) > longestUnsubscribe || strings.ContainsFunc(s, func(r rune) bool { return r <= ' ' || r >= 0x7f || r == '<' || r == '>' || r == ',' }) {
		return false
	}
	u, err := url.Parse(s)
	return err == nil && (u.Scheme == "https" || u.Scheme == "http") && u.Host != ""
}

// MessageState is where a mail stands on its way.
type MessageState string

// A message waits, and then was sent, failed for good, or is kept because there is no
// mail server: it is to be read in the app. What failed or is kept can be sent again.
const (
	MessageWaiting MessageState = "waiting"
	MessageSent    MessageState = "sent"
	MessageFailed  MessageState = "failed"
	MessageKept    MessageState = "kept"
)

// Message is a letter as it is kept.
type Message struct {
	Letter
	ID        int64
	StudioID  int64
	MessageID string // left part of its Message-ID; the right one is the domain it is sent from
	State     MessageState
	Attempts  int    // tries since it was last put on its way
	Problem   string // why the last try failed, in the words of the mail server; "" after a good one
	CreatedAt time.Time
	QueuedAt  time.Time  // when it was last put on its way: its Date
	SentAt    *time.Time // nil until it was sent
}

// MayResend reports whether the message can be sent again.
func (m Message) MayResend() bool { return m.State == MessageFailed || m.State == MessageKept }
