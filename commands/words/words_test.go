package words

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

func TestFor(t *testing.T) {
	for _, c := range []struct {
		locales []string
		want    string
	}{
		{nil, "en"},
		{[]string{""}, "en"},
		{[]string{"de"}, "de"},
		{[]string{"de-AT"}, "de"},
		{[]string{"nl"}, "nl"},
		{[]string{"es-ES"}, "es-ES"},
		{[]string{"es"}, "es-ES"},
		{[]string{"es-419"}, "es-419"},
		{[]string{"es-MX"}, "es-419"},
		{[]string{"en-GB", "de"}, "en"},
		{[]string{"uk", "de"}, "de"}, // not Russian, nor English before the server's own
		{[]string{"uk"}, "en"},
		{[]string{"lb"}, "en"}, // near German is not German
		{[]string{"af", "fr", "nl"}, "nl"},
		{[]string{"not a locale", "nl"}, "nl"},
		{[]string{"und-AT"}, "en"},
		{[]string{"", "nl", "de"}, "nl"},
	} {
		if got := For(c.locales...).Language().Code; got != c.want {
			t.Errorf("For(%q) speaks %s, want %s", c.locales, got, c.want)
		}
	}
}

func TestSay(t *testing.T) {
	de, en := For("de"), Printer{}
	for _, c := range []struct{ got, want string }{
		{en.Say("100 % wool"), "100 % wool"},
		{en.Say("%d stitches", 2027), "2027 stitches"},
		{en.Say("in a %s", Key("row")), "in a row"},
		{en.Count(1, "%d stitch", "%d stitches"), "1 stitch"},
		{en.Count(14, "%d stitch", "%d stitches"), "14 stitches"},
		{de.Count(1, "%d stitch", "%d stitches"), "1 Masche"},
		{de.Count(2027, "%d stitch", "%d stitches"), "2027 Maschen"},
		{de.Say("what no catalog has, %d times", 2), "what no catalog has, 2 times"},
		{de.Say("%s and what no catalog has: %s", Count(1, "%d stitch", "%d stitches"), "more"), "1 Masche and what no catalog has: more"},
		{de.Tell(fmt.Errorf("wrapped: %w", Count(2, "%d stitch", "%d stitches"))), "2 Maschen"},
		{de.Tell(errors.New("plain")), "plain"},
		{Say("%d of %d", 1, 2).String(), "1 of 2"},
		{For("nl").Count(0, "%d stitch", "%d stitches"), "0 steken"},
	} {
		if c.got != c.want {
			t.Errorf("said %q, want %q", c.got, c.want)
		}
	}
	args := []any{Key("row")}
	de.Say("%s", args...)
	if args[0] != Key("row") {
		t.Errorf("the caller's value became %v", args[0])
	}
}

func TestDecimals(t *testing.T) {
	for _, c := range []struct{ locale, text, want string }{
		{"de", "106.5 cm, give or take 1.6.", "106,5 cm, give or take 1,6."},
		{"de", "12.5–13.25 cm (0.5)", "12,5–13,25 cm (0,5)"},
		{"nl", "−2.5 %", "−2,5 %"},
		{"es-ES", "1.5 m", "1,5 m"},
		{"es-419", "1.5 m", "1.5 m"}, // CLDR: a point in the Americas
		{"en", "1.5 m", "1.5 m"},
		{"de", "version 1.2.0, v1.2 and file2.5x", "version 1.2.0, v1.2 and file2.5x"},
		{"de", "ends in 3.", "ends in 3."},
		{"de", "a.b 1. 2 .5", "a.b 1. 2 .5"},
		{"de", "", ""},
	} {
		if got := For(c.locale).Decimals(c.text); got != c.want {
			t.Errorf("%s: %q became %q, want %q", c.locale, c.text, got, c.want)
		}
	}
}

func TestDate(t *testing.T) {
	at := time.Date(2026, time.March, 2, 12, 0, 0, 0, time.UTC) // a Monday
	for _, c := range []struct {
		locale string
		layout Layout
		want   string
	}{
		{"en", Day, "2 March 2026"},
		{"de", Day, "2. März 2026"},
		{"de", Weekday, "Montag, 2. März 2026"},
		{"de", Brief, "Mo, 2. März"},
		{"nl", Weekday, "maandag 2 maart 2026"},
		{"nl", ShortDay, "2 mrt 2026"},
		{"es-ES", Weekday, "lunes, 2 de marzo de 2026"},
		{"es-419", Brief, "lun, 2 mar"},
	} {
		if got := For(c.locale).Date(at, c.layout); got != c.want {
			t.Errorf("%s: %q, want %q", c.locale, got, c.want)
		}
	}
	for _, l := range Languages {
		for day := range 366 {
			for _, layout := range []Layout{Day, ShortDay, Weekday, Brief} {
				if got := For(l.Code).Date(at.AddDate(0, 0, day), layout); strings.Contains(got, "!") || got == "" || strings.Contains(got, "Jan") && at.AddDate(0, 0, day).Month() != time.January {
					t.Fatalf("%s, %s: %q", l.Code, layout, got)
				}
			}
		}
	}
}

