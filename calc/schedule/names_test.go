package schedule

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"
)

// Every zone that is listed is one of the tz database's, and those that the
// tests go through are listed.
func TestZoneNamesAreZones(t *testing.T) {
	names := ZoneNames()
	if len(names) < 400 || !slices.IsSorted(names) || slices.Contains(names, "Local") {
		t.Fatalf("%d zones", len(names))
	}
	for _, name := range names {
		z, err := time.LoadLocation(name)
		if err != nil || z.String() != name || !KnownZone(name) {
			t.Errorf("%s: %v %v", name, z, err)
		}
		if got, err := ZoneNamed(strings.ToLower(strings.ReplaceAll(name, "_", " "))); err != nil || got != name {
			t.Errorf("%s: %q %v", name, got, err)
		}
	}
	for _, name := range zones {
		if !KnownZone(name) {
			t.Errorf("%s is not listed", name)
		}
	}
	for _, name := range []string{"", "Local", "europe/berlin", "../etc/passwd", "EST", "Etc/GMT+1", "Europe"} {
		if KnownZone(name) {
			t.Errorf("%q is listed", name)
		}
	}
}

func TestZonesAreFound(t *testing.T) {
	for typed, want := range map[string]string{
		"Berlin": "Europe/Berlin", "lisbon": "Europe/Lisbon", "New York": "America/New_York", "buenos aires": "America/Argentina/Buenos_Aires",
		"Europe/Lisbon": "Europe/Lisbon", "utc": "UTC", " GMT ": "UTC", "port of spain": "America/Port_of_Spain", "porto-novo": "Africa/Porto-Novo",
	} {
		got, err := ZoneNamed(typed)
		if typed == "buenos aires" { // America/Buenos_Aires is its older name
			var several *ZoneError
			if !errors.As(err, &several) || !slices.Contains(several.Near, want) {
				t.Errorf("%q: %q %v", typed, got, err)
			}
			continue
		}
		if err != nil || got != want {
			t.Errorf("%q: %q %v, want %q", typed, got, err, want)
		}
	}
	for typed, near := range map[string]string{
		"Berln": "Europe/Berlin", "Europ/Lisbon": "Europe/Lisbon", "Stokholm": "Europe/Stockholm", "newyork": "America/New_York",
		"los": "America/Los_Angeles", "Zuerich": "Europe/Zurich",
	} {
		_, err := ZoneNamed(typed)
		var wrong *ZoneError
		if !errors.As(err, &wrong) || !slices.Contains(wrong.Near, near) || !strings.Contains(err.Error(), near) {
			t.Errorf("%q: %v, want %q near", typed, err, near)
		}
	}
	for _, typed := range []string{"", "   ", "Local", "EST", "CEST", "qqqqqqqq", strings.Repeat("Berlin ", 1000), "/", "_"} {
		got, err := ZoneNamed(typed)
		var wrong *ZoneError
		if !errors.As(err, &wrong) || got != "" || len(err.Error()) > 400 {
			t.Errorf("%q: %q %v", typed, got, err)
		}
	}
	if got := FindZones("ber", 25); len(got) == 0 || len(got) > 25 || !slices.Contains(got, "Europe/Berlin") {
		t.Errorf("ber: %q", got)
	}
}

func FuzzZoneNamed(f *testing.F) {
	for _, text := range []string{"Berlin", "Europe/Berlin", "new_york", "EST", "\xff/\x00", "Å/Ł"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		name, err := ZoneNamed(text)
		if (err == nil) != KnownZone(name) {
			t.Fatalf("%q: %q %v", text, name, err)
		}
		FindZones(text, 25)
	})
}
