package gauge

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"countwright/calc/measure"

	"pgregory.net/rapid"
)

// TestParseAnyDress writes a gauge in the many ways that makers do and reads
// it back.
func TestParseAnyDress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		quarters := func(name string) (string, float64) {
			n := rapid.IntRange(8*4, 40*4).Draw(t, name)
			value := float64(n) / 4
			whole, part := fmt.Sprint(n/4), n%4
			if part == 0 {
				return whole, value
			}
			return rapid.SampledFrom([]string{
				fmt.Sprint(value), strings.Replace(fmt.Sprint(value), ".", ",", 1),
				whole + [...]string{"", "¼", "½", "¾"}[part], whole + " " + [...]string{"", "1/4", "1/2", "3/4"}[part],
			}).Draw(t, name+" written"), value
		}
		sts, stitches := quarters("stitches")
		rws, rows := quarters("rows")
		stitchWord := rapid.SampledFrom([]string{"", " sts", " st", "sts", " stitches", " sc", " dc", " hdc"}).Draw(t, "stitch word")
		rowWord := rapid.SampledFrom([]string{"", " rows", " r", "rows", " rnds", " rounds"}).Draw(t, "row word")
		by := rapid.SampledFrom([]string{"x", " x ", " × ", "×", " X ", " by ", " and ", " / ", " & "}).Draw(t, "by")
		over := rapid.SampledFrom([]struct {
			text string
			mm   float64
		}{
			{"", 100}, {" in 10 cm", 100}, {"/10cm", 100}, {" = 10 cm", 100}, {" per 10 x 10 cm", 100}, {" / 4in", 101.6}, {" = 4 in", 101.6},
			{` in 4"`, 101.6}, {" over 5 cm", 50}, {" to 1 in", 25.4}, {" in 10 cm x 10 cm", 100}, {" @ 15 cm", 150},
		}).Draw(t, "over")
		wantStitches, wantRows := stitches*100/over.mm, rows*100/over.mm
		if wantStitches > MaxStitches || wantRows > MaxRows {
			t.Skip("finer than any gauge")
		}
		text := sts + stitchWord + by + rws + rowWord + over.text
		g, err := Parse(text)
		if err != nil || math.Abs(g.Stitches-wantStitches) > 1e-9 || math.Abs(g.Rows-wantRows) > 1e-9 {
			t.Fatalf("%q is %v x %v, %v; want %v x %v", text, g.Stitches, g.Rows, err, wantStitches, wantRows)
		}
	})
}

// TestConvertExactly compares with exact fractions, looking at every allowed
// count in turn.
func TestConvertExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		quarter := func(name string) (float64, *big.Rat) {
			n := rapid.IntRange(4*4, 40*4).Draw(t, name)
			return float64(n) / 4, big.NewRat(int64(n), 4)
		}
		from, exactFrom := quarter("from")
		to, exactTo := quarter("to")
		count := rapid.IntRange(1, 300).Draw(t, "stitches")
		m := Multiple{rapid.IntRange(0, 12).Draw(t, "multiple"), rapid.IntRange(0, 9).Draw(t, "plus")}
		c, err := ConvertStitches(Gauge{from, 10}, Gauge{to, 10}, count, m)
		if err != nil {
			t.Fatal(err)
		}
		wanted := new(big.Rat).Quo(exactTo, exactFrom)
		wanted.Mul(wanted, big.NewRat(int64(count), 1))
		best, distance := 0, (*big.Rat)(nil)
		for n := 1; n <= 6000; n++ {
			if m.Of > 1 && (n < m.Plus+m.Of || (n-m.Plus)%m.Of != 0) || n < m.Plus {
				continue
			}
			off := new(big.Rat).Sub(big.NewRat(int64(n), 1), wanted)
			if off.Abs(off); distance == nil || off.Cmp(distance) <= 0 {
				best, distance = n, off
			}
		}
		if c.Count.Count != best {
			t.Fatalf("%d at %v is %d at %v (%v), exactly %d", count, from, c.Count.Count, to, m, best)
		}
		// What it comes to, and how far that is off.
		size := new(big.Rat).Quo(big.NewRat(int64(best)*100_000_000, 1), exactTo)
		target := new(big.Rat).Quo(big.NewRat(int64(count)*100_000_000, 1), exactFrom)
		off, _ := size.Sub(size, target).Float64()
		if math.Abs(float64(c.Deviation)-off) > 1.5 {
			t.Fatalf("deviation %d nm, exactly %v", c.Deviation, off)
		}
	})
}

