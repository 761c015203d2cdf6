package commands

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestGroupFigures: sums over real projects, by hand: three scarves of 30
// stitches in a row.
func TestGroupFigures(t *testing.T) {
	m := newMemory()
	m.projects.now, m.alongs.now = asker.Now, asker.Now
	scarf := m.along(MakeAlong{Name: "Scarves", Course: Course{Pattern: "scarf"}}, AlongOpen)
	for i, rows := range []int{10, 25, 40} {
		who := member(fmt.Sprint("maker ", i), "Maker")
		p := m.says(t, who, "/project start name:Scarf rows:40 stitches:30").Data.(projectData).Project
		m.says(t, who, "/project note left:200 g")
		m.says(t, who, fmt.Sprintf("/project row n:+%d", rows))
		m.says(t, who, fmt.Sprintf("/project note left:%d g", 200-2*rows))
		if rows == 40 {
			m.says(t, who, "/project finish")
		}
		m.join(scarf, Participant{Member: who.Member.ID, Project: p})
		made, err := groupFigures(context.Background(), m.services(), scarf)
		if err != nil {
			t.Fatal(err)
		}
		if i < 2 && (made.Told || len(made.sentences(inEnglish)) > 0) {
			t.Fatalf("the sums of %d members are told", i+1)
		}
	}
	made, err := groupFigures(context.Background(), m.services(), scarf)
	if err != nil || made.Rows != 75 || made.Stitches != 2250 || made.Finished != 1 || math.Abs(made.Grams-150) > 0.01 {
		t.Fatalf("%+v, %v", made, err)
	}
	want := "Together: 2250 stitches in 75 rows. 1 project is finished; the others grow on. About 150 g of yarn found their form, as far as it was weighed."
	if got := strings.Join(made.sentences(inEnglish), " "); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	// A project that was erased is left out, not a fault.
	m.projects.books = m.projects.books[1:]
	if made, err = groupFigures(context.Background(), m.services(), scarf); err != nil || made.Stitches != 1050 {
		t.Errorf("after an erasure: %+v, %v", made, err)
	}
}

func TestKeepsake(t *testing.T) {
	m := withSwatch()
	r := Request{Call: asker}
	file, err := keepsake(context.Background(), m.services(), r, *m.alongs.at(1))
	if err != nil {
		t.Fatal(err)
	}
	want := `# Harbour make-along

Made together: cardigan. It began on Sunday 15 February 2026.

## The calendar

1. The back, Sunday 8 March 2026
2. The fronts, Sunday 22 March 2026
3. The sleeves, Sunday 5 April 2026
4. Band, seams and buttons, Sunday 12 April 2026

## Who was there

Ana, Mira, and 2 more makers.

## What was made

Together: 1691 stitches in 100 rows. About 80 g of yarn found their form, as far as it was weighed.

## What was shown

- “The hem, in moss green”, by Ana, 24 February (https://chat.example/7)

## Farewell

Thank you for the company. Each piece is as individual as the hands that made it, and what still grows has all the time it wants.
`
	if got := string(file.Body); got != want {
		t.Errorf("the keepsake:\n%s", got)
	}
	if file.Name != "harbour-make-along-keepsake.md" {
		t.Errorf("its name: %s", file.Name)
	}
}

var marked = regexp.MustCompile("(^|[^\\\\])[*_`\\[\\]<>#|~]")

// TestKeepsakeKeepsSecrets: nobody unnamed stands in it, and no member's text is
// read as markup.
func TestKeepsakeKeepsSecrets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, all, said := anyGroup(t)
		words := rapid.StringMatching("[a-z*_`<>#|~\\[\\]\\\\\n \u202e\u2066\u200f\x1b]{1,30}").Draw(t, "words")
		shown := []Shared{{Member: "secret-1", Text: words, At: asker.Now}}
		text := keepsakeText(standing(inEnglish, m, all, said), all, shown, figures{})
		if strings.Contains(text, "secret") {
			t.Fatalf("it tells of somebody:\n%s", text)
		}
		line := ""
		for _, l := range strings.Split(text, "\n") {
			if strings.HasPrefix(l, "- ") {
				line = l
			}
		}
		if bad := marked.FindString(strings.ReplaceAll(line, `\\`, "")); bad != "" {
			t.Fatalf("%q in %q is markup", bad, line)
		}
		if strings.ContainsAny(text, "\u202e\u2066\u200f\x1b") {
			t.Fatalf("%q turns the text around", text)
		}
	})
}