// TestVerbs holds every translation to the values that its English takes.
func TestVerbs(t *testing.T) {
	for _, l := range catalogs() {
		for key, e := range l.texts {
			texts := []string{e.text}
			if e.forms != nil {
				texts = nil
				for _, text := range e.forms {
					texts = append(texts, text)
				}
			}
			want, err := verbs(string(key))
			if err != nil {
				t.Errorf("%q: %v", key, err)
			}
			for _, text := range texts {
				got, err := verbs(text)
				if err != nil || fmt.Sprint(got) != fmt.Sprint(want) {
					t.Errorf("%s: %q takes %v, its English %q takes %v (%v)", l.Code, text, got, key, want, err)
				}
				if strings.TrimSpace(text) == "" || strings.TrimSpace(text) != text && strings.TrimSpace(string(key)) == string(key) {
					t.Errorf("%s: %q for %q", l.Code, text, key)
				}
			}
		}
	}
}

// verbs lists the verbs of a format by the place of their values: 1 → "d". A
// text that takes no values is no format, and has none.
func verbs(format string) (map[int]string, error) {
	found := map[int]string{}
	next, loose := 1, false
	for i := 0; i < len(format); i++ {
		if format[i] != '%' {
			continue
		}
		if i+1 == len(format) || format[i+1] == ' ' {
			loose = true
			continue
		}
		start := i + 1
		for i++; i < len(format) && strings.IndexByte("+-#0123456789.", format[i]) >= 0; i++ {
		}
		if i < len(format) && format[i] == '[' {
			n, end := 0, strings.IndexByte(format[i:], ']')
			if _, err := fmt.Sscanf(format[i:], "[%d]", &n); err != nil || end < 0 {
				return nil, fmt.Errorf("a bad index in %q", format)
			}
			next, start = n, i+end+1
			i = start
		}
		if i >= len(format) || strings.IndexByte("dsqvgfcT%", format[i]) < 0 {
			return nil, fmt.Errorf("a percent sign that starts no verb in %q", format)
		}
		if format[i] == '%' {
			continue
		}
		verb := format[start : i+1]
		if old, twice := found[next]; twice && old != verb {
			return nil, fmt.Errorf("value %d is printed in two ways in %q", next, format)
		}
		found[next] = verb
		next++
	}
	if loose && len(found) > 0 {
		return nil, fmt.Errorf("a percent sign that starts no verb in %q", format)
	}
	return found, nil
}

func TestVerbsComplain(t *testing.T) {
	for _, c := range []struct {
		format string
		want   string
	}{
		{"%d of %s", "map[1:d 2:s]"},
		{"%[2]s of %[1]d", "map[1:d 2:s]"},
		{"%.1f %%", "map[1:.1f]"},
		{"75 % wool 25 % nylon", "map[]"},
	} {
		if got, err := verbs(c.format); err != nil || fmt.Sprint(got) != c.want {
			t.Errorf("%q: %v, %v; want %s", c.format, got, err, c.want)
		}
	}
	for _, bad := range []string{"%d %", "%[x]d", "%d and 50 % of"} {
		if got, err := verbs(bad); err == nil {
			t.Errorf("%q passes as %v", bad, got)
		}
	}
}

// TestForms wants both forms of a language that has two: a text for one and
// one for others.
func TestForms(t *testing.T) {
	for _, l := range catalogs() {
		for key, e := range l.texts {
			if e.forms != nil && len(e.forms) < 2 {
				t.Errorf("%s: %q has forms, yet only one", l.Code, key)
			}
		}
	}
}

func TestCatalogsAreWhole(t *testing.T) {
	if _, err := readCatalogs(files); err != nil {
		t.Error(err)
	}
}

func TestReadCatalogsComplains(t *testing.T) {
	for name, text := range map[string]string{
		"twice":          "[\"a\"]\nde = \"x\"\n",
		"no language":    "[\"b\"]\nxx = \"x\"\n",
		"no other":       "[\"b\"]\nde = { one = \"x\" }\n",
		"unknown form":   "[\"b\"]\nde = { both = \"x\", other = \"y\" }\n",
		"neither":        "[\"b\"]\nde = 3\n",
		"form no text":   "[\"b\"]\nde = { other = 3 }\n",
		"broken grammar": "[\"b\n",
	} {
		from := fstest.MapFS{
			"texts/a.toml": {Data: []byte("[\"a\"]\nde = \"x\"\n")}, "texts/b.toml": {Data: []byte(text)},
			"names.toml": {}, "dates.toml": {},
		}
		if _, err := readCatalogs(from); err == nil {
			t.Errorf("%s: the catalog is read without complaint", name)
		}
	}
}

func BenchmarkSay(b *testing.B) {
	de := For("de")
	b.ReportAllocs()
	for b.Loop() {
		de.Count(14, "%d stitch", "%d stitches")
	}
}

func BenchmarkFor(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		For("", "uk", "de-AT")
	}
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := readCatalogs(files); err != nil {
			b.Fatal(err)
		}
	}
}
