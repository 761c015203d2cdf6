package grade

import (
	"math"
	"testing"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/calc/stitch"
)

// heights of the stitches of the house patterns, single crochet = 1.
// Source: handbooks, from memory; the same proportions as standards of the
// trade give (sc 1, hdc 1.5, dc 2).
var heights = map[stitch.ID]float64{"sc": 1, "hdc": 1.5, "fpdc": 2, "bpdc": 2}

// wanted is the finished measurements of each house pattern, worked out here
// from the body once more, in millimetres.
var wanted = map[string]func(b body) map[string]float64{
	"cardigan": func(b body) map[string]float64 {
		ease := b.easeOr(math.Min(150, b.mm("chest")*0.14))
		d := dropShoulder(b, ease)
		band := math.Min(35, b.mm("chest")*0.045)
		return map[string]float64{"chest, buttoned": d.around, "length from shoulder": d.long, "armhole depth": d.armhole,
			"sleeve length": d.sleeve, "sleeve around the top": 2 * d.armhole, "sleeve around the cuff": d.cuff,
			"neck opening before the band": b.mm("cross back")*0.38 + 2*band}
	},
	"pullover": func(b body) map[string]float64 {
		ease := b.easeOr(math.Min(150, b.mm("chest")*0.14))
		d := dropShoulder(b, ease)
		band := math.Min(25, b.mm("chest")*0.035)
		return map[string]float64{"chest": d.around, "length from shoulder": d.long, "armhole depth": d.armhole,
			"sleeve length": d.sleeve, "sleeve around the top": 2 * d.armhole, "sleeve around the cuff": d.cuff,
			"neck opening before the band": math.Max(b.mm("cross back")*0.38+2*band, b.mm("head")*0.36)}
	},
	"vest": func(b body) map[string]float64 {
		around := b.mm("chest") + b.easeOr(math.Min(100, b.mm("chest")*0.1))
		armhole := b.mm("armhole depth")*1.1 + 10
		rib := math.Min(60, b.mm("armhole depth")*0.35)
		across := math.Min(b.mm("cross back")+10, around/2-40)
		band := math.Min(25, b.mm("chest")*0.03)
		return map[string]float64{"chest": around, "across the shoulders": across, "length from shoulder": math.Max(b.long(1.3), armhole+rib+80),
			"armhole depth before the edging": armhole, "neck opening before the band": math.Max(across*0.38+band, b.mm("head")*0.3)}
	},
	"raglan": func(b body) map[string]float64 {
		ease := b.easeOr(math.Min(80, b.mm("chest")*0.1))
		depth := math.Min(b.mm("armhole depth")+30, b.mm("armhole depth")*1.25)
		rib := math.Min(60, b.mm("armhole depth")*0.35)
		return map[string]float64{"chest": b.mm("chest") + ease, "around the neck before the band": math.Max(b.mm("cross back")*1.05, b.mm("head")*0.94),
			"depth of the yoke": depth, "length from the neck": math.Max(b.long(1.32), depth+rib+80),
			"sleeve length from the underarm": math.Max(b.mm("arm length"), rib+60),
			"sleeve around the top":           math.Max(b.mm("upper arm")+ease*0.6, b.mm("upper arm")*1.08), "sleeve around the cuff": b.mm("upper arm")*0.5 + 50}
	},
	"hat": func(b body) map[string]float64 {
		return map[string]float64{"around": b.mm("head") + b.easeOr(-0.06*b.mm("head")), "height from crown to brim": b.mm("head") * 0.38}
	},
	"mitts": func(b body) map[string]float64 {
		return map[string]float64{"around the hand": b.mm("hand") + b.easeOr(-0.06*b.mm("hand")), "length": b.mm("hand length") * 0.82}
	},
	"slippers": func(b body) map[string]float64 {
		return map[string]float64{"around the foot": b.mm("foot") + b.easeOr(-0.06*b.mm("foot")), "length": b.mm("foot length") - 15}
	},
	"blanket": func(b body) map[string]float64 {
		return map[string]float64{"width": b.ask("width"), "length": b.ask("length")}
	},
	"scarf": func(b body) map[string]float64 {
		return map[string]float64{"width": b.ask("width"), "length": b.ask("length")}
	},
	"shawl": func(b body) map[string]float64 {
		return map[string]float64{"width of the upper edge": b.ask("width"), "depth": b.ask("width") / 2}
	},
	"crescent": func(b body) map[string]float64 {
		return map[string]float64{"width of the upper edge": b.ask("width"), "depth": b.ask("width") / 3.4}
	},
	"circle": func(b body) map[string]float64 {
		return map[string]float64{"around the edge": b.ask("width") * math.Pi}
	},
	"ball": func(b body) map[string]float64 {
		return map[string]float64{"from pole to pole over the surface": b.ask("width") * math.Pi / 2}
	},
	// Half a circle and a quarter of an ellipse of axes 1 and 1.5 about the
	// radius, the latter by Ramanujan's approximation (1914).
	"egg": func(b body) map[string]float64 {
		quarter := math.Pi / 4 * (3*2.5 - math.Sqrt((3*1.5+1)*(1.5+3)))
		return map[string]float64{"from pole to pole over the surface": b.ask("width") / 2 * (math.Pi/2 + quarter)}
	},
	"bolster": func(b body) map[string]float64 {
		return map[string]float64{"around": b.ask("width") * math.Pi, "length": b.ask("length")}
	},
	"bag": func(b body) map[string]float64 {
		return map[string]float64{"width, laid flat, times two": b.ask("width") * 2, "height of the sides": b.ask("length"), "strap": 750}
	},
}

