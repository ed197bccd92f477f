package handlers

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"rowproof/domain/studio"
	"rowproof/web"
)

const (
	outboxURL = "/studio/outbox"
	// outboxPage is how many letters a page of the outbox lists.
	outboxPage = 50
	// longestMailTo bounds an address that opens a letter in a mail program, in
	// characters; some programs cut longer ones off.
	longestMailTo = 2000
)

func letterURL(id int64) string { return outboxURL + "/" + strconv.FormatInt(id, 10) }

func (s *server) showOutbox(w http.ResponseWriter, r *http.Request) error {
	var before int64
	if q := r.URL.Query().Get("before"); q != "" {
		var err error
		if before, err = strconv.ParseInt(q, 10, 64); err != nil || before < 1 {
			return studio.ErrNotFound
		}
	}
	list, err := s.DB.Messages(r.Context(), s.StudioID, before, outboxPage+1)
	if err != nil {
		return err
	}
	v := web.OutboxView{Page: s.sharedFlash(r, "Letters sent", "settings"), Kept: !s.MailGoesOut}
	if before != 0 {
		v.Newer = outboxURL
	}
	if len(list) > outboxPage {
		list = list[:outboxPage]
		v.Older = outboxURL + "?before=" + strconv.FormatInt(list[outboxPage-1].ID, 10)
	}
	for _, m := range list {
		v.Letters = append(v.Letters, outboxLetter(m))
	}
	return s.render(w, r, http.StatusOK, web.Outbox(v))
}

func outboxLetter(m studio.Message) web.OutboxLetter {
	l := web.OutboxLetter{Subject: m.Subject, URL: letterURL(m.ID), To: m.ToEmail, State: string(m.State), When: moment(m.CreatedAt), ISO: iso(m.CreatedAt), Problem: m.Problem}
	if m.ToName != "" {
		l.To = m.ToName + " <" + m.ToEmail + ">"
	}
	switch m.State {
	case studio.MessageSent:
		l.StateLabel, l.Level = "sent", "clear"
		if m.SentAt != nil {
			l.When, l.ISO = moment(*m.SentAt), iso(*m.SentAt)
		}
	case studio.MessageFailed:
		l.StateLabel, l.Level = "not delivered", "error"
	case studio.MessageKept:
		l.StateLabel, l.Level = "not mailed, kept here", "warning"
	default:
		l.StateLabel, l.Level = "on its way", "quiet"
		if m.Problem != "" {
			l.StateLabel = "on its way, to be tried again"
		}
	}
	return l
}

func (s *server) showOutboxLetter(w http.ResponseWriter, r *http.Request) error {
	n, err := id(r, "message")
	if err != nil {
		return err
	}
	m, err := s.DB.Message(r.Context(), s.StudioID, n)
	if err != nil {
		return err
	}
	v := web.OutboxLetterView{Page: s.sharedFlash(r, m.Subject, "settings"), Kept: !s.MailGoesOut, Letter: outboxLetter(m), Wrote: moment(m.CreatedAt), Body: m.Body, Calendar: m.Calendar}
	if m.Attempts > 0 {
		v.Tries = plural(m.Attempts, "try", "tries")
	}
	if m.MayResend() {
		v.MailTo = mailTo(m)
		if s.MailGoesOut { // without a server it would come back at once
			v.SendURL, v.SendWord = letterURL(m.ID)+"/send", "Send again"
			if m.State == studio.MessageKept {
				v.SendWord = "Send it now"
			}
		}
	}
	return s.render(w, r, http.StatusOK, web.OutboxLetterPage(v))
}

// mailTo is the address that opens a letter in one's own mail program (RFC 6068); "" where
// it would be too long.
func mailTo(m studio.Message) string {
	escape := func(s string) string { return strings.ReplaceAll(url.QueryEscape(s), "+", "%20") }
	u := "mailto:" + strings.ReplaceAll(escape(m.ToEmail), "%40", "@") + "?subject=" + escape(m.Subject) + "&body=" + escape(strings.ReplaceAll(m.Body, "\n", "\r\n"))
	if len(u) > longestMailTo {
		return ""
	}
	return u
}

func (s *server) resendLetter(w http.ResponseWriter, r *http.Request) error {
	n, err := id(r, "message")
	if err != nil {
		return err
	}
	err = s.DB.Resend(r.Context(), s.StudioID, n)
	if errors.Is(err, studio.ErrConflict) { // sent meanwhile, or on its way: somebody else, or a second click
		return s.done(w, r, letterURL(n), "This letter was on its way already.")
	}
	if err != nil {
		return err
	}
	said := "The letter is on its way."
	if !s.MailGoesOut {
		said = "There is no mail server; the letter stays here."
	}
	return s.done(w, r, letterURL(n), said)
}
