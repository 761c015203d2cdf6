package commands

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf16"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// The service's limits of a scheduled event, in characters.
// Source: the service's documentation, scheduled events, as of August 2026.
const (
	mostEventName  = 100
	mostEventText  = 1000
	mostEventPlace = 100
)

// meetingTime is how long an event lasts. Common practice, no source.
const meetingTime = time.Hour

// event is a milestone as the server's own scheduled event.
func (w wording) event() Wording {
	m, stone := w.MakeAlong, w.stone()
	mark := fmt.Sprintf("Check-in %d/%d", w.Along, w.ID)
	text := []string{w.Say("Milestone %d of %d in “%s”. We make: %s.", w.Milestone+1, len(m.Course.Milestones), m.Name, m.Course.title(w.Printer))}
	if note := strings.TrimSpace(stone.Note); note != "" {
		text = append(text, note)
	}
	text = append(text, w.Say("Come with as many rows as you have, at your own pace. /makealong join takes you in."))
	card := EventCard{
		Name:  units(harmless(inOneLine(fmt.Sprintf("%s: %s", m.Name, stone.Title))), mostEventName),
		Start: w.meets().UTC(), Location: units(harmless(inOneLine(w.Say("The channel of %s", m.Name))), mostEventPlace), Mark: mark,
		Description: units(harmless(strings.Join(text, "\n")), mostEventText-len(mark)-2) + "\n\n" + mark,
	}
	card.End = card.Start.Add(meetingTime)
	return Wording{Reply: &reply.Reply{Title: card.Name, Data: card, Private: true, Parts: []reply.Block{
		reply.Text{Text: card.Description},
		reply.Fields{Items: []reply.Field{{Name: w.Say("From"), Value: w.Date(w.meets(), words.Weekday) + w.meets().Format(", 15:04")}, {Name: w.Say("Where"), Value: card.Location}}},
	}}}
}

// units shortens a text to at most n UTF-16 units, the strictest reading of
// the service's “characters”.
func units(s string, n int) string {
	if len(utf16.Encode([]rune(s))) <= n {
		return s
	}
	used, end := 0, 0
	for i, r := range s {
		if used += utf16.RuneLen(r); used > n-1 {
			break
		}
		end = i + len(string(r))
	}
	return strings.TrimSpace(s[:end]) + "…"
}
