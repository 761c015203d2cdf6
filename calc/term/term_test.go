package term

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"countwright/calc/stitch"
)

const goodTerm = `[[term]]
id = "skip"
us = "skip"
uk = "miss"
means = "Pass over a stitch."
source = "here"
`

func TestFaultyTermsAreNamed(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`id = "skip"`, ``, `id is missing`},
		{`us = "skip"`, ``, `entry "skip": us is missing`},
		{`source = "here"`, ``, `entry "skip": source is missing`},
		{`means = "Pass over a stitch."`, ``, `entry "skip": means is missing`},
		{`a stitch.`, `a stitch`, `entry "skip": a text ends without a full stop`},
		{`a stitch.`, `a {dc.`, `entry "skip": a brace does not close`},
		{`a stitch.`, `a {banana}.`, `entry "skip": {banana} is neither a stitch nor a term`},
		{`a stitch.`, `a {dc:size}.`, `entry "skip": {dc:size} is neither`},
		{`source = "here"`, "source = \"here\"\nsee = [\"hop\"]", `entry "skip": see: "hop" is neither`},
		{`source = "here"`, "source = \"here\"\nstitch = \"hop\"", `entry "skip": stitch "hop" is not in`},
		{`source = "here"`, "source = \"here\"\n" + goodTerm, `entry "skip": the id stands twice`},
		{`means`, `meaning`, `meaning`},
	} {
		data := strings.Replace(goodTerm, c.old, c.new, 1)
		_, err := readTerms(fstest.MapFS{"a.toml": {Data: []byte(data)}}, []string{"a.toml"})
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "a.toml") {
			t.Errorf("%s for %s: the error is %v, want one with %q", c.new, c.old, err, c.want)
		}
	}
	if b, err := readTerms(fstest.MapFS{"a.toml": {Data: []byte(goodTerm)}}, []string{"a.toml"}); err != nil || len(b.terms) != 1 {
		t.Errorf("the good term: %v", err)
	}
}

func TestFaultyLanguagesAreNamed(t *testing.T) {
	const good = "language = \"German\"\ncode = \"de\"\nsource = \"from memory\"\n[stitches]\ndc = [\"Stäbchen\"]\n[terms]\nrow = [\"Reihe\"]\n"
	for _, c := range []struct{ old, new, want string }{
		{"dc =", "dk =", `entry "dk": is not in the dictionary`},
		{"row =", "rows =", `entry "rows": is not in the dictionary`},
		{`["Stäbchen"]`, `[]`, `entry "dc": has no word`},
		{`["Stäbchen"]`, `[""]`, `entry "dc": has an empty word`},
		{"source = \"from memory\"\n", "", `source is missing`},
		{"[terms]", "[sources]\nMasche = \"a book\"\n[terms]", `entry "Masche": sources: the word is not in the file`},
	} {
		data := strings.Replace(good, c.old, c.new, 1)
		_, err := readLanguages(fstest.MapFS{"de.toml": {Data: []byte(data)}}, []string{"de.toml"})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s for %s: the error is %v, want one with %q", c.new, c.old, err, c.want)
		}
	}
	withSource := good + "[sources]\n\"Stäbchen\" = \"a book\"\n"
	if _, err := readLanguages(fstest.MapFS{"de.toml": {Data: []byte(withSource)}}, []string{"de.toml"}); err != nil {
		t.Error(err)
	}
}

func TestEmbeddedFiles(t *testing.T) {
	if _, err := readTerms(glossaryFiles, glossaryNames); err != nil {
		t.Error(err)
	}
	if _, err := readLanguages(languageFiles, languageNames); err != nil {
		t.Error(err)
	}
	for folder, names := range map[string][]string{"glossary": glossaryNames, "languages": languageNames} {
		files := glossaryFiles
		if folder == "languages" {
			files = languageFiles
		}
		entries, err := files.ReadDir(folder)
		if err != nil || len(entries) != len(names) {
			t.Errorf("%s: %d files in the folder, %d are read (%v)", folder, len(entries), len(names), err)
		}
	}
}

