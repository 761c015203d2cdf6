package commands

import (
	"context"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/words"
)

// daySaid is a day as it was said: a date, or one reckoned from today.
type daySaid struct {
	date    schedule.Date
	days    int          // from today, where there is no date
	weekday time.Weekday // the next such day after that, where named
	named   bool
	yearly  bool // date has no year: the next such day, today or later
}

// on is the date that is meant.
func (d daySaid) on(today schedule.Date) schedule.Date {
	switch {
	case d.yearly:
		for year := today.Year; ; year++ { // a leap day comes again within eight years
			next := schedule.Date{Year: year, Month: d.date.Month, Day: d.date.Day}
			if next.Check() == nil && !next.Before(today) || year > today.Year+8 {
				return next
			}
		}
	case !d.date.IsZero():
		return d.date
	case d.named:
		return today.Add((int(d.weekday)-int(today.Weekday())+6)%7 + 1)
	}
	return today.Add(d.days)
}

var dayIn = regexp.MustCompile(`^in (\d{1,3}|an?) (day|week)s?$`)

var aYear = regexp.MustCompile(`\d{4}`)

// readDay reads a date, with its year or without, "today", "tomorrow", "next
// Sunday" or "in 2 weeks".
func readDay(text string, _ Settings) (daySaid, error) {
	said := strings.ToLower(strings.Join(strings.Fields(text), " "))
	switch said {
	case "today":
		return daySaid{}, nil
	case "tomorrow":
		return daySaid{days: 1}, nil
	}
	if m := dayIn.FindStringSubmatch(said); m != nil {
		n, err := strconv.Atoi(m[1])
		if err != nil {
			n = 1 // in a week
		}
		if m[2] == "week" {
			n *= 7
		}
		return daySaid{days: n}, nil
	}
	if day, ok := weekdayNamed(strings.TrimPrefix(said, "next ")); ok {
		return daySaid{weekday: day, named: true}, nil
	}
	d, err := schedule.ParseDate(text)
	if err != nil && strings.IndexFunc(text, unicode.IsLetter) >= 0 && !aYear.MatchString(text) {
		if inLeapYear, err := schedule.ParseDate(text + " 2000"); err == nil {
			return daySaid{date: inLeapYear, yearly: true}, nil
		}
	}
	return daySaid{date: d}, err
}

// suggestDay offers the days on which groups like to begin.
func suggestDay(_ context.Context, r Request, typed string) []Choice {
	today := schedule.DateOf(r.Now, zoneOf(r))
	typed = strings.ToLower(strings.TrimSpace(typed))
	var offers []Choice
	for d := today.Add(1); len(offers) < 9 && d.Since(today) < 60; d = d.Add(1) {
		if day := d.Weekday(); day != time.Saturday && day != time.Sunday && day != time.Monday {
			continue
		}
		if strings.Contains(strings.ToLower(longDate(r.Printer, d)+" "+d.Long()+" "+d.String()), typed) {
			offers = append(offers, Choice{Label: longDate(r.Printer, d), Value: d.String()})
		}
	}
	return offers
}

// startDay is the day on which a make-along is to begin.
func startDay(m MakeAlong, now time.Time, said daySaid) (schedule.Date, error) {
	today := m.today(now)
	d := said.on(today)
	switch {
	case d.Before(today):
		return d, &Mistake{Option: "start", Message: "%s is past; a make-along begins today or later", Args: []any{dayOn(d)}, Example: "start:next Sunday"}
	case d.Since(today) > along.MostDays:
		return d, &Mistake{Option: "start", Message: "%s is more than %d years ahead; that is too far to plan", Args: []any{dayOn(d), along.MostDays / 365}, Example: "start:next Sunday"}
	}
	return d, nil
}

// someDay is a date in a sentence: "Sunday 10 January 2027 (in 2 weeks)".
func someDay(p words.Printer, d, today schedule.Date) string {
	switch n := d.Since(today); {
	case n == 0:
		return p.Say("%s (today)", longDate(p, d))
	case n == 1:
		return p.Say("%s (tomorrow)", longDate(p, d))
	case n > 1:
		return p.Say("%s (in %s)", longDate(p, d), lasting(n))
	}
	return longDate(p, d)
}
