package handlers

import (
	"fmt"
	"io/fs"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"

	"rowproof/assets"
)

// role is who may come to an address. What of it is hers, a test knitter's test knit
// or a designer's pattern, the handler asks the store, by her id.
type role uint8

const (
	everybody role = iota // without an account
	knitter               // a test knitter, who came in by a mailed link
	designer              // an account of the studio
)

// load is what a request to an address may bring.
type load uint8

const (
	loadText   load = iota // a manuscript
	loadShort              // a form of a few lines
	loadSecret             // a short form that could be guessed at: a few tries a minute
	loadPhotos             // photographs
	loadEvents             // notes of a device, photographs in them
)

// bytes bounds the body of a request.
func (l load) bytes() int64 {
	switch l {
	case loadShort, loadSecret:
		return smallBody
	case loadPhotos:
		return photoBody
	case loadEvents:
		return eventsBody
	}
	return manuscriptBody
}

// route is one address with who may come to it.
type route struct {
	who    role
	method string
	path   string
	answer handler
	load   load
}

// table is every address that knows sessions, each on its line. TestRoutesByRole walks it.
func (s *server) table() []route {
	return []route{
		// Everybody.
		{everybody, "GET", "/", s.showFront, loadText},
		{everybody, "GET", "/working", s.showWorking, loadText},
		{everybody, "GET", "/p/{slug}", s.showPublic, loadText},
		{everybody, "GET", "/p/{slug}/my-size", s.showMySize, loadText},
		{everybody, "GET", "/p/{slug}/work", s.showWork, loadText},
		{everybody, "GET", "/p/{slug}/my-size/{file}", s.serveMySize, loadText},
		{everybody, "GET", "/p/{slug}/{file}", s.servePublicPrint, loadText},
		{everybody, "GET", "/p/{slug}/fabric/{side}", s.servePublicPicture, loadText},
		{everybody, "GET", "/p/{slug}/revision/{number}", s.showPublic, loadText},
		{everybody, "GET", "/p/{slug}/revision/{number}/fabric/{side}", s.servePublicPicture, loadText},
		{everybody, "GET", "/p/{slug}/revision/{number}/{file}", s.servePublicPrint, loadText},

		// Coming and going.
		{everybody, "GET", "/start", s.showStart, loadShort},
		{everybody, "GET", "/sign-in", s.showSignIn, loadShort},
		{everybody, "POST", "/sign-out", s.signOut, loadShort},
		{everybody, "POST", "/start", s.makeFirstAccount, loadSecret},
		{everybody, "POST", "/sign-in", s.signIn, loadSecret},

		// Test knitters.
		{everybody, "GET", "/offer/{code}", s.showOffer, loadShort},
		{everybody, "POST", "/offer/{code}", s.takeOffer, loadSecret},
		{everybody, "GET", "/mail/stop", s.showStopMail, loadShort},
		{everybody, "POST", "/mail/stop", s.stopMail, loadShort},
		{everybody, "GET", "/knit/sign-in", s.showKnitSignIn, loadShort},
		{everybody, "POST", "/knit/sign-in", s.mailKnitLink, loadSecret},
		{everybody, "GET", "/knit/enter", s.showKnitEntry, loadShort},
		{everybody, "POST", "/knit/enter", s.enterKnit, loadShort},
		{everybody, "POST", "/knit/sign-out", s.leaveKnitSession, loadShort},
		{knitter, "GET", "/knit", s.showKnits, loadShort},
		{knitter, "POST", "/knit/forget", s.forgetMe, loadShort},
		{knitter, "GET", "/knit/{knitter}", s.showKnit, loadShort},
		{knitter, "GET", "/knit/{knitter}/read", s.showKnitRead, loadShort},
		{knitter, "GET", "/knit/{knitter}/work", s.showKnitWork, loadShort},
		{knitter, "POST", "/knit/{knitter}/seen", s.seeChanges, loadShort},
		{knitter, "POST", "/knit/{knitter}/leave", s.leaveKnit, loadShort},
		{knitter, "POST", "/knit/{knitter}/events", s.takeEvents, loadEvents},
		{knitter, "GET", "/knit/{knitter}/errata/new", s.showKnitNote, loadShort},
		{knitter, "POST", "/knit/{knitter}/errata/new", s.noteErratum, loadPhotos},
		{knitter, "GET", "/knit/{knitter}/errata/{erratum}", s.showKnitErratum, loadShort},
		{knitter, "POST", "/knit/{knitter}/errata/{erratum}", s.answerErratum, loadShort},
		{knitter, "GET", "/knit/{knitter}/errata/{erratum}/photo.jpg", s.serveKnitErratumPhoto, loadShort},
		{knitter, "GET", "/knit/{knitter}/report", s.showKnitReport, loadShort},
		{knitter, "POST", "/knit/{knitter}/report", s.saveKnitReport, loadPhotos},
		{knitter, "GET", "/knit/{knitter}/photo/{photo}", s.serveKnitPhoto, loadShort},
		{knitter, "GET", "/knit/{knitter}/{file}", s.serveKnitPrint, loadShort},

		// The studio.
		{designer, "GET", "/studio", s.showList, loadText},
		{designer, "GET", "/studio/", s.showList, loadText},
		{designer, "GET", "/studio/bin", s.showBin, loadText},
		{designer, "GET", "/studio/settings", s.showSettings, loadText},
		{designer, "POST", "/studio/settings", s.saveSettings, loadText},
		{designer, "POST", "/studio/password", s.changePassword, loadSecret},
		{designer, "GET", "/studio/outbox", s.showOutbox, loadShort},
		{designer, "GET", "/studio/outbox/{message}", s.showOutboxLetter, loadShort},
		{designer, "POST", "/studio/outbox/{message}/send", s.resendLetter, loadShort},
		{designer, "GET", "/studio/new", s.showNew, loadText},
		{designer, "POST", "/studio/new", s.createPasted, loadText},
		{designer, "GET", "/studio/draft", s.showDraft, loadText},
		{designer, "POST", "/studio/draft", s.makeDraft, loadText},
		{designer, "GET", "/studio/shaping", s.showShapings, loadText},
		{designer, "GET", "/studio/shaping/{task}", s.showShaping, loadText},
		{designer, "POST", "/studio/new/blank", s.createBlank, loadText},
		{designer, "POST", "/studio/check", s.check, loadText},

		// The designer's own stitches.
		{designer, "GET", "/studio/stitches", s.showStitches, loadText},
		{designer, "GET", "/studio/stitches/bin", s.showStitchBin, loadText},
		{designer, "GET", "/studio/stitches/new", s.showNewStitch, loadText},
		{designer, "POST", "/studio/stitches/new", s.createStitch, loadText},
		{designer, "GET", "/studio/stitches/{stitch}", s.showStitch, loadText},
		{designer, "POST", "/studio/stitches/{stitch}", s.saveStitch, loadText},
		{designer, "GET", "/studio/stitches/{stitch}/picture.png", s.serveStitchPicture, loadText},
		{designer, "GET", "/studio/stitches/{stitch}/versions/{version}", s.showStitchVersion, loadText},
		{designer, "POST", "/studio/stitches/{stitch}/gauges", s.addStitchGauge, loadText},
		{designer, "POST", "/studio/stitches/{stitch}/gauges/{gauge}/remove", s.removeStitchGauge, loadText},
		{designer, "POST", "/studio/stitches/{stitch}/delete", s.deleteStitch, loadText},
		{designer, "POST", "/studio/stitches/{stitch}/restore", s.restoreStitch, loadText},

		// Swatches, whose forms bring photographs.
		{designer, "GET", "/studio/swatches", s.showSwatches, loadPhotos},
		{designer, "GET", "/studio/swatches/new", s.showNewSwatch, loadPhotos},
		{designer, "POST", "/studio/swatches/new", s.createSwatch, loadPhotos},
		{designer, "GET", "/studio/swatches/{swatch}", s.showSwatch, loadPhotos},
		{designer, "GET", "/studio/swatches/{swatch}/edit", s.showEditSwatch, loadPhotos},
		{designer, "POST", "/studio/swatches/{swatch}/edit", s.saveSwatch, loadPhotos},
		{designer, "GET", "/studio/swatches/{swatch}/delete", s.showDeleteSwatch, loadPhotos},
		{designer, "POST", "/studio/swatches/{swatch}/delete", s.deleteSwatch, loadPhotos},
		{designer, "GET", "/studio/swatches/{swatch}/{side}", s.serveSwatchPhoto, loadPhotos},

		// One pattern.
		{designer, "GET", "/studio/patterns/{id}", s.showEditor, loadText},
		{designer, "POST", "/studio/patterns/{id}", s.saveEditor, loadText},
		{designer, "GET", "/studio/patterns/{id}/amounts", s.showAmounts, loadText},
		{designer, "GET", "/studio/patterns/{id}/draft", s.showRedraft, loadText},
		{designer, "POST", "/studio/patterns/{id}/draft", s.redraft, loadText},
		{designer, "GET", "/studio/patterns/{id}/materials", s.showMaterials, loadText},
		{designer, "POST", "/studio/patterns/{id}/materials", s.saveMaterials, loadText},
		{designer, "POST", "/studio/patterns/{id}/stitches", s.saveStitches, loadText},
		{designer, "POST", "/studio/patterns/{id}/sizes", s.saveSizes, loadText},
		{designer, "GET", "/studio/patterns/{id}/stitch", s.showPlaceStitch, loadText},
		{designer, "POST", "/studio/patterns/{id}/stitch", s.savePlaceStitch, loadText},
		{designer, "GET", "/studio/patterns/{id}/stitch/{use}", s.showStitchChange, loadText},
		{designer, "POST", "/studio/patterns/{id}/stitch/{use}", s.answerStitchChange, loadText},
		{designer, "GET", "/studio/patterns/{id}/chart", s.showChart, loadText},
		{designer, "GET", "/studio/patterns/{id}/chart/draw", s.showDraw, loadText},
		{designer, "POST", "/studio/patterns/{id}/chart/draw", s.saveDraw, loadText},
		{designer, "POST", "/studio/patterns/{id}/chart/check", s.checkDraw, loadText},
		{designer, "GET", "/studio/patterns/{id}/fabric", s.showFabric, loadText},
		{designer, "POST", "/studio/patterns/{id}/fabric", s.saveColours, loadText},
		{designer, "GET", "/studio/patterns/{id}/fabric/{side}", s.serveDraftPicture, loadText},
		{designer, "GET", "/studio/patterns/{id}/history", s.showHistory, loadText},
		{designer, "GET", "/studio/patterns/{id}/history/{snapshot}", s.showSnapshot, loadText},
		{designer, "POST", "/studio/patterns/{id}/history/{snapshot}/restore", s.restoreSnapshot, loadText},
		{designer, "GET", "/studio/patterns/{id}/conflict/{snapshot}", s.showConflict, loadText},
		{designer, "GET", "/studio/patterns/{id}/notes", s.showNotes, loadText},
		{designer, "POST", "/studio/patterns/{id}/notes", s.addNote, loadText},
		{designer, "POST", "/studio/patterns/{id}/notes/{note}", s.editNote, loadText},
		{designer, "POST", "/studio/patterns/{id}/notes/{note}/remove", s.removeNote, loadText},
		{designer, "GET", "/studio/patterns/{id}/prints", s.showPrints, loadText},
		{designer, "GET", "/studio/patterns/{id}/prints/{file}", s.serveDraftPrint, loadText},
		{designer, "GET", "/studio/patterns/{id}/publish", s.showPublish, loadText},
		{designer, "POST", "/studio/patterns/{id}/publish", s.publish, loadText},
		{designer, "GET", "/studio/patterns/{id}/test", s.showTest, loadText},
		{designer, "POST", "/studio/patterns/{id}/test", s.openTest, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/call", s.changeCall, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/credits", s.creditKnitters, loadShort},
		{designer, "POST", "/studio/patterns/{id}/test/close", s.closeTest, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/invite", s.invite, loadShort},
		{designer, "POST", "/studio/patterns/{id}/test/knitters/{knitter}", s.changeKnitter, loadShort},
		{designer, "GET", "/studio/patterns/{id}/test/knitters/{knitter}/photo/{photo}", s.serveKnitterPhoto, loadShort},
		{designer, "GET", "/studio/patterns/{id}/test/revision", s.showTestRevision, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/revision", s.sendTestRevision, loadText},
		{designer, "GET", "/studio/patterns/{id}/test/errata", s.showTriage, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/errata", s.keepTogether, loadText},
		{designer, "GET", "/studio/patterns/{id}/test/errata/{erratum}", s.showErratum, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/errata/{erratum}", s.decideErratum, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/errata/{erratum}/settle", s.settleErratum, loadText},
		{designer, "GET", "/studio/patterns/{id}/test/errata/{erratum}/photo.jpg", s.serveErratumPhoto, loadShort},
		{designer, "GET", "/studio/patterns/{id}/test/needles", s.showNeedles, loadText},
		{designer, "POST", "/studio/patterns/{id}/test/needles", s.answerNeedles, loadShort},
		{designer, "GET", "/studio/patterns/{id}/test/export", s.showExport, loadText},
		{designer, "GET", "/studio/patterns/{id}/test/export/{file}", s.serveExport, loadText},
		{designer, "POST", "/studio/patterns/{id}/copy", s.copyPattern, loadText},
		{designer, "POST", "/studio/patterns/{id}/delete", s.deletePattern, loadText},
		{designer, "POST", "/studio/patterns/{id}/restore", s.restorePattern, loadText},
	}
}

// routes builds the router from the table.
func (s *server) routes() (http.Handler, error) {
	files, err := fs.Sub(assets.Web, ".")
	if err != nil {
		return nil, fmt.Errorf("handlers: assets: %w", err)
	}
	r := chi.NewRouter()
	r.Use(s.logged, s.guarded, deadline, middleware.GetHead)

	// Without a session.
	r.Get("/healthz", s.page(s.health))
	r.Get("/assets/{hash}/*", asset(files))
	r.Get("/robots.txt", s.page(robots))
	r.Get("/manifest.webmanifest", s.page(s.serveManifest))
	r.Get("/worker.js", s.page(s.serveWorker))

	// A secret is tried a few times a minute, wherever it is asked for.
	fewTries := httprate.Limit(signInTries, time.Minute, httprate.WithKeyFuncs(httprate.KeyByIP), httprate.WithLimitHandler(s.page(tooMany)))
	r.Group(func(r chi.Router) {
		r.Use(s.sessions.LoadAndSave, s.whoIs)
		r.NotFound(s.page(notFound))
		r.MethodNotAllowed(s.page(methodNotAllowed))
		for _, t := range s.table() {
			with := r.With(limitedBody(t.load.bytes()))
			switch t.who {
			case designer:
				with = with.With(s.signedIn, noStore)
			case knitter:
				with = with.With(s.knits, noStore)
			case everybody:
			default:
				panic(fmt.Sprintf("BUG: nobody lets role %d through to %s", t.who, t.path))
			}
			if t.load == loadSecret {
				with = with.With(fewTries)
			}
			with.Method(t.method, t.path, s.page(t.answer))
		}
	})
	return r, nil
}
