package handlers

import (
	"fmt"
	"time"

	ics "github.com/arran4/golang-ical"
)

// deadlineCalendar is the day when a report is due as an iCalendar file (RFC 5545): one
// event of a whole day, with reminders a week and a day before. "" when there is no day.
func deadlineCalendar(title string, testKnit int64, deadline time.Time, url string, now time.Time) string {
	if deadline.IsZero() {
		return ""
	}
	c := ics.NewCalendar()
	c.SetMethod(ics.MethodPublish)
	c.SetProductId("-//Rowproof//Test knit//EN")
	// The same id each time: a changed day moves the event that is there.
	e := c.AddEvent(fmt.Sprintf("test-knit-%d@rowproof", testKnit))
	e.SetDtStampTime(now.UTC())
	e.SetSequence(int(now.Unix() / 60))
	e.SetAllDayStartAt(deadline)
	e.SetAllDayEndAt(deadline.AddDate(0, 0, 1))
	e.SetSummary("Test knit report due: " + title)
	e.SetURL(url)
	e.SetTimeTransparency(ics.TransparencyTransparent)
	for _, before := range []string{"-P7D", "-P1D"} {
		a := e.AddAlarm()
		a.SetAction(ics.ActionDisplay)
		a.SetProperty(ics.ComponentPropertyDescription, "Test knit report due: "+title)
		a.SetTrigger(before)
	}
	return c.Serialize()
}
