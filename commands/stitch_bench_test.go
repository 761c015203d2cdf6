package commands

import (
	"context"
	"testing"

	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/calc/trouble"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

// Completion has 2 ms a keystroke, over the whole dictionary.
func BenchmarkComplete(b *testing.B) {
	set := readers[notation.US]()
	for _, c := range []struct {
		path, option string
		names        []string
	}{
		{"stitch", "name", stitchNames()}, {"term", "word", termNames()}, {"trouble", "symptom", symptoms()},
	} {
		b.Run(c.path, func(b *testing.B) {
			call := asker
			call.Path = c.path
			typed := keystrokes(c.names)
			set.Complete(context.Background(), call, c.option, "x") // the indexes are made once
			b.ResetTimer()
			for i := 0; b.Loop(); i++ {
				set.Complete(context.Background(), call, c.option, typed[i%len(typed)])
			}
		})
	}
}

func stitchNames() (names []string) {
	for _, s := range stitch.All() {
		names = append(names, s.US.Name, s.UK.Name)
	}
	return names
}

func termNames() (names []string) {
	for _, t := range term.All() {
		names = append(names, t.US)
	}
	return names
}

func symptoms() (names []string) {
	for _, t := range trouble.All(stitch.US) {
		names = append(append(names, t.Symptom), t.Asked...)
	}
	return names
}

// keystrokes is what stands in the field after each letter of each name, with
// a slip in every third.
func keystrokes(names []string) []string {
	var all []string
	for i, n := range names {
		runes := []rune(n)
		if i%3 == 0 && len(runes) > 4 {
			runes[2], runes[3] = runes[3], runes[2]
		}
		for end := range runes {
			all = append(all, string(runes[:end+1]))
		}
	}
	return all
}

// An answer has 5 ms as text and 40 ms with its picture.
func BenchmarkAnswer(b *testing.B) {
	set := readers[notation.US]()
	for name, line := range map[string]string{
		"stitch": "/stitch name:hdc level:maker", "stitch misspelt": "/stitch name:how do i singel crochet", "step": "/stitch name:dc step:3",
		"chart": "/stitch name:sc ribbing", "term": "/term word:dc", "words": "/term word:sk next st, hdc2tog blo", "trouble": "/trouble symptom:my coaster is all wavy increases:8 gauge:14x18",
		"help": "/help level:maker", "guide": "/help guide:first stitches",
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if r := set.RunLine(context.Background(), asker, line); r.Error != nil {
					b.Fatal(*r.Error)
				}
			}
		})
		b.Run(name+" with pictures", func(b *testing.B) {
			for b.Loop() {
				for _, p := range set.RunLine(context.Background(), asker, line).Parts {
					if p, ok := p.(reply.Picture); ok {
						if _, err := picture.PNG(p.Drawing, picture.PNGOptions{}); err != nil {
							b.Fatal(err)
						}
					}
				}
			}
		})
	}
}
