package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"countwright/calc/schedule"
)

// zoneOption declares a time zone; a city's name is enough.
func zoneOption(short string) *Opt[string] {
	return Value("zone", short, "Europe/Lisbon", func(text string, _ Settings) (string, error) { return zoneSaid(text) }).Suggest(suggestZone)
}

// zoneSaid reads a time zone, by its name or by its city's. Abbreviations are
// refused: "EST" has no summer time, and others mean several zones.
func zoneSaid(text string) (string, error) {
	name, err := schedule.ZoneNamed(text)
	if err == nil {
		_, err = time.LoadLocation(name)
	}
	if err == nil {
		return name, nil
	}
	example := "Europe/Lisbon"
	var wrong *schedule.ZoneError
	if short := strings.TrimSpace(text); errors.As(err, &wrong) && len(wrong.Near) > 0 && short != strings.ToUpper(short) {
		example = wrong.Near[0]
	}
	return "", &Mistake{Option: "zone", Message: "I don't know the time zone “%s”; it is written as a region and a city, for a short name such as EST knows no summer time", Args: []any{clip(text, 40)}, Example: "zone:" + example}
}

// usualZones are offered while a zone is typed; every other is taken, too.
var usualZones = []string{
	"Europe/Lisbon", "Europe/London", "Europe/Dublin", "Europe/Paris", "Europe/Berlin", "Europe/Madrid", "Europe/Rome", "Europe/Warsaw", "Europe/Stockholm", "Europe/Helsinki", "Europe/Athens", "Europe/Istanbul",
	"America/New_York", "America/Chicago", "America/Denver", "America/Los_Angeles", "America/Toronto", "America/Halifax", "America/Mexico_City", "America/Sao_Paulo", "America/Argentina/Buenos_Aires",
	"Asia/Jerusalem", "Asia/Kolkata", "Asia/Singapore", "Asia/Manila", "Asia/Seoul", "Asia/Tokyo", "Australia/Perth", "Australia/Adelaide", "Australia/Sydney", "Pacific/Auckland", "Africa/Johannesburg", "Africa/Lagos", "UTC",
}

// mostZones are offered: more no surface shows.
const mostZones = 25

// suggestZone offers those of the usual zones that hold what is typed, then
// whatever else it may mean.
func suggestZone(_ context.Context, r Request, typed string) []Choice {
	low := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(typed)), " ", "_")
	var names []string
	for _, name := range append([]string{r.Settings.Zone}, usualZones...) {
		if name != "" && strings.Contains(strings.ToLower(name), low) {
			names = append(names, name)
		}
	}
	names = append(names, schedule.FindZones(typed, mostZones)...)
	var offers []Choice
	for i, name := range names {
		if z, err := time.LoadLocation(name); err == nil && !slices.Contains(names[:i], name) {
			offers = append(offers, Choice{Label: fmt.Sprintf("%s (now %s)", name, r.Now.In(z).Format("15:04")), Value: name})
		}
	}
	return offers
}
