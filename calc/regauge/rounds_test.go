package regauge

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/gauge"
	"countwright/calc/notation"
)

// Hats: whatever the gauge, the way around comes within two stitches, because
// one round may gain what is left over where that is worth a round; the crown
// keeps its increases a round.
func TestHatLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		each := rapid.IntRange(5, 10).Draw(t, "each")
		rounds := rapid.IntRange(3, 14).Draw(t, "rounds")
		var b strings.Builder
		fmt.Fprintf(&b, "Rnd 1: %d sc in magic ring. (%d)\nRnd 2: 2 sc in each st around. (%d)\n", each, each, 2*each)
		for i := 3; i <= rounds; i++ {
			fmt.Fprintf(&b, "Rnd %d: *sc in next %d sts, 2 sc in next st; rep from * around. (%d)\n", i, i-2, i*each)
		}
		fmt.Fprintf(&b, "Rnds %d–%d: Sc in each st around. (%d)\nFasten off.\n", rounds+1, rounds+rapid.IntRange(5, 30).Draw(t, "even"), rounds*each)
		finer := rapid.Float64Range(0.8, 1.6).Draw(t, "finer")
		o := Order{From: gauge.Gauge{Stitches: 16, Rows: 18}, To: gauge.Gauge{Stitches: 16 * finer, Rows: 18 * finer}}
		text := b.String()
		r, err := remake(text, o)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		last := r.Pieces[0].Sections[len(r.Pieces[0].Sections)-1]
		if wide, _ := last.Deviation(o); math.Abs(wide) > 2*o.To.StitchWidth() {
			t.Fatalf("it comes %.1f mm off, a stitch is %.1f\n%s\n%s", wide, o.To.StitchWidth(), text, r.Text)
		}
		odd := 0
		before := 0
		for _, row := range r.Result.Pieces[0].Rows {
			n := row.PerSize[0].Stitches
			if before > 0 && n != before && n-before != each {
				odd++
			}
			before = n
		}
		if odd > 1 {
			t.Fatalf("%d rounds gain another number than %d\n%s", odd, each, r.Text)
		}
	})
}

// Multiples: a stitch pattern of so many stitches keeps whole repeats, however
// its first and last stitches differ.
func TestMultipleLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.IntRange(1, 4).Draw(t, "single"), rapid.IntRange(1, 4).Draw(t, "half double")
		edge := rapid.IntRange(1, 3).Draw(t, "edge")
		times := rapid.IntRange(4, 12).Draw(t, "times")
		n := times*(a+b) + 2*edge
		row := fmt.Sprintf("sc in next %d sts, *sc in next %d sts, hdc in next %d sts; rep from * to last %d sts, sc in next %d sts", edge, a, b, edge, edge)
		text := fmt.Sprintf("Ch %d.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (%d)\nRows 2–20: Ch 1, %s, turn. (%d)\nFasten off.\n", n+1, n, row, n)
		finer := rapid.Float64Range(0.8, 1.6).Draw(t, "finer")
		o := Order{From: gauge.Gauge{Stitches: 14, Rows: 12}, To: gauge.Gauge{Stitches: 14 * finer, Rows: 12 * finer}}
		r, err := remake(text, o)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		for _, s := range r.Pieces[0].Sections {
			if (s.Now.End-2*edge)%(a+b) != 0 {
				t.Fatalf("%d stitches are no multiple of %d + %d\n%s", s.Now.End, a+b, 2*edge, r.Text)
			}
			if wide, _ := s.Deviation(o); math.Abs(wide) > (float64(a+b)/2+0.01)*o.To.StitchWidth() {
				t.Fatalf("it comes %.1f mm off, though half a repeat is %.1f\n%s", wide, float64(a+b)/2*o.To.StitchWidth(), r.Text)
			}
		}
	})
}

// A text is never made anew into one that its own check would fault.
func TestHouseStyleHolds(t *testing.T) {
	for _, style := range []notation.Style{{}, {Words: true}, {Count: "["}, {Count: "—"}, {Bare: true}, {Times: "x"}, {Round: "R", Row: "R"}} {
		text := "Ch 36, join to form a ring.\nRnd 1: Sc in each ch around, join. (36)\nRnd 2: [sc in next 10 sts, sc2tog] 3 times, join. (33)\nRnds 3–9: Sc in each st around, join. (33)\nFasten off.\n"
		_, err := Remake(notation.Parse(text, notation.Options{}), Order{From: gauge.Gauge{Stitches: 14, Rows: 14}, To: gauge.Gauge{Stitches: 19, Rows: 18}, Style: style})
		var proof *ProofError
		if errors.As(err, &proof) {
			t.Errorf("%+v: %v", style, err)
		}
	}
}
