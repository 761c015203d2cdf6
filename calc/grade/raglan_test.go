package grade

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

// yokeCounter counts the stitches of a raglan after each round from what is
// said of its panels: each grows at two edges, and there are two of each.
func yokeCounter(s Section) []int {
	counts := make([]int, s.Rows)
	for _, p := range []Panel{s.Panels.Body, s.Panels.Sleeve} {
		n, row := p.Start, 0
		for _, e := range p.Every {
			for range e.Times {
				for range e.Rows - 1 {
					counts[row] += 2 * n
					row++
				}
				n += 2 * e.Each
				counts[row] += 2 * n
				row++
			}
		}
		for ; row < s.Rows; row++ {
			counts[row] += 2 * n
		}
		if n != p.End {
			return nil
		}
	}
	return counts
}

// parts are the yoke, the lower body and the sleeve of a raglan.
func parts(g *Garment) (yoke, body, sleeve Section) {
	return g.Pieces[0].Sections[0], g.Pieces[0].Sections[1], g.Pieces[1].Sections[0]
}

// TestYokeByPercentages makes the worked example of a body of 200 stitches: an
// upper sleeve of 33 %, an underarm of 8 %, so a yoke of
// 200 + 2·66 − 4·16 = 268 stitches, 84 each for front and back and 50 for each
// sleeve.
// Source: E. Zimmermann, Knitting Without Tears, 1971, and Knitting Around,
// 1989: the percentage system.
func TestYokeByPercentages(t *testing.T) {
	cm := measure.FromMM
	var ease measure.Length
	p, _ := pattern.Find("raglan")
	g, err := Make(p, Order{Gauge: gauge.Gauge{Stitches: 20, Rows: 14}, Ease: &ease, Body: sizing.Body{
		sizing.Chest: cm(1000), sizing.UpperArm: cm(330 / 1.08), sizing.CrossBack: cm(400), sizing.BackLength: cm(440),
		sizing.ArmLength: cm(440), sizing.ArmholeDepth: cm(190), sizing.Head: cm(560)}})
	if err != nil {
		t.Fatal(err)
	}
	yoke, body, sleeve := parts(g)
	got := []int{body.Start, sleeve.Start, body.Underarm, yoke.End, yoke.Panels.Body.End, yoke.Panels.Sleeve.End}
	if want := []int{200, 66, 16, 268, 84, 50}; fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("body, sleeve, underarm, yoke, front, sleeve panel: %v, want %v", got, want)
	}
}

// TestYokeArrives holds every raglan to what its makers count on: the panels
// and the underarms make body and sleeves, stitch for stitch, the underarm is
// about 8 % of the body (source as above), and the last increase falls into
// the last rounds, so that the depth is used.
func TestYokeArrives(t *testing.T) {
	made := 0
	everyGarment(t, func(t *testing.T, name string, g *Garment, o Order) {
		if g.Pattern.Name != "raglan" {
			return
		}
		made++
		yoke, body, sleeve := parts(g)
		b, l, under := yoke.Panels.Body, yoke.Panels.Sleeve, body.Underarm
		for _, sum := range []struct {
			what      string
			got, want int
		}{
			{"neck", yoke.Start, 2*b.Start + 2*l.Start},
			{"yoke", yoke.End, 2*b.End + 2*l.End},
			{"body", body.Start, 2*b.End + 2*under},
			{"sleeve", sleeve.Start, l.End + under},
			{"body, sleeves and underarms", yoke.End, body.Start + 2*sleeve.Start - 4*under},
		} {
			if sum.got != sum.want {
				t.Errorf("%s: %s has %d stitches, its parts %d", name, sum.what, sum.got, sum.want)
			}
		}
		if want := 0.08 * float64(body.Start); math.Abs(float64(under)-want) > 2 {
			t.Errorf("%s: %d stitches under each arm of a body of %d", name, under, body.Start)
		}
		for _, p := range []Panel{b, l} {
			if p.End < p.Start {
				t.Errorf("%s: a panel goes from %d to %d", name, p.Start, p.End)
			}
			last := 0
			for _, e := range p.Every {
				last = max(last, e.Rows)
			}
			if p.Rest > last {
				t.Errorf("%s: %d plain rounds at the end of the yoke, increases stand at most %d apart", name, p.Rest, last)
			}
		}
		if front, sides := yoke.Panels.Body.Start, yoke.Panels.Sleeve.Start; front < 2*sides {
			t.Errorf("%s: the neck has %d stitches in front and %d on each shoulder", name, front, sides)
		}
	})
	if made == 0 {
		t.Fatal("no raglan was made")
	}
}

// TestSleeveStandsOnTheUnderarm reads the rounds where body and sleeves part.
func TestSleeveStandsOnTheUnderarm(t *testing.T) {
	everyGarment(t, func(t *testing.T, name string, g *Garment, o Order) {
		if g.Pattern.Name != "raglan" {
			return
		}
		yoke, body, sleeve := parts(g)
		text := notation.Print(g.Written, notation.PrintOptions{Terms: notation.US})
		for _, want := range []string{
			fmt.Sprintf("[hdc in next %d sts, ch %d, sk next %d sts] 2 times", yoke.Panels.Body.End, body.Underarm, yoke.Panels.Sleeve.End),
			fmt.Sprintf("[hdc in next %d sts, hdc in next %d chs] 2 times", yoke.Panels.Body.End, body.Underarm),
			fmt.Sprintf("working evenly along the sleeve stitches of the yoke, hdc in next %d sts", yoke.Panels.Sleeve.End),
			fmt.Sprintf("(%d sts)", sleeve.End),
		} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the rows don't say %q", name, want)
			}
		}
	})
}

// TestSleeveIsDrawn: a sleeve that is picked up is a piece like others, a
// neckband is only told.
func TestSleeveIsDrawn(t *testing.T) {
	everyGarment(t, func(t *testing.T, name string, g *Garment, o Order) {
		if g.Pattern.Name != "raglan" {
			return
		}
		for _, p := range g.Pieces {
			if drawn := len(p.Outline.Points) > 0; drawn != (p.Name != "Neckband") {
				t.Errorf("%s: %s is drawn: %v", name, p.Name, drawn)
			}
		}
		_, _, sleeve := parts(g)
		wide := 0.
		for _, p := range g.Pieces[1].Outline.Points {
			wide = max(wide, p.X)
		}
		if want := float64(sleeve.Start) * sleeve.StitchWidth / 4; math.Abs(wide-want) > 0.01 {
			t.Errorf("%s: the sleeve is drawn %.1f mm wide on each side, want %.1f", name, wide, want)
		}
	})
}