// The ten languages that beginners ask in know the six stitches of every first
// pattern, each word with its source.
func TestLanguagesKnowTheBasics(t *testing.T) {
	for _, id := range []string{"ch", "sl st", "sc", "hdc", "dc", "tr", "inc", "dec", "mr", "hook", "row", "round", "gauge", "stitch"} {
		known := map[string]bool{}
		for _, f := range InOtherLanguages(id) {
			known[f.Code] = true
			if f.Source == "" || f.Language == "" {
				t.Errorf("%s in %s has no source", id, f.Code)
			}
		}
		for _, code := range []string{"de", "nl", "fr", "es", "pt", "it", "da", "sv", "no", "ja"} {
			if !known[code] {
				t.Errorf("%s is not known in %s", id, code)
			}
		}
	}
}

func TestSay(t *testing.T) {
	for _, c := range []struct {
		text   string
		us, uk string
	}{
		{"{Skip} one {dc}.", "Skip one dc.", "Miss one tr."},
		{"Work {sc:names}.", "Work single crochets.", "Work double crochets."},
		{"{Dc:name} and {sl st:names}.", "Double crochet and slip stitches.", "Treble and slip stitches."},
		{"Check your {gauge}.", "Check your gauge.", "Check your tension."},
		{"{dc2tog} with the colors of the center", "dc2tog with the colors of the center", "tr2tog with the colours of the centre"},
		{"Color the diameter by 3 meters", "Color the diameter by 3 meters", "Colour the diameter by 3 metres"},
		{"nothing to fill", "nothing to fill", "nothing to fill"},
		{"left as {it} stands", "left as {it} stands", "left as {it} stands"},
		{"an open {brace", "an open {brace", "an open {brace"},
	} {
		if got := Say(c.text, stitch.US); got != c.us {
			t.Errorf("US: %q, want %q", got, c.us)
		}
		if got := Say(c.text, stitch.UK); got != c.uk {
			t.Errorf("UK: %q, want %q", got, c.uk)
		}
	}
	if CheckText("{dc} and {gauge}") != nil || CheckText("{it}") == nil || CheckText("{dc") == nil {
		t.Error("CheckText is wrong about a text")
	}
}

func ExampleSay() {
	fmt.Println(Say("{Skip} one stitch, then {dc} in the next.", stitch.UK))
	// Output: Miss one stitch, then tr in the next.
}

func ExampleFriends() {
	for _, sense := range Friends("dc") {
		s, _ := stitch.Lookup(sense.Stitch)
		fmt.Println(sense.Dialect, "dc is US", s.US.Name)
	}
	// Output:
	// US dc is US double crochet
	// UK dc is US single crochet
	// older dc is US single crochet
}

func ExampleExplain() {
	for _, a := range Explain("what does miss mean", stitch.US, 3) {
		fmt.Println(a.Term.US, "=", a.Term.UK+":", Say(a.Term.Means, stitch.US))
	}
	// Output: skip = miss: Pass over a stitch and leave it empty. Work into the one after it.
}

func ExampleInOtherLanguages() {
	for _, f := range InOtherLanguages("dc")[:3] {
		fmt.Println(f.Language, f.Words[0])
	}
	// Output:
	// German Stäbchen
	// Dutch stokje
	// French bride
}

func ExampleLookup() {
	t, _ := Lookup("gauge")
	fmt.Println(t.Word(stitch.US), t.Word(stitch.UK))
	// Output: gauge tension
}

func TestCopiesAreIndependent(t *testing.T) {
	one, _ := Lookup("skip")
	one.Abbr[0] = "spoilt"
	if again, _ := Lookup("skip"); again.Abbr[0] != "sk" {
		t.Error("a caller changed the glossary")
	}
	if all := All(); len(all) < 150 || !slices.ContainsFunc(all, func(t Term) bool { return t.ID == "gauge" }) {
		t.Errorf("%d terms", len(all))
	}
}
