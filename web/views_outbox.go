package web

// OutboxView lists the studio's mail, newest first.
type OutboxView struct {
	Page
	Kept    bool // no mail server is set
	Letters []OutboxLetter
	Newer   string // address of the newest page; "" on it
	Older   string // address of the next page; "" on the last
}

// OutboxLetter is a mail of the list.
type OutboxLetter struct {
	Subject, URL      string
	To                string
	State, StateLabel string // "sent"
	Level             string // of its words: "clear", "warning", "error", "quiet"
	When, ISO         string // when it was sent, or written
	Problem           string // in the words of the mail server; "" for none
}

// OutboxLetterView is one mail as text.
type OutboxLetterView struct {
	Page
	Kept     bool // no mail server is set
	Letter   OutboxLetter
	Wrote    string // when it was written, "4 March 2026, 10:12"
	Tries    string // "3 tries"; "" before the first
	Body     string
	Calendar string // the attached file; "" for none
	MailTo   string // opens the letter in one's own mail program; "" where it is too long for that
	SendURL  string // sends it again; "" where that cannot be
	SendWord string // on its button
}
