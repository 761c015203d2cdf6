package schedule

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // wherever the tests run

	"pgregory.net/rapid"
)

// TestMain has the zones read from the Go distribution, so that the tests do not
// hang on how new the machine's own zone files are.
func TestMain(m *testing.M) {
	if root, err := exec.Command("go", "env", "GOROOT").Output(); err == nil {
		if file := filepath.Join(strings.TrimSpace(string(root)), "lib", "time", "zoneinfo.zip"); exists(file) {
			os.Setenv("ZONEINFO", file)
		}
	}
	os.Exit(m.Run())
}

func exists(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}

// zones change their clocks in every way that is in use: at other dates north
// and south of the equator, by an hour, two or half of one, at midnight, around
// Ramadan, with winter as the exception, or never.
var zones = []string{
	"Africa/Cairo", "Africa/Casablanca", "Africa/El_Aaiun", "Africa/Johannesburg", "America/Adak", "America/Anchorage",
	"America/Asuncion", "America/Bogota", "America/Chicago", "America/Denver", "America/Halifax", "America/Havana",
	"America/Los_Angeles", "America/Mexico_City", "America/Miquelon", "America/New_York", "America/Nuuk",
	"America/Phoenix", "America/Santiago", "America/Sao_Paulo", "America/Scoresbysund", "America/St_Johns",
	"Antarctica/Troll", "Asia/Beirut", "Asia/Gaza", "Asia/Jerusalem", "Asia/Kathmandu", "Asia/Kolkata", "Asia/Tehran",
	"Asia/Tokyo", "Atlantic/Azores", "Australia/Adelaide", "Australia/Brisbane", "Australia/Lord_Howe",
	"Australia/Sydney", "Europe/Athens", "Europe/Berlin", "Europe/Chisinau", "Europe/Dublin", "Europe/Helsinki",
	"Europe/Istanbul", "Europe/Lisbon", "Europe/London", "Europe/Moscow", "Pacific/Apia", "Pacific/Auckland",
	"Pacific/Chatham", "Pacific/Easter", "Pacific/Kiritimati", "Pacific/Norfolk", "UTC",
}

