package words

import (
	"strings"
	"time"
)

// Layout is a way to write a date, as package time lays out the English one.
type Layout string

// The layouts.
const (
	Day      Layout = "2 January 2006"
	ShortDay Layout = "2 Jan 2006"
	Weekday  Layout = "Monday 2 January 2006"
	Brief    Layout = "Mon 2 Jan"

	BriefMonth Layout = "Mon 2 January"
	BriefYear  Layout = "Mon 2 January 2006"
	DayMonth   Layout = "2 January"
	DayName    Layout = "Monday"
)

// On is a date as a value of a text, said in the language of the text.
type On struct {
	Time   time.Time
	Layout Layout
}

// dates is how a language writes dates. The standard library knows English
// names alone, and x/text has none yet.
type dates struct {
	Layouts     map[Layout]string `toml:"layouts"` // in the manner of package time
	Months      []string          `toml:"months"`
	ShortMonths []string          `toml:"short_months"`
	Days        []string          `toml:"days"` // from Sunday
	ShortDays   []string          `toml:"short_days"`
}

// Date writes a date in the language.
func (p Printer) Date(t time.Time, layout Layout) string {
	if p.language == nil {
		return t.Format(string(layout))
	}
	d := p.language.dates
	month, day := int(t.Month())-1, int(t.Weekday())
	return strings.NewReplacer(
		"January", d.Months[month], "Jan", d.ShortMonths[month],
		"Monday", d.Days[day], "Mon", d.ShortDays[day],
		"2006", t.Format("2006"), "2", t.Format("2"),
	).Replace(d.Layouts[layout])
}
