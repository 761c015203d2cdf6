package stitch_test

import (
	"fmt"

	"countwright/calc/stitch"
)

// The same place of a pattern, read in three dialects.
func ExampleNamed_dialects() {
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK, stitch.Older} {
		id := stitch.Named("double crochet", d)[0]
		s, _ := stitch.Lookup(id)
		fmt.Printf("%v: %s, height %g, turning chain %d (%v counts)\n", d, s.US.Name, s.Height, s.Chain, s.Counts)
	}
	// Output:
	// US: double crochet, height 2, turning chain 3 (usually counts)
	// UK: single crochet, height 1, turning chain 1 (usually not counts)
	// older: single crochet, height 1, turning chain 1 (usually not counts)
}

// A decrease that no row of the files holds.
func ExampleLookup_family() {
	s, _ := stitch.Lookup("bptr4tog")
	fmt.Println(s.US.Name)
	fmt.Println("a form of", s.Base+",", s.Kind, "uses", s.Consumes, "makes", s.Makes)
	// Output:
	// back post treble crochet 4 together
	// a form of bptr, together uses 4 makes 1
}

func ExampleStitch_In() {
	s, _ := stitch.Lookup("hdc2tog")
	fmt.Println(s.In(stitch.US).Short(), "=", s.In(stitch.UK).Short())
	// Output: hdc2tog = htr2tog
}

func ExampleWords_Short() {
	fan, _ := stitch.Lookup("fan")
	puff, _ := stitch.Lookup("puff")
	fmt.Println(fan.US.Short(), puff.US.Short()) // a name stands in for a missing abbreviation
	// Output: fan puff
}

// The make-up that is taken for granted is always said.
func ExampleStitch_assumed() {
	for _, id := range []stitch.ID{"shell", "5-dc shell"} {
		s, _ := stitch.Lookup(id)
		fmt.Printf("%s: %v %q\n", id, s.Parts, s.Assumed)
	}
	// Output:
	// shell: [{dc 5}] "5 {dc} in one place"
	// 5-dc shell: [{dc 5}] ""
}

// The stitches of a comparison of heights, from low to high.
func ExampleAll_heights() {
	for _, s := range stitch.All() {
		if s.Kind == stitch.Basic {
			fmt.Printf("%s %g, ", s.ID, s.Height)
		}
	}
	fmt.Println()
	// Output: sc 1, hdc 1.5, dc 2, tr 3, dtr 4, trtr 5, quadtr 6,
}
