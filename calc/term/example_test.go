package term_test

import (
	"fmt"
	"strings"

	"countwright/calc/stitch"
	"countwright/calc/term"
)

func ExampleAll() {
	for _, t := range term.All()[:3] {
		fmt.Println(t.ID, t.Abbr)
	}
	// Output:
	// yarn over [yo yoh yrh]
	// loop [lp lps]
	// working loop []
}

// A text of a data file is checked before anybody reads it.
func ExampleCheckText() {
	fmt.Println(term.CheckText("Work {dc2tog} and watch your {gauge}."))
	fmt.Println(term.CheckText("Work {dk2tog}."))
	// Output:
	// <nil>
	// {dk2tog} is neither a stitch nor a term
}

func ExampleTerm_Word() {
	t, _ := term.Lookup("bulky")
	fmt.Println(t.Word(stitch.US), "is", t.Word(stitch.UK))
	// Output: bulky is chunky
}

// Names for an index of one's own.
func ExampleStitchWords() {
	for _, w := range term.StitchWords("") {
		if w.Key == "dc" && w.Tag == "UK" {
			fmt.Println(w.Text)
		}
	}
	// Output:
	// treble
	// tr
	// treble crochet
	// treble stitch
}

// A word with two meanings is answered with both, the member's own first.
func ExampleExplain_falseFriend() {
	for _, a := range term.Explain("tr", stitch.UK, 2) {
		s, _ := stitch.Lookup(a.Stitch)
		fmt.Println(a.Tag, "tr is", s.US.Name, "in US terms")
	}
	// Output:
	// UK tr is double crochet in US terms
	// US tr is treble crochet in US terms
}

// A sign of a written row.
func ExampleExplain_sign() {
	a := term.Explain("**", stitch.US, 1)[0]
	fmt.Println(a.Term.US + ": " + term.Say(a.Term.Means, stitch.US))
	// Output: double star: The place where the last repeat stops. It says: ending last rep at **.
}

// What a stitch is called elsewhere.
func ExampleInOtherLanguages_all() {
	var all []string
	for _, f := range term.InOtherLanguages("sc") {
		all = append(all, f.Code+" "+f.Words[0])
	}
	fmt.Println(strings.Join(all, ", "))
	// Output: de feste Masche, nl vaste, fr maille serrée, es punto bajo, pt ponto baixo, it maglia bassa, da fastmaske, sv fastmaska, no fastmaske, ja 細編み
}
