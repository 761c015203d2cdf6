package regauge

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/fabric"
	"countwright/calc/gauge"
	"countwright/calc/notation"
)

func remake(text string, o Order) (*Remade, error) {
	return Remake(notation.Parse(text, notation.Options{}), o)
}

const square = "Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (20)\nRows 2–20: Ch 1, sc in each st across, turn. (20)\nFasten off.\n"

func TestRefuses(t *testing.T) {
	good := gauge.Gauge{Stitches: 14, Rows: 10}
	var fault *FaultError
	if _, err := remake(strings.Replace(square, "(20)", "(21)", 1), Order{From: good, To: good}); !errors.As(err, &fault) || len(fault.Findings) == 0 {
		t.Errorf("a pattern that does not hold: %v", err)
	}
	var figure *gauge.RangeError
	for _, bad := range []Order{{From: good}, {To: good}, {From: good, To: gauge.Gauge{Stitches: math.NaN(), Rows: 10}}} {
		if _, err := remake(square, bad); !errors.As(err, &figure) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	var size *SizeError
	for _, n := range []int{-1, 1} {
		if _, err := remake(square, Order{From: good, To: good, Size: n}); !errors.As(err, &size) || size.Sizes != 1 {
			t.Errorf("size %d: %v", n, err)
		}
	}
	var nothing *NothingError
	if _, err := remake("A fine day.\n", Order{From: good, To: good}); !errors.As(err, &nothing) || err.Error() != "the pattern has no rows" {
		t.Errorf("no rows: %v", err)
	}
	unlike := "Ch 11\nRow 1: sc in 2nd ch from hook and in each ch across (10)\n"
	for i := 2; i < 9; i++ {
		unlike += fmt.Sprintf("Row %d: ch 1, sc in next %d sts, hdc in each st across (10)\n", i, i)
	}
	_, err := remake(unlike, Order{From: good, To: gauge.Gauge{Stitches: 18, Rows: 12}})
	if !errors.As(err, &nothing) || nothing.Left[0].Wide == 0 || !strings.Contains(err.Error(), "each row differs from the others") {
		t.Errorf("rows that all differ: %v", err)
	}
}

// Laws: at its own gauge a pattern keeps every count; at another its widths
// come within a stitch at each edge, and its height within a row and half a row for each section; equal
// counts stay equal.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := drawGarment(t)
		doc := notation.Parse(text, notation.Options{})
		was := fabric.Work(doc, fabric.Options{})
		if !was.OK() {
			t.Fatalf("the drawn garment does not hold: %s\n%s", was.Findings[0].Message, text)
		}
		from := gauge.Gauge{Stitches: rapid.Float64Range(9, 30).Draw(t, "stitches"), Rows: rapid.Float64Range(6, 34).Draw(t, "rows")}
		same, err := Remake(doc, Order{From: from, To: from})
		if err != nil {
			t.Fatalf("at its own gauge: %v\n%s", err, text)
		}
		for _, s := range same.Pieces[0].Sections {
			if s.Was != s.Now {
				t.Fatalf("at its own gauge %+v becomes %+v\n%s\n%s", s.Was, s.Now, text, same.Text)
			}
		}
		finer := rapid.Float64Range(0.75, 1.6).Draw(t, "finer") // yarns differ more than the form of stitches does
		o := Order{From: from, To: gauge.Gauge{Stitches: from.Stitches * finer, Rows: from.Rows * finer * rapid.Float64Range(0.9, 1.12).Draw(t, "form")}}
		got, err := Remake(doc, o)
		if err != nil {
			var proof *ProofError
			var nothing *NothingError
			if errors.As(err, &proof) || !errors.As(err, &nothing) {
				t.Fatalf("%v\n%s", err, text)
			}
			return // refused with a reason
		}
		sections := got.Pieces[0].Sections
		tall, now := 0., map[int]int{}
		for _, s := range sections {
			wide, high := s.Deviation(o)
			tall += high
			if limit := 3 * o.To.StitchWidth(); math.Abs(wide) > limit { // where few rows hold the shaping, stitches more
				t.Fatalf("%s comes %.1f mm off, allowed are %.1f\n%s\n%s", s.Name, wide, limit, text, got.Text)
			}
			for _, pair := range [][2]int{{s.Was.Start, s.Now.Start}, {s.Was.End, s.Now.End}} {
				if n, had := now[pair[0]]; had && n != pair[1] {
					t.Fatalf("%d stitches become %d and %d\n%s", pair[0], n, pair[1], text)
				}
				now[pair[0]] = pair[1]
			}
		}
		if limit := (1 + 0.5*float64(len(sections))) * o.To.RowHeight(); math.Abs(tall) > limit {
			t.Fatalf("it comes %.1f mm taller, allowed are %.1f\n%s\n%s", tall, limit, text, got.Text)
		}
	})
}