// body is an order as the figures above read it.
type body struct{ Order }

func (b body) mm(m sizing.Measure) float64 { return b.Body[m].MM() }
func (b body) ask(name string) float64     { return b.Asks[name].MM() }

func (b body) easeOr(usual float64) float64 {
	if b.Ease != nil {
		return b.Ease.MM()
	}
	return usual
}

// long is a length from the shoulder: a part of the back length, or, where the
// table has none, the back hip length.
func (b body) long(part float64) float64 {
	if l, ok := b.Body[sizing.BackLength]; ok {
		return l.MM() * part
	}
	return b.mm(sizing.HipLength)
}

type drop struct{ around, armhole, long, sleeve, cuff float64 }

// dropShoulder is what both drop-shoulder garments share.
func dropShoulder(b body, ease float64) drop {
	d := drop{around: b.mm("chest") + ease}
	d.armhole = math.Max(b.mm("armhole depth")*1.2, b.mm("upper arm")/2+20)
	rib := math.Min(60, b.mm("armhole depth")*0.35)
	d.long = math.Max(b.long(1.35), d.armhole+rib+80)
	d.sleeve = math.Max(b.mm("centre back to wrist")-d.around/4, rib+60)
	d.cuff = b.mm("upper arm")*0.55 + 45
	return d
}

// TestGarmentsFromRawGeometry works every house pattern in every size at five
// gauges out once more: targets from the body, lengths from the counts alone,
// row counts by a counter of its own.
func TestGarmentsFromRawGeometry(t *testing.T) {
	for _, p := range pattern.House() {
		if wanted[p.Name] == nil {
			t.Errorf("%s: nothing says what is wanted of it", p.Name)
		}
	}
	everyGarment(t, func(t *testing.T, name string, g *Garment, o Order) {
		if wanted[g.Pattern.Name] == nil {
			return
		}
		want := wanted[g.Pattern.Name](body{o})
		for _, f := range g.Finished {
			target, ok := want[f.Name]
			if !ok || math.Abs(f.Target-target) > 0.01*target/100 { // π is written with four decimals
				t.Errorf("%s: %s is drawn to %.2f mm, worked out here %.2f", name, f.Name, f.Target, target)
			}
			if math.Abs(f.MM-target) > f.Unit/2+0.2 && len(f.Forced) == 0 {
				t.Errorf("%s: %s comes to %.1f mm, %.1f is wanted, and no rule is named", name, f.Name, f.MM, target)
			}
		}
		for _, piece := range g.Pieces {
			checkPiece(t, name, piece, g)
		}
		checkEdges(t, name, g)
	})
}

// checkPiece holds a piece's sections to the gauge, and its rows to a counter
// that knows only the sections.
func checkPiece(t *testing.T, name string, p Piece, g *Garment) {
	t.Helper()
	main := heights[g.Pattern.Stitch]
	at := 0
	for _, s := range p.Sections {
		if math.Abs(s.StitchWidth-100/g.Order.Gauge.Stitches) > 1e-9 || math.Abs(s.RowHeight-100/g.Order.Gauge.Rows*heights[s.Stitch]/main) > 1e-9 {
			t.Fatalf("%s: %s %s is worked at %.3f × %.3f mm", name, p.Name, s.Name, s.StitchWidth, s.RowHeight)
		}
		counts := counter(s)
		if at+len(counts) > len(p.Rows) || len(counts) != s.Rows {
			t.Fatalf("%s: %s %s has %d rows of %d", name, p.Name, s.Name, len(counts), len(p.Rows))
		}
		stitches := 0
		for i, n := range counts {
			row := p.Rows[at+i]
			stitches += n
			if i == 0 {
				n -= 2 * s.Underarm // chains, until the next round
			}
			if row.Count != n && !gaps(s, g, i) {
				t.Fatalf("%s: %s %s, %s has %d stitches, counted here %d", name, p.Name, s.Name, row.Label, row.Count, n)
			}
		}
		at += len(counts)
		// as many stitches as the area holds: to one row of shaping where it is straight
		area, fabric := s.Area(), float64(stitches)*s.StitchWidth*s.RowHeight
		straight := s.Shape == pattern.NoShape
		if straight && math.Abs(area-fabric) > 1e-6*area {
			t.Errorf("%s: %s %s has %.0f mm² by its counts, %.0f by its rows", name, p.Name, s.Name, area, fabric)
		}
	}
	if at != len(p.Rows) {
		t.Errorf("%s: %s has %d rows, its sections %d", name, p.Name, len(p.Rows), at)
	}
}

