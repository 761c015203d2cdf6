package words

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// TestDecimalsLaws: only points between digits change, into commas; a second
// time nothing does.
func TestDecimalsLaws(t *testing.T) {
	de := For("de")
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`([0-9]{0,3}[.,/a-z −%–]?){0,12}`)).Draw(t, "text")
		got := de.Decimals(text)
		if len(got) != len(text) || de.Decimals(got) != got {
			t.Fatalf("%q became %q, then %q", text, got, de.Decimals(got))
		}
		for i := range len(text) {
			if text[i] != got[i] && (text[i] != '.' || got[i] != ',' || !digitAt([]byte(text), i-1) || !digitAt([]byte(text), i+1)) {
				t.Fatalf("%q became %q", text, got)
			}
		}
		if For("en").Decimals(text) != text {
			t.Fatalf("English changed %q", text)
		}
	})
}

// TestSayingIsSafe: whatever a member wrote goes in as it is, verbs and all,
// in every language.
func TestSayingIsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(Languages).Draw(t, "language")
		wrote := rapid.OneOf(rapid.String(), rapid.StringMatching(`(%[dsv\[\]0-9!]?|[a-z]){0,8}`)).Draw(t, "wrote")
		p := For(l.Code)
		for _, said := range []string{
			p.Say("there is no command /%s", wrote),
			p.Say("%s has no piece “%s”; it has %s", wrote, "b", "c"),
			p.Count(2, "%d stitch", "%d stitches") + wrote,
		} {
			if !strings.Contains(said, wrote) || strings.Contains(strings.ReplaceAll(said, wrote, ""), "%!") {
				t.Fatalf("%s: %q is said as %q", l.Code, wrote, said)
			}
		}
	})
}

// FuzzFor: any locale, however broken, gives one of our languages.
func FuzzFor(f *testing.F) {
	for _, l := range Languages {
		f.Add(l.Code)
	}
	for _, locale := range []string{"", "es-419", "zh-Hant-TW", "i-klingon", "x-private", "de-", "\x00", "uk", "gsw", "en-US-u-ca-buddhist"} {
		f.Add(locale)
	}
	f.Fuzz(func(t *testing.T, locale string) {
		p := For(locale)
		if said := p.Count(1, "%d row", "%d rows"); !strings.HasPrefix(said, "1 ") {
			t.Errorf("%q speaks %s: %q", locale, p.Language().Code, said)
		}
		if code, ok := codeOf(locale); ok && !utf8.ValidString(code) {
			t.Errorf("%q has the code %q", locale, code)
		}
	})
}

func TestOrdinal(t *testing.T) {
	for _, c := range []struct {
		locale string
		n      Ordinal
		want   string
	}{
		{"en", 1, "1st"}, {"en", 2, "2nd"}, {"en", 3, "3rd"}, {"en", 4, "4th"}, {"en", 11, "11th"}, {"en", 112, "112th"}, {"en", 23, "23rd"},
		{"de", 3, "3."}, {"nl", 3, "3e"}, {"es-ES", 3, "3.ª"}, {"es-419", 21, "21.ª"},
	} {
		if got := For(c.locale).Say("%s", c.n); got != c.want {
			t.Errorf("%s: %d is %q, want %q", c.locale, c.n, got, c.want)
		}
	}
}

func TestInner(t *testing.T) {
	for _, c := range []struct {
		locale string
		key    Inner
		want   string
	}{
		{"en", "Width", "width"}, {"de", "Width", "Breite"}, {"nl", "Width", "breedte"}, {"es-ES", "Width", "ancho"},
		{"de", "What no catalog has", "what no catalog has"}, {"en", "", ""},
	} {
		if got := For(c.locale).Inner(c.key); got != c.want {
			t.Errorf("%s: %q within a sentence is %q, want %q", c.locale, c.key, got, c.want)
		}
	}
}