// drawGarment writes a flat piece of even and shaped stretches.
func drawGarment(t *rapid.T) string {
	st := rapid.SampledFrom([]string{"sc", "hdc"}).Draw(t, "stitch")
	n := rapid.IntRange(24, 90).Draw(t, "width")
	var b strings.Builder
	fmt.Fprintf(&b, "Ch %d.\nRow 1: %s in 2nd ch from hook and in each ch across, turn. (%d)\n", n+1, st, n)
	row := 1
	plain := fmt.Sprintf("Ch 1, %s in each st across, turn.", st)
	even := func(k int) {
		fmt.Fprintf(&b, "Rows %d–%d: %s (%d)\n", row+1, row+k, plain, n)
		row += k
	}
	even(rapid.IntRange(3, 30).Draw(t, "first"))
	for range rapid.IntRange(0, 3).Draw(t, "stretches") {
		times := rapid.IntRange(2, 6).Draw(t, "times")
		gap := rapid.SampledFrom([]int{1, 2, 4}).Draw(t, "gap")
		grow := n < 30 || n < 80 && rapid.Bool().Draw(t, "grow")
		for range times {
			row++
			if grow {
				n += 2
				fmt.Fprintf(&b, "Row %d: Ch 1, 2 %s in first st, %s in each st across to last st, 2 %s in last st, turn. (%d)\n", row, st, st, st, n)
			} else {
				n -= 2
				fmt.Fprintf(&b, "Row %d: Ch 1, %s2tog, %s in each st across to last 2 sts, %s2tog, turn. (%d)\n", row, st, st, st, n)
			}
			for range gap - 1 {
				row++
				fmt.Fprintf(&b, "Row %d: %s (%d)\n", row, plain, n)
			}
		}
		even(rapid.IntRange(5, 20).Draw(t, "then"))
	}
	b.WriteString("Fasten off.\n")
	return b.String()
}

// Whatever is read must end, without a panic, in a pattern that holds or in a
// refusal.
func FuzzRemake(f *testing.F) {
	for _, seed := range []string{square, "Rnd 1: 6 sc in magic ring (6)\nRnd 2: inc x6 (12)\nRnds 3-9: sc around (12)",
		"Ch 44\nRow 1: dc in 6th ch from hook, *ch 1, sk 1, dc in next ch; rep from * across\nRows 2-9: ch 4, dc in next dc, *ch 1, dc in next dc; rep from * across",
		"Row 1: ch 20, turn, sc in each ch\nRow 2: sc in next 5, leave rem sts unworked. Fasten off\nRow 2: sk 5, rejoin yarn, sc across"} {
		f.Add(seed, 14., 10., 17., 12.)
	}
	f.Fuzz(func(t *testing.T, text string, a, b, c, d float64) {
		if len(text) > 2000 {
			return
		}
		r, err := remake(text, Order{From: gauge.Gauge{Stitches: a, Rows: b}, To: gauge.Gauge{Stitches: c, Rows: d}})
		if err == nil && !fabric.Work(notation.Parse(r.Text, notation.Options{Terms: r.Doc.Terms}), fabric.Options{}).OK() {
			t.Errorf("what is returned does not hold:\n%s", r.Text)
		}
	})
}

func TestStated(t *testing.T) {
	for _, c := range []struct {
		text string
		want gauge.Gauge
		ok   bool
		src  string
	}{
		{"Gauge: 14 sts and 10 rows = 10 cm", gauge.Gauge{Stitches: 14, Rows: 10}, true, "as it stands"},
		{"GAUGE 16 sc x 18 rows = 10cm", gauge.Gauge{}, false, "names stitches only: too little to go by"},
		{"gauge: 16 hdc sts and 12 rows = 4 in", gauge.Gauge{Stitches: 16 / 1.016, Rows: 12 / 1.016}, true, "by hand: 4 in = 10.16 cm"},
		{"Tension: 7 stitches and 5.5 rows to 5 cm, 5 mm hook", gauge.Gauge{Stitches: 14, Rows: 11}, true, "by hand: twice 5 cm"},
		{"Tension: 14 sts x 10 rows over 4\" (10 cm)", gauge.Gauge{Stitches: 14 / 1.016, Rows: 10 / 1.016}, true, "by hand: 4 in"},
		{"Work 14 sts and 10 rows, 10 cm", gauge.Gauge{}, false, "no word of gauge"},
		{"Gauge is not important", gauge.Gauge{}, false, "no figures"},
		{"Gauge: 900 sts and 10 rows = 10 cm", gauge.Gauge{}, false, "outside every gauge"},
	} {
		got, ok := Stated(c.text)
		if ok != c.ok || math.Abs(got.Stitches-c.want.Stitches) > 1e-9 || math.Abs(got.Rows-c.want.Rows) > 1e-9 {
			t.Errorf("%s: %v, %t (%s)", c.text, got, ok, c.src)
		}
	}
}

func BenchmarkRemake(b *testing.B) {
	doc := notation.Parse(square, notation.Options{})
	o := Order{From: gauge.Gauge{Stitches: 14, Rows: 10}, To: gauge.Gauge{Stitches: 17, Rows: 12}}
	for b.Loop() {
		if _, err := Remake(doc, o); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleRemake() {
	text := "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)\nRnd 3: *Sc in next st, 2 sc in next st; rep from * around. (18)\nRnds 4–6: Sc in each st around. (18)\n"
	r, err := Remake(notation.Parse(text, notation.Options{}), Order{
		From: gauge.Gauge{Stitches: 14, Rows: 14}, To: gauge.Gauge{Stitches: 18.7, Rows: 18.7}, Style: notation.StyleOf(text),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(r.Text)
	// Output:
	// Rnd 1: Magic ring, 6 sc in ring. (6)
	// Rnd 2: 2 sc in each st around. (12)
	// Rnd 3: *sc in next st, 2 sc in next st; rep from * around. (18)
	// Rnd 4: *sc in next 2 sts, 2 sc in next st; rep from * around. (24)
	// Rnds 5–8: Sc in each st around. (24)
}
