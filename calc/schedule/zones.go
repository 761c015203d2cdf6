package schedule

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"countwright/calc/lookup"
)

// The zones of the IANA tz database that are named by region and place, and
// UTC. Source: IANA, Time Zone Database, 2025c, as in the Go distribution.
//
//go:embed zones.txt
var zonesText string

var zoneNames = sync.OnceValue(func() []string { return strings.Fields(zonesText) })

// ZoneNames are the time zones, sorted: "Africa/Abidjan" to "Pacific/Yap", then
// "UTC". They are shared: do not change them.
func ZoneNames() []string { return zoneNames() }

var zoneIndex = sync.OnceValue(func() *lookup.Index {
	var words []lookup.Word
	for _, name := range zoneNames() {
		plain := strings.NewReplacer("/", " ", "_", " ").Replace(name)
		words = append(words, lookup.Word{Key: name, Text: plain})
		if _, place, ok := strings.Cut(plain, " "); ok {
			words = append(words, lookup.Word{Key: name, Text: place})
		}
	}
	return lookup.New(words)
})

// FindZones returns up to limit zones for what a person types, the best first:
// "berlin", "new york", "Berln". Nothing finds nothing.
func FindZones(typed string, limit int) []string {
	var names []string
	for _, m := range zoneIndex().Find(strings.NewReplacer("/", " ", "_", " ").Replace(typed), limit) {
		names = append(names, m.Word.Key)
	}
	return names
}

// ZoneError says that a name is none of a time zone.
type ZoneError struct {
	Name string
	Near []string // what may be meant; may be empty
}

func (e *ZoneError) Error() string {
	text := fmt.Sprintf("%q is no time zone", e.Name)
	if len(e.Near) > 0 {
		return text + "; near to it are " + strings.Join(e.Near, ", ")
	}
	return text + "; it is written as a region and a place, such as Europe/Lisbon"
}

// ZoneNamed is the full name of the zone that a text names: one of ZoneNames in
// whatever case, or the place alone where only one has it. Abbreviations are
// refused, for "EST" knows no summer time and others mean several zones. Any
// other text is a *ZoneError.
func ZoneNamed(text string) (string, error) {
	text = strings.TrimSpace(text)
	wanted := strings.ToLower(strings.Join(strings.Fields(text), "_"))
	if wanted == "gmt" {
		wanted = "utc"
	}
	var places []string
	for _, name := range zoneNames() {
		low := strings.ToLower(name)
		if low == wanted {
			return name, nil
		}
		if wanted != "" && strings.HasSuffix(low, "/"+wanted) {
			places = append(places, name)
		}
	}
	if len(places) == 1 {
		return places[0], nil
	}
	if len(places) == 0 && len(text) <= longest {
		places = FindZones(text, 3)
	}
	return "", &ZoneError{clipped(text), places}
}

// clipped is a text that is not too long to be said again.
func clipped(text string) string {
	if runes := []rune(text); len(runes) > longest {
		return string(runes[:longest]) + "…"
	}
	return text
}

// KnownZone reports whether a name is one of ZoneNames, as it is written there.
func KnownZone(name string) bool {
	names := zoneNames()
	_, found := slices.BinarySearch(names[:len(names)-1], name)
	return found || name == names[len(names)-1]
}
