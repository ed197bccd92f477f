package studio

import (
	"fmt"
	"strings"
	"time"
)

// Letters to test knitters and to the studio, as plain text. What leads to a page is a
// link that the caller signed. Each tells who writes and why, in the words of the studio.

// Desk is what every letter has in common.
type Desk struct {
	Studio string // name of the studio
	Stop   string // link that ends all notices; "" in letters somebody asked for
}

// letter puts a letter together from its paragraphs; empty ones fall away.
func (d Desk) letter(kind string, to Person, subject string, paragraphs ...string) Letter {
	var kept []string
	for _, p := range append([]string{"Dear " + to.Called() + ","}, paragraphs...) {
		if strings.TrimSpace(p) != "" {
			kept = append(kept, p)
		}
	}
	kept = append(kept, d.Studio)
	if d.Stop != "" {
		kept = append(kept, "-- \nYou get this because you test knit for "+d.Studio+".\nNo more notices: "+d.Stop)
	}
	return Letter{Kind: kind, ToEmail: to.Email, ToName: to.Name, Subject: subject, Body: strings.Join(kept, "\n\n") + "\n", UnsubscribeURL: d.Stop}
}

// inSize says a size in a sentence; nothing for a pattern of one size.
func inSize(label string) string {
	if label == "" {
		return ""
	}
	return " in size " + label
}

// Day writes a day for people: "4 March 2026".
func Day(t time.Time) string { return t.Format("2 January 2006") }

func byDay(deadline time.Time) string {
	if deadline.IsZero() {
		return ""
	}
	return " by " + Day(deadline)
}

// Invitation asks a knitter to test knit, with her link.
func (d Desk) Invitation(k Knitter, t TestKnit, link string, good time.Time) Letter {
	deadline := ""
	if !t.Deadline.IsZero() {
		deadline = "We hope for your report by " + Day(t.Deadline) + ". The day is attached for your calendar."
	}
	wants := ""
	if t.Wants != "" {
		wants = "What we would like to know:\n" + t.Wants
	}
	return d.letter("invitation", k.Person, fmt.Sprintf("Test knit: %s%s", t.Title, inSize(k.Size)),
		fmt.Sprintf("would you knit %s%s for us before it is published? You work from a draft; it is for your eyes alone, please do not pass it on.", t.Title, inSize(k.Size)),
		"Open it here, on the phone you will knit with; there is no password:\n"+link,
		"The link is good until "+Day(good)+". After that, or on another device, ask for a new one on the same page.",
		deadline, wants)
}

// SignInLink is what somebody asked for who wants to sign in.
func (d Desk) SignInLink(p Person, link string, good time.Duration) Letter {
	d.Stop = ""
	return d.letter("sign-in", p, "Your link to sign in at "+d.Studio,
		"here is the link you asked for:\n"+link,
		fmt.Sprintf("It is good for %.0f minutes. If you did not ask for it, do nothing; nobody can come in without it.", good.Minutes()))
}

// Reminder tells a knitter that the deadline is so many days off. due is for which of the
// reminders it is: each is written once.
func (d Desk) Reminder(k Knitter, title string, deadline time.Time, left, due int, link string) Letter {
	when := fmt.Sprintf("in %d days", left)
	switch left {
	case 0:
		when = "today"
	case 1:
		when = "tomorrow"
	}
	l := d.letter("reminder", k.Person, fmt.Sprintf("%s: reports are due %s", title, when),
		fmt.Sprintf("we hope for your report on %s%s by %s, %s. If you need longer, or cannot go on, tell us; nobody is cross.", title, inSize(k.Size), Day(deadline), when),
		"Your test knit:\n"+link)
	l.Key = fmt.Sprintf("reminder-%d:knitter-%d:%s", due, k.ID, deadline.Format("2006-01-02"))
	return l
}

// NewRevision tells a knitter which rows of hers another revision changed. lines says one
// each: "Back, Row 12 (WS): you are past it".
func (d Desk) NewRevision(k Knitter, title, note string, lines []string, link string) Letter {
	if note != "" {
		note = "What the studio says of it:\n" + note
	}
	rows := "None of your rows changed" + inSize(k.Size) + "; go on as you are."
	if len(lines) > 0 {
		rows = "These rows of yours changed" + inSize(k.Size) + ", beginning from where you are:\n  " + strings.Join(lines, "\n  ")
	}
	return d.letter("revision", k.Person, fmt.Sprintf("%s: revision %d", title, k.Revision),
		fmt.Sprintf("there is a new draft of %s, revision %d. You keep your place in it.", title, k.Revision), note, rows, "Your test knit:\n"+link)
}

// Decided tells a knitter what became of her erratum. Of a conversation the last words are
// told.
func (d Desk) Decided(k Knitter, e Erratum, title, link string) Letter {
	last := ErratumMessage{}
	if n := len(e.Messages); n > 0 {
		last = e.Messages[n-1]
	}
	said := map[ErratumState]string{
		Accepted:    "you are right, and it will be put right. Thank you.",
		NotAnError:  "we looked at it, and it stands as it is.",
		Duplicate:   "somebody else told us of it, too; both are kept together.",
		AskedBack:   "we would like to ask you something about it.",
		ErratumOpen: "we look at it once more.",
	}[last.State]
	if said == "" {
		said = "there is an answer."
	}
	body := ""
	if last.Body != "" {
		body = "The studio writes:\n" + last.Body
	}
	return d.letter("erratum", k.Person, title+": "+e.Label,
		"you noted something on "+e.Label+" of "+title+": "+said, body, "All that was said about it, and where to answer:\n"+link)
}

// Moved tells a knitter that she has another size.
func (d Desk) Moved(k Knitter, title, link string) Letter {
	return d.letter("size", k.Person, title+": your size is "+k.Size+" now",
		"your test knit of "+title+" is"+inSize(k.Size)+" now.", "Your test knit:\n"+link)
}

// NotNeeded thanks somebody who offered or whose seat was taken back.
func (d Desk) NotNeeded(k Knitter, title string) Letter {
	words := "thank you for offering to knit " + title + ". All seats are taken this time; we hope to ask you again."
	if k.State == Withdrawn {
		words = "your test knit of " + title + " has ended. Thank you for what you have done; what you noted stays with us."
	}
	return d.letter("not-needed", k.Person, "Test knit: "+title, words)
}

// ThankYou ends a test knit.
func (d Desk) ThankYou(k Knitter, title, thanks, link string) Letter {
	credit := ""
	if k.Credit != "" {
		credit = "You are thanked in the pattern as " + k.Credit + ", as you agreed."
	}
	if thanks == "" {
		thanks = "the test knit of " + title + " is closed. Thank you: every reader of the pattern will knit the better for it."
	}
	return d.letter("thanks", k.Person, "Thank you: "+title, thanks, credit, "You can still read it, and your notes, here:\n"+link)
}

// ToStudio is a note to the studio's owner: an offer, a report, somebody who left.
func (d Desk) ToStudio(owner Account, subject, words, link string) Letter {
	d.Stop = ""
	return d.letter("studio", Person{Email: owner.Email, Name: owner.Name}, subject, words, link)
}