// The years that are gone through.
const (
	firstYear = 2025
	lastYear  = 2034
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// changes is the moments at which a zone's clocks are changed in some years.
func changes(z *time.Location, first, last int) []time.Time {
	var out []time.Time
	end := time.Date(last+1, 1, 1, 0, 0, 0, 0, time.UTC)
	for at := time.Date(first, 1, 1, 0, 0, 0, 0, time.UTC).In(z); ; {
		_, until := bounds(at)
		if until.IsZero() || until.After(end) {
			return out
		}
		_, before := until.Add(-time.Second).In(z).Zone()
		if _, after := until.In(z).Zone(); before != after {
			out = append(out, until)
		}
		at = until.In(z)
	}
}

// wall is what clocks show, as minutes since 1970.
func wall(at time.Time, z *time.Location) int {
	local := at.In(z)
	_, offset := local.Zone()
	return int((local.Unix() + int64(offset)) / 60)
}

func shown(minutes int) (Date, Clock) {
	at := time.Unix(int64(minutes)*60, 0).UTC()
	return DateOf(at, time.UTC), Clock(at.Hour()*60 + at.Minute())
}

// At is the first moment whose clocks show the time or a later one: around each
// change of clocks, on both sides, minute by minute.
func TestAtAroundEveryChange(t *testing.T) {
	const around = 6 * 60
	asked, gone := 0, 0
	for _, name := range zones {
		z := zone(t, name)
		for _, change := range changes(z, firstYear, lastYear) {
			gone++
			at := change.Add(-around * time.Minute)
			next := wall(at, z) + 1 // the first time that is not yet shown
			for range 2 * around {
				at = at.Add(time.Minute)
				for ; next <= wall(at, z); next++ {
					asked++
					d, c := shown(next)
					if got := At(d, c, z); !got.Equal(at) {
						t.Fatalf("%s %s %s: %v, want %v", name, d, c, got, at.In(z))
					}
				}
			}
		}
	}
	if gone < 500 || asked < 300_000 {
		t.Errorf("%d times around %d changes: too few", asked, gone)
	}
	t.Logf("%d times around %d changes of clocks in %d zones", asked, gone, len(zones))
}

// Each day of ten years has each time of day once, in every zone, and no moment
// is skipped or told twice.
func TestNextIsEachDayOnce(t *testing.T) {
	days := 0
	for i, name := range zones {
		z := zone(t, name)
		for _, c := range []Clock{0, 2*60 + 30, Clock(i*97) % dayMinutes} {
			at := At(Date{firstYear - 1, time.December, 31}, c, z)
			for d := (Date{firstYear, time.January, 1}); d.Year <= lastYear; d = d.Add(1) {
				days++
				got := Next(at, c, z)
				if want := At(d, c, z); !got.Equal(want) || !got.After(at) {
					t.Fatalf("%s: after %v comes %v, want %v", name, at, got, want)
				}
				if just := Next(got.Add(-time.Nanosecond), c, z); !just.Equal(got) {
					t.Fatalf("%s: just before %v comes %v", name, got, just)
				}
				at = got
			}
		}
	}
	t.Logf("%d days in %d zones", days, len(zones))
}

// Days that a zone left out: Samoa went over the date line on 30 December 2011,
// Kwajalein on 21 August 1993. Source: IANA tz database, files australasia.
func TestDaysLeftOut(t *testing.T) {
	for _, c := range []struct {
		zone      string
		gone      Date
		from, was string
	}{
		{"Pacific/Apia", Date{2011, time.December, 30}, "2011-12-29 10:00", "2011-12-31 10:00"},
		{"Pacific/Kwajalein", Date{1993, time.August, 21}, "1993-08-20 10:00", "1993-08-22 10:00"},
	} {
		z := zone(t, c.zone)
		midnight := At(c.gone.Add(1), 0, z)
		if got := At(c.gone, 10*60, z); !got.Equal(midnight) {
			t.Errorf("%s: 10:00 on a day left out is %v, want %v", c.zone, got, midnight)
		}
		from, err := time.ParseInLocation("2006-01-02 15:04", c.from, z)
		if err != nil {
			t.Fatal(err)
		}
		if got := Next(from, 10*60, z).Format("2006-01-02 15:04"); got != c.was {
			t.Errorf("%s: after %s comes %s, want %s", c.zone, c.from, got, c.was)
		}
	}
}

// Worked by hand from published rules.
func TestMomentsByHand(t *testing.T) {
	for _, c := range []struct{ zone, local, utc, src string }{
		{"Europe/Berlin", "2027-03-28 02:30", "2027-03-28 01:00", "Directive 2000/84/EC: forward at 01:00 UTC on the last Sunday of March"},
		{"Europe/Berlin", "2027-10-31 02:30", "2027-10-31 00:30", "Directive 2000/84/EC: back at 01:00 UTC on the last Sunday of October; the first of two"},
		{"Europe/Berlin", "2027-10-31 03:00", "2027-10-31 02:00", "the same; it comes once"},
		{"America/New_York", "2027-03-14 02:00", "2027-03-14 07:00", "15 U.S.C. 260a: forward at 02:00 on the second Sunday of March"},
		{"America/New_York", "2027-11-07 01:59", "2027-11-07 05:59", "15 U.S.C. 260a: back at 02:00 on the first Sunday of November; the first of two"},
		{"America/Phoenix", "2027-03-14 02:30", "2027-03-14 09:30", "no change of clocks"},
		{"Australia/Lord_Howe", "2027-10-03 02:15", "2027-10-02 15:30", "tz database: half an hour forward at 02:00 on the first Sunday of October"},
		{"Africa/Cairo", "2027-04-30 00:00", "2027-04-29 22:00", "tz database: forward at 00:00 on the last Friday of April"},
		{"Asia/Kolkata", "2028-02-29 23:59", "2028-02-29 18:29", "a leap day; UTC+05:30 (from memory)"},
		{"Pacific/Kiritimati", "2028-01-01 00:00", "2027-12-31 10:00", "UTC+14 (from memory)"},
		{"UTC", "2027-12-31 23:59", "2027-12-31 23:59", "by definition"},
	} {
		local, err := time.Parse("2006-01-02 15:04", c.local)
		if err != nil {
			t.Fatal(err)
		}
		got := At(DateOf(local, time.UTC), Clock(local.Hour()*60+local.Minute()), zone(t, c.zone))
		if text := got.UTC().Format("2006-01-02 15:04"); text != c.utc {
			t.Errorf("%s %s: %s UTC, want %s (%s)", c.zone, c.local, text, c.utc, c.src)
		}
		if got.Location().String() != c.zone {
			t.Errorf("%s: it is told in %s", c.zone, got.Location())
		}
	}
}

// A leap year's last days, which the package time bounds wrongly.
func TestLeapYearsEnd(t *testing.T) {
	for _, name := range zones {
		z := zone(t, name)
		for _, year := range []int{2028, 2096, 2196} {
			at := time.Date(year, 12, 29, 0, 0, 0, 0, time.UTC)
			for next := wall(at, z); at.Year() == year || at.YearDay() < 4; at = at.Add(time.Minute) {
				for ; next <= wall(at, z); next++ {
					if d, c := shown(next); !At(d, c, z).Equal(at) {
						t.Fatalf("%s %s %s: %v, want %v", name, d, c, At(d, c, z), at.In(z))
					}
				}
			}
			if got := (Quiet{0, 1}).After(time.Date(year, 12, 31, 0, 0, 30, 0, z), z); got.Second() != 0 || got.Minute() != 1 {
				t.Errorf("%s %d: quiet until %v", name, year, got)
			}
		}
	}
}

// After goes to the first moment that is not quiet, around changes of clocks
// and elsewhere, minute by minute.
func TestQuietHoursEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := zones[rapid.IntRange(0, len(zones)-1).Draw(t, "zone")]
		z, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		middle := time.Date(firstYear, 1, 1, 0, rapid.IntRange(0, 5_000_000).Draw(t, "minutes"), 0, 0, time.UTC)
		if all := changes(z, firstYear, lastYear); len(all) > 0 && rapid.Bool().Draw(t, "change") {
			middle = all[rapid.IntRange(0, len(all)-1).Draw(t, "which")]
		}
		at := middle.Add(time.Duration(rapid.IntRange(-30*60, 30*60).Draw(t, "seconds")*60+rapid.IntRange(0, 59).Draw(t, "second")) * time.Second)
		clock := rapid.IntRange(0, dayMinutes-1)
		q := Quiet{Clock(clock.Draw(t, "from")), Clock(clock.Draw(t, "to"))}
		quiet := func(at time.Time) bool {
			c := Clock(((wall(at, z) % dayMinutes) + dayMinutes) % dayMinutes)
			switch {
			case q.From == q.To:
				return false
			case q.From < q.To:
				return c >= q.From && c < q.To
			default:
				return c >= q.From || c < q.To
			}
		}
		want := at
		for quiet(want) {
			want = want.Truncate(time.Minute).Add(time.Minute)
		}
		if got := q.After(at, z); !got.Equal(want) {
			t.Fatalf("%s: quiet %s, at %v: %v, want %v", name, q, at.In(z), got, want.In(z))
		}
		if q.Has(Clock(((wall(at, z)%dayMinutes)+dayMinutes)%dayMinutes)) != quiet(at) {
			t.Fatalf("%s has %v: %t", q, at.In(z), !quiet(at))
		}
	})
}

func BenchmarkAt(b *testing.B) {
	for _, name := range []string{"Europe/Berlin", "Africa/Casablanca"} {
		z := zone(b, name)
		b.Run(fmt.Sprint(name), func(b *testing.B) {
			d := Date{2027, time.March, 28}
			for b.Loop() {
				At(d, 600, z)
			}
		})
	}
}