// TestFollowLaws: what is followed at its own gauge comes out as planned; there
// and back again is where it began; tighter is smaller.
func TestFollowLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyGauge(t, "theirs"), anyGauge(t, "mine")
		planned := measure.Length(rapid.Int64Range(int64(5*cm), int64(MaxFinished/100)).Draw(t, "width"))
		same, err := Follow(a, a, planned, planned)
		if err != nil || same.Width.Comes != planned || same.Length.Comes != planned || same.Advice != Keep || same.Width.Percent != 0 {
			t.Fatalf("%+v, %v", same, err)
		}
		f, err := Follow(a, b, planned, 0)
		if err != nil {
			t.Fatal(err)
		}
		if b.Stitches > a.Stitches && f.Width.Comes > planned || b.Stitches < a.Stitches && f.Width.Comes < planned {
			t.Fatalf("%v at %v comes out as %v, planned %v", a, b, f.Width.Comes, planned)
		}
		if f.Width.Comes <= MaxFinished {
			back, err := Follow(b, a, f.Width.Comes, 0)
			if err != nil || math.Abs(float64(back.Width.Comes-planned)) > 2+100*float64(planned)/float64(max(f.Width.Comes, 1)) {
				t.Fatalf("%v there and back is %v, %v", planned, back.Width.Comes, err)
			}
		}
		if want := float64(f.Width.Comes)/float64(planned)*100 - 100; math.Abs(want-f.Width.Percent) > 1e-3 {
			t.Fatalf("%v per cent, want %v", f.Width.Percent, want)
		}
	})
}

// TestSwatchDoubtCovers: a quarter of a stitch miscounted and half a mark
// misread never lead further off than the doubt says, to first order.
func TestSwatchDoubtCovers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Swatch{
			Stitches: rapid.Float64Range(8, 60).Draw(t, "stitches"), Rows: rapid.Float64Range(8, 60).Draw(t, "rows"),
			Width: measure.Length(rapid.Int64Range(int64(8*cm), int64(30*cm)).Draw(t, "width")), Height: 12 * cm,
		}
		g, err := s.Gauge()
		if err != nil {
			t.Skip("no gauge")
		}
		d := s.Doubt()
		wrong := s
		wrong.Stitches += rapid.Float64Range(-Miscount, Miscount).Draw(t, "miscount")
		wrong.Width += measure.Length(rapid.Int64Range(-int64(measure.Millimetre)/2, int64(measure.Millimetre)/2).Draw(t, "misread"))
		h, err := wrong.Gauge()
		if err != nil {
			t.Skip("no gauge")
		}
		if off := math.Abs(h.Stitches/g.Stitches - 1); off > d.Stitches*1.01 {
			t.Fatalf("off by %v, the doubt is %v", off, d.Stitches)
		}
	})
}

// TestErrors: what a figure was, and its limits, can be read off the error.
func TestErrors(t *testing.T) {
	err := Gauge{0.1, 10}.Check()
	var figure *RangeError
	if !errors.As(err, &figure) || figure.What != "stitches in 10 cm" || figure.Value != 0.1 || figure.Low != MinStitches || figure.High != MaxStitches {
		t.Errorf("%+v", err)
	}
	_, err = Parse("14 stitches by ten")
	var form *measure.ParseError
	if !errors.As(err, &form) || form.Column != 16 || form.Text != "14 stitches by ten" || form.Example == "" {
		t.Errorf("%+v", err)
	}
	if _, err := Parse(strings.Repeat("14 ", 100)); !errors.As(err, &form) || len(form.Text) > 110 {
		t.Errorf("%v", err)
	}
	if _, err := Per(14, 10, 0); err == nil {
		t.Error("a gauge over nothing")
	}
}

func ExampleGauge_Text() {
	fmt.Println(Gauge{14, 10}.Text(measure.Centimetres))
	// Output: 14 sts and 10 rows in 10 cm
}

func ExampleGauge_Check() {
	fmt.Println(Gauge{0.1, 10}.Check())
	// Output: 0.1 stitches in 10 cm: allowed are 1 to 80
}

func ExampleGauge_StitchWidth() {
	g := Gauge{16, 20}
	fmt.Println(g.StitchWidth(), g.RowHeight())
	// Output: 6.25 5
}

func ExampleMultiple_Fits() {
	m := Multiple{6, 2}
	fmt.Println(m, m.Fits(86), m.Fits(87))
	// Output: multiple of 6 + 2 true false
}

func ExampleOutcome_Deviation() {
	f, _ := Follow(Gauge{14, 10}, Gauge{16, 10}, 112*measure.Centimetre, 0)
	fmt.Println(f.Width.Deviation().Signed(measure.Centimetres))
	// Output: -14 cm
}
