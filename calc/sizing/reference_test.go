package sizing

import (
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"countwright/calc/measure"

	"pgregory.net/rapid"
)

// between reads y off at x with exact fractions, in the plainest way: find the
// two neighbours, draw the line. It knows only the inside of a table.
func between(xs, ys []Range, x measure.Length) (*big.Rat, bool) {
	middle := func(r Range) *big.Rat { return big.NewRat(int64(r.Low+r.High), 2) }
	at := big.NewRat(int64(x), 1)
	for i := range xs[1:] {
		low, high := middle(xs[i]), middle(xs[i+1])
		if at.Cmp(low) < 0 || at.Cmp(high) > 0 || low.Cmp(high) == 0 {
			continue
		}
		part := new(big.Rat).Quo(new(big.Rat).Sub(at, low), new(big.Rat).Sub(high, low))
		rise := new(big.Rat).Sub(middle(ys[i+1]), middle(ys[i]))
		return rise.Add(rise.Mul(rise, part), middle(ys[i])), true
	}
	return nil, false
}

// TestCompleteExactly compares what is filled in with exact fractions.
func TestCompleteExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := rapid.SampledFrom(Tables()).Draw(t, "table")
		key := tab.Rows[0]
		low, high := key.Ranges[0].Middle(), key.Ranges[len(key.Ranges)-1].Middle()
		x := measure.Length(rapid.Int64Range(int64(low), int64(high)).Draw(t, "key"))
		c, err := tab.Complete(Body{tab.Key: x})
		if err != nil || c.Beyond != 0 {
			t.Fatalf("%v: beyond %v, %v", x, c.Beyond, err)
		}
		for _, row := range tab.Rows[1:] {
			want, inside := between(key.Ranges, row.Ranges, x)
			if !inside {
				t.Fatalf("%v is not inside", x)
			}
			exact, _ := want.Float64()
			if math.Abs(float64(c.Body[row.Measure])-exact) > 3 { // three nanometres
				t.Fatalf("%s at %v is %d nm, exactly %v", row.Measure, x, c.Body[row.Measure], exact)
			}
		}
	})
}

// TestFindNaively compares the size found with that of looking at every size.
func TestFindNaively(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := measure.Length(rapid.Int64Range(int64(20*cm), int64(200*cm)).Draw(t, "chest"))
		fits, err := Find(Body{Chest: x})
		if err != nil {
			t.Fatal(err)
		}
		found := map[*Table]Fit{}
		for i, f := range fits {
			found[f.Table] = f
			if i > 0 && fits[i-1].Off.Abs() > f.Off.Abs() {
				t.Fatalf("%s comes before %s", fits[i-1].Table.Name, f.Table.Name)
			}
		}
		for _, tab := range Tables() {
			row, has := tab.Row(Chest)
			if !has {
				continue
			}
			least := measure.Length(math.MaxInt64)
			for _, r := range row.Ranges {
				off := measure.Length(0)
				if x < r.Low {
					off = r.Low - x
				} else if x > r.High {
					off = x - r.High
				}
				least = min(least, off)
			}
			f, listed := found[tab]
			if near := float64(least) <= Near*float64(x); near != listed {
				t.Fatalf("%s: nearest size is %v off, listed %v", tab.Name, least, listed)
			}
			if listed && f.Off.Abs() != least {
				t.Fatalf("%s: %s is %v off, another %v", tab.Name, f.Size.Name, f.Off, least)
			}
		}
	})
}

// TestSizeNamesInAnyDress: capitals, spaces and marks do not matter.
func TestSizeNamesInAnyDress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := rapid.SampledFrom(Tables()).Draw(t, "table")
		size := rapid.SampledFrom(tab.Sizes).Draw(t, "size")
		name := rapid.SampledFrom([]func(string) string{
			strings.ToLower, strings.ToUpper,
			func(s string) string { return "  " + s + " " },
			func(s string) string { return strings.ReplaceAll(s, " ", "-") },
			func(s string) string { return strings.ReplaceAll(s, " ", "") },
			func(s string) string { return "size " + s },
		}).Draw(t, "dress")(size.Name)
		found, err := tab.Size(name)
		if err != nil || found.Name != size.Name {
			t.Fatalf("%s %q is %q, %v", tab.Name, name, found.Name, err)
		}
		same, err := Named(strings.ToUpper(tab.Name))
		if err != nil || same != tab {
			t.Fatalf("%q: %v", tab.Name, err)
		}
	})
}

// TestSharedTablesStay: what a caller does to a list that it was given changes
// nobody else's.
func TestSharedTablesStay(t *testing.T) {
	Tables()[0] = nil
	Measures()[0] = "nonsense"
	Eases()[0] = Ease{}
	Blankets()[0] = Blanket{}
	body := table(t, "woman").Sizes[0].Body()
	body[Chest] = 0
	if Tables()[0] == nil || Measures()[0] != Chest || Eases()[0].Name == "" || Blankets()[0].Name == "" || table(t, "woman").Sizes[0].Body()[Chest] == 0 {
		t.Error("a shared list was changed")
	}
	if !slices.Contains(Measures(), FootLength) || len(Measures()) != len(details) {
		t.Errorf("%d measures, %d details", len(Measures()), len(details))
	}
}

// TestLimits: each measure has limits that are not mixed up, and refuses what
// lies outside, by name.
func TestLimits(t *testing.T) {
	for _, m := range Measures() {
		low, high := m.Limits()
		if !m.Known() || m.How() == "" || low <= 0 || high <= low || len(m.How()) > 90 {
			t.Errorf("%s: %v to %v, %q", m, low, high, m.How())
		}
		for _, l := range []measure.Length{0, -cm, low - 1, high + 1, measure.Limit} {
			err := Body{m: l}.Check()
			if err == nil || !strings.HasPrefix(err.Error(), string(m)+" of ") {
				t.Errorf("%s of %v: %v", m, l, err)
			}
		}
		if err := (Body{m: low}).Check(); err != nil {
			t.Error(err)
		}
		if err := (Body{m: high}).Check(); err != nil {
			t.Error(err)
		}
	}
	if Measure("elbow").Known() {
		t.Error("no garment answers to the elbow")
	}
}

func TestRange(t *testing.T) {
	r := Range{71 * cm, 76 * cm}
	for _, c := range []struct{ l, off measure.Length }{{70 * cm, -cm}, {71 * cm, 0}, {73 * cm, 0}, {76 * cm, 0}, {78 * cm, 2 * cm}} {
		if got := r.Off(c.l); got != c.off {
			t.Errorf("%v is %v off %v, want %v", c.l, got, r, c.off)
		}
	}
	for _, c := range []struct {
		r    Range
		u    measure.Unit
		want string
	}{
		{r, measure.Centimetres, "71 to 76 cm"}, {Range{42 * cm, 42 * cm}, measure.Centimetres, "42 cm"},
		{Range{34 * measure.Inch, 36 * measure.Inch}, measure.Inches, "34 to 36 in"}, {Range{measure.Inch / 2, measure.Inch}, measure.Inches, "1/2 to 1 in"},
	} {
		if got := c.r.Text(c.u); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if r.Middle() != 735*measure.Millimetre {
		t.Error(r.Middle())
	}
}
