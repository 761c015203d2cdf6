// Package calendar writes a make-along's dates as an iCalendar file, which any
// calendar program takes in.
//
// Sources: RFC 5545, Internet Calendaring and Scheduling Core Object
// Specification; RFC 7986, New Properties for iCalendar (the file's NAME); RFC
// 9562, Universally Unique IDentifiers (UID).
package calendar

import (
	"bytes"
	"crypto/sha1"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"

	"countwright/calc/schedule"
)

// Plan is what a file tells.
type Plan struct {
	Name string
	// UID is the same for the same make-along for ever, and no other's:
	// "server 123, make-along 45". It is not shown.
	UID     string
	Version int       // goes up with each change, so that calendars follow it
	Made    time.Time // when this version was made
	Entries []Entry
}

// Entry is a day or a moment in the calendar.
type Entry struct {
	Key   string // the same in each version, and unique in the plan: "milestone/2"
	Title string
	Text  string
	Date  schedule.Date // a whole day, wherever one is
	At    time.Time     // or a moment, where Date is zero
	Off   bool          // it was taken out: calendars that have it strike it out
}

// ErrEmpty says that a plan has no entries: a file needs one.
var ErrEmpty = errors.New("a calendar file needs one entry at least")

// EntryError says which entry can't be written.
type EntryError struct {
	Key   string
	Wrong string
}

func (e *EntryError) Error() string { return fmt.Sprintf("entry %q %s", e.Key, e.Wrong) }

// Extension and Type are those of the file.
const (
	Extension = ".ics"
	Type      = "text/calendar; charset=utf-8"
)

// File writes the plan. The same plan gives the same bytes. Errors are ErrEmpty,
// *EntryError, and *schedule.DateError within one.
func File(p Plan) ([]byte, error) {
	if len(p.Entries) == 0 {
		return nil, ErrEmpty
	}
	cal := ics.NewCalendarFor("Countwright")
	cal.SetProductId("-//Countwright//Make-along//EN")
	cal.SetCalscale("GREGORIAN")
	cal.SetMethod(ics.MethodPublish)
	cal.SetName(line(p.Name))
	seen := map[string]bool{}
	for _, e := range p.Entries {
		if seen[e.Key] {
			return nil, &EntryError{e.Key, "stands in it twice"}
		}
		seen[e.Key] = true
		if err := add(cal, p, e); err != nil {
			return nil, err
		}
	}
	var out bytes.Buffer
	if err := cal.SerializeTo(&out, ics.WithNewLineWindows); err != nil {
		return nil, fmt.Errorf("write calendar: %w", err)
	}
	return out.Bytes(), nil
}

func add(cal *ics.Calendar, p Plan, e Entry) error {
	event := cal.AddEvent(uid(p.UID, e.Key))
	event.SetDtStampTime(p.Made)
	event.SetModifiedAt(p.Made)
	event.SetSequence(max(0, p.Version))
	switch {
	case !e.Date.IsZero():
		if err := e.Date.Check(); err != nil {
			return &EntryError{e.Key, "is on no day: " + err.Error()}
		}
		event.SetAllDayStartAt(time.Date(e.Date.Year, e.Date.Month, e.Date.Day, 0, 0, 0, 0, time.UTC))
	case e.At.IsZero():
		return &EntryError{e.Key, "has neither day nor moment"}
	default:
		event.SetStartAt(e.At)
	}
	event.SetSummary(line(e.Title))
	if text := clean(e.Text); text != "" {
		event.SetDescription(text)
	}
	event.SetTimeTransparency(ics.TransparencyTransparent) // nobody is kept busy by it
	if e.Off {
		event.SetStatus(ics.ObjectStatusCancelled)
	} else {
		event.SetStatus(ics.ObjectStatusConfirmed)
	}
	return nil
}

// space is our own name space for version 5 of RFC 9562.
const space = "\x6f\x1d\x2a\x54\x83\xc7\x4b\x0e\x9a\x52\x0d\x7b\xe4\x19\x36\xf8"

// uid is the entry's UID: a UUID made of the plan's and the entry's names.
func uid(plan, key string) string {
	sum := sha1.Sum([]byte(space + fmt.Sprintf("%d:%s/%s", len(plan), plan, key)))
	id := sum[:16]
	id[6] = id[6]&0x0f | 0x50
	id[8] = id[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", id[:4], id[4:6], id[6:8], id[8:10], id[10:])
}

// line is a text in one line.
func line(text string) string { return strings.Join(strings.Fields(clean(text)), " ") }

// clean leaves out what RFC 5545 has no place for in a text: control
// characters, and bytes that are no UTF-8; and what would turn the direction of
// the calendar around it (UTS #55), or has neither width nor ink.
func clean(text string) string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n").Replace(strings.ToValidUTF8(text, string(utf8.RuneError)))
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == '\t', r == '\u200C', r == '\u200D': // the last two join letters
		case unicode.IsControl(r), unicode.In(r, unicode.Cf, unicode.Co, unicode.Other_Default_Ignorable_Code_Point):
			return -1
		}
		return r
	}, text))
}