// gaps says whether a row's count leaves out chains: of buttonholes or an
// opening.
func gaps(s Section, g *Garment, row int) bool {
	return s.Opening > 0 && row == 0 || g.Buttons != nil && len(s.Picked) > 0 && row == (s.Rows+1)/2-1
}

// counter counts the stitches after each row of a section from its sums.
func counter(s Section) []int {
	if s.Panels != nil {
		return yokeCounter(s)
	}
	if s.Profile != nil && s.Shape != pattern.BothEdges {
		if s.Shape == pattern.Corners {
			corners := 0
			for _, p := range s.Picked {
				if p.Along == "" {
					corners++
				}
			}
			counts := make([]int, s.Rows)
			for i := range counts {
				counts[i] = s.Start + 2*corners*i
			}
			return counts
		}
		return s.Profile
	}
	counts := make([]int, s.Rows)
	n, row, sign := s.Start, 0, 1
	if s.End < s.Start {
		sign = -1
	}
	edges := 1
	if s.Shape == pattern.BothEdges {
		edges = 2
	}
	for _, e := range s.Every {
		for range e.Times {
			for range e.Rows - 1 {
				counts[row] = n
				row++
			}
			n += sign * e.Each * edges
			counts[row] = n
			row++
		}
	}
	for range s.Rest {
		counts[row] = n
		row++
	}
	if n != s.End {
		return nil
	}
	return counts
}

func checkEdges(t *testing.T, name string, g *Garment) {
	t.Helper()
	for _, j := range g.Joins {
		if j.ACount != j.BCount {
			t.Errorf("%s: %s: %d of %s meet %d of %s", name, j.Name, j.ACount, j.A, j.BCount, j.B)
		}
	}
	w := 100 / g.Order.Gauge.Stitches
	for _, m := range g.Meets {
		if math.Abs(m.AMM-float64(m.ACount)*w) > 1e-9 {
			t.Errorf("%s: %s: %d stitches are said to be %.2f mm", name, m.Name, m.ACount, m.AMM)
		}
		if m.BMM < float64(m.BCount)*100/g.Order.Gauge.Rows*0.6 || math.Abs(m.AMM-m.BMM) > m.Unit/2+1e-6 {
			t.Errorf("%s: %s: %.2f mm of %s meet %.2f mm of %s", name, m.Name, m.AMM, m.A, m.BMM, m.B)
		}
	}
}

// TestPrintedTextIsStable prints, reads and prints again, and goes from US to
// UK terms and back.
func TestPrintedTextIsStable(t *testing.T) {
	us, uk := notation.PrintOptions{Terms: notation.US}, notation.PrintOptions{Terms: notation.UK}
	n := 0
	everyGarment(t, func(t *testing.T, name string, g *Garment, o Order) {
		if n++; n%7 != 0 { // one in seven: all of them take long
			return
		}
		text := notation.Print(g.Written, us)
		if again := notation.Print(notation.Parse(text, notation.Options{Terms: notation.US}), us); again != text {
			t.Errorf("%s: printed, read and printed again it differs:\n%s", name, firstDifference(text, again))
		}
		british := notation.Print(g.Written, uk)
		if back := notation.Print(notation.Parse(british, notation.Options{Terms: notation.UK}), us); back != text {
			t.Errorf("%s: to UK terms and back it differs:\n%s", name, firstDifference(text, back))
		}
	})
}

func firstDifference(a, b string) string {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return a[max(0, i-60):min(len(a), i+60)] + "\n---\n" + b[max(0, i-60):min(len(b), i+60)]
		}
	}
	return "one is longer"
}

// TestOutlineHasTheAreaOfItsRows holds the drawing to the fabric: a flat
// piece's outline encloses what its sections hold.
func TestOutlineHasTheAreaOfItsRows(t *testing.T) {
	everyGarment(t, func(t *testing.T, name string, g *Garment, o Order) {
		for _, p := range g.Pieces {
			if len(p.Outline.Points) == 0 || p.Outline.Double {
				continue
			}
			want := 0.
			for i, s := range p.Sections {
				switch {
				case s.First == pattern.OnEdges:
				case s.Worked == pattern.Sideways: // drawn as wide as what it carries
					want += float64(s.Start) * s.StitchWidth * float64(p.Sections[i+1].Start) * p.Sections[i+1].StitchWidth
				default:
					want += s.Area()
				}
			}
			if got := area(p.Outline.Points); math.Abs(got-want) > 1e-6*want {
				t.Errorf("%s: %s is drawn with %.0f mm², its sections have %.0f", name, p.Name, got, want)
			}
		}
	})
}

// area of a polygon, by the shoelace formula.
func area(points []Point) float64 {
	sum := 0.
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return math.Abs(sum) / 2
}
