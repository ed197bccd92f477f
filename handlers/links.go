package handlers

import (
	"context"
	"errors"
	"net/url"
	"strings"
	"time"

	"github.com/gorilla/securecookie"

	"rowproof/domain/studio"
)

// Links that are mailed to people who have no password. A link holds who may come in and
// until when, signed with the studio's key; another seal of the person ends it.

// How long a link lets its person in.
const (
	inviteTime = 30 * 24 * time.Hour
	signInTime = 60 * time.Minute
	stopTime   = 5 * 365 * 24 * time.Hour // no more notices: as long as anyone keeps a mail
)

// Purposes of links; a link for one does not serve for another.
const (
	forEntry = "enter"
	forStop  = "stop"
)

var errLink = errors.New("the link is not good, or no longer")

// link is what a mailed link holds.
type link struct {
	Person int64
	Seal   int
	Knit   int64 // knitter to go on to; 0 for the list of hers
	Until  int64 // Unix seconds
}

// signer signs links. Its own time limit is off: each link brings its own.
type signer struct{ codec *securecookie.SecureCookie }

func newSigner(key []byte) signer {
	c := securecookie.New(key, nil).SetSerializer(securecookie.JSONEncoder{})
	return signer{c.MaxAge(0)}
}

// sign returns the token of a link.
func (s signer) sign(purpose string, l link) string {
	token, err := s.codec.Encode(purpose, l)
	if err != nil { // four numbers can always be written
		panic("BUG: a link cannot be signed: " + err.Error())
	}
	return strings.TrimRight(token, "=") // the padding says nothing, and mail programs break at it
}

// read checks a token. What was changed, has passed its time or serves another purpose is
// errLink.
func (s signer) read(purpose, token string, now time.Time) (link, error) {
	var l link
	token += strings.Repeat("=", (4-len(token)%4)%4)
	if err := s.codec.Decode(purpose, token, &l); err != nil {
		return link{}, errLink
	}
	if now.Unix() > l.Until {
		return link{}, errLink
	}
	return l, nil
}

// reach is the address people reach the studio under: the one it was started with, the
// one in its settings, or where it listens.
func (s *server) reach(ctx context.Context) string {
	if s.URL != "" {
		return strings.TrimRight(s.URL, "/")
	}
	if st, err := s.DB.Studio(ctx, s.StudioID); err == nil && st.Settings.BaseURL != "" {
		return st.Settings.BaseURL
	}
	return strings.TrimRight(s.Reach, "/")
}

// entryLink is the whole address that lets a person in for so long.
func (s *server) entryLink(base string, p studio.Person, knit int64, good time.Duration) (string, time.Time) {
	until := s.testOnlyClock().Add(good)
	return base + "/knit/enter?k=" + url.QueryEscape(s.links.sign(forEntry, link{Person: p.ID, Seal: p.Seal, Knit: knit, Until: until.Unix()})), until
}

// stopLink is the whole address that ends all notices to a person.
func (s *server) stopLink(base string, p studio.Person) string {
	return base + "/mail/stop?k=" + url.QueryEscape(s.links.sign(forStop, link{Person: p.ID, Until: s.testOnlyClock().Add(stopTime).Unix()}))
}
