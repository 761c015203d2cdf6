package hook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// sheet is the stored conversion sheets, line by line: mm, US, old UK, Japan;
// a dash where the sheets have nothing. Names in brackets are of some only.
const sheet = `
2     (B-1)       14        2/0
2.25  B-1         13        -
2.3   -           -         3/0
2.5   (B-1/C-2)   12        4/0
2.75  C-2         (11/12)   -
3     -           11        5/0
3.125 D           -         -
3.25  D-3         10        -
3.5   E-4         9         6/0
3.75  F-5         -         -
4     G-6         8         7/0
4.25  G           -         -
4.5   7           7         7.5/0
5     H-8         6         8/0
5.25  I           -         -
5.5   I-9         5         9/0
5.75  J           -         -
6     J-10        4         10/0
6.5   K-10½       3         -
7     -           2         7_mm
7.5   -           1         -
8     L-11        0         8_mm
9     M/N-13      00        -
10    N/P-15      000       10_mm
11.5  P-16        -         -
12    (O/P)       -         12_mm
15    P/Q         -         15_mm
15.75 Q           -         -
16    Q           -         -
19    S-35        -         -
25    T/U/X       -         -
30    T/X         -         -`

// TestSheet holds every regular hook against the sheets.
// Source: Craft Yarn Council, hook table (from memory), three stored trade
// conversion sheets; Japanese trade numbering (from memory).
func TestSheet(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(sheet), "\n")
	hooks := All(Regular)
	if len(lines) != len(hooks) {
		t.Fatalf("%d hooks, %d in the sheets", len(hooks), len(lines))
	}
	for i, line := range lines {
		cells, h := strings.Fields(line), hooks[i]
		if got := strings.TrimSuffix(h.String(), " mm"); got != cells[0] {
			t.Errorf("hook %d is %s mm, in the sheets %s", i, got, cells[0])
		}
		for _, c := range []struct {
			what      string
			all, some []string
			cell      string
		}{
			{"US", h.US, h.SomeUS, cells[1]}, {"old UK", h.UK, h.SomeUK, cells[2]}, {"Japan", h.Japan, nil, strings.ReplaceAll(cells[3], "_", " ")},
		} {
			want := c.cell
			if inner, some := strings.CutPrefix(want, "("); some {
				names := strings.Split(strings.TrimSuffix(inner, ")"), "/")
				if len(c.all) != 0 || !slices.Equal(c.some, names) {
					t.Errorf("%v in %s: %v, by some %v; in the sheets by some %v", h, c.what, c.all, c.some, names)
				}
				continue
			}
			if got := strings.Join(c.all, " "); got != want && !(got == "" && want == "-") {
				t.Errorf("%v in %s is %q, in the sheets %q", h, c.what, got, want)
			}
		}
	}
}

// TestLace holds the Japanese lace hooks against their numbering (from
// memory).
func TestLace(t *testing.T) {
	want := map[string]float64{"0": 1.75, "2": 1.5, "4": 1.25, "6": 1, "8": 0.9, "10": 0.75, "12": 0.6, "14": 0.5}
	for _, h := range All(Lace) {
		if want[h.Japan[0]] != h.MM || h.Kind != Lace {
			t.Errorf("lace %s is %v, want %v", h.Japan[0], h, want[h.Japan[0]])
		}
	}
}

// TestThreadHooksContradict: the yarn table pairs steel 6, 7 and 8 with 1.6 to
// 1.4 mm, the steel table with 1.8, 1.65 and 1.5 mm. Both are as printed; the
// steel table is the one kept here.
func TestThreadHooksContradict(t *testing.T) {
	for name, mm := range map[string]float64{"steel 6": 1.8, "steel 7": 1.65, "steel 8": 1.5} {
		found, err := Find(name)
		if err != nil || len(found) != 1 || found[0].MM != mm {
			t.Errorf("%s: %v, %v; want %v mm", name, found, err, mm)
		}
	}
}

// TestNearestNaively looks at every hook.
func TestNearestNaively(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(2, Max).Draw(t, "mm")
		h, thicker, err := Nearest(mm)
		if err != nil || math.Abs(h.MM-mm-thicker) > 1e-3 {
			t.Fatalf("%v: %v, %v, %v", mm, h, thicker, err)
		}
		for _, other := range All(Regular) {
			if math.Abs(other.MM-mm) < math.Abs(h.MM-mm)-1e-9 {
				t.Fatalf("%v mm: %v is nearer than %v", mm, other, h)
			}
		}
		steps := rapid.IntRange(-30, 30).Draw(t, "steps")
		to, err := Step(mm, steps)
		if err != nil || !slices.Contains(common, to) || !slices.ContainsFunc(All(Regular), func(h Hook) bool { return h.MM == to }) {
			t.Fatalf("%d steps from %v: %v, %v", steps, mm, to, err)
		}
		on, _ := Step(mm, steps+1)
		if on < to {
			t.Fatalf("%d steps lead to %v, one more to %v", steps, to, on)
		}
	})
}

// TestFindInAnyDress: capitals, spaces, marks and the words around a name do
// not matter.
func TestFindInAnyDress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.SampledFrom(All(Regular)).Draw(t, "hook")
		names := append(slices.Clone(h.US), h.String())
		name := rapid.SampledFrom(names).Draw(t, "name")
		dress := rapid.SampledFrom([]func(string) string{
			strings.ToLower, strings.ToUpper,
			func(s string) string { return " " + s + " hook" },
			func(s string) string { return "size " + s },
			func(s string) string { return strings.ReplaceAll(s, "½", " 1/2") },
			func(s string) string { return strings.ReplaceAll(s, "-", " ") },
			func(s string) string { return strings.ReplaceAll(strings.ReplaceAll(s, "-", ""), " ", "") },
			func(s string) string { return "# " + s },
		}).Draw(t, "dress")(name)
		found, err := Find(dress)
		if err != nil || !slices.ContainsFunc(found, func(m Match) bool { return m.MM == h.MM }) {
			t.Fatalf("%q does not lead to %v: %v, %v", dress, h, found, err)
		}
	})
}

// TestFindOrder: a thickness comes first, names of some printings last.
func TestFindOrder(t *testing.T) {
	for _, name := range []string{"7", "8", "b-1", "p", "3", "12", "2", "11"} {
		found, err := Find(name)
		if err != nil {
			t.Error(err)
			continue
		}
		some := false
		for i, m := range found {
			if m.System == Millimetres && i > 0 && found[i-1].System != Millimetres {
				t.Errorf("%q: %v mm comes after a name", name, m.MM)
			}
			if some && !m.Some {
				t.Errorf("%q: %v (%s) comes after a name of some printings", name, m.MM, m.System)
			}
			some = some || m.Some
		}
	}
}

func TestCheck(t *testing.T) {
	for _, mm := range []float64{Min, 5, Max} {
		if err := Check(mm); err != nil {
			t.Error(err)
		}
	}
	for _, mm := range []float64{0, -1, Min - 0.01, Max + 0.01, math.NaN(), math.Inf(1)} {
		var span *RangeError
		if err := Check(mm); !errors.As(err, &span) || !(span.MM == mm || math.IsNaN(mm)) {
			t.Errorf("%v: %v", mm, err)
		}
	}
}

func ExampleCheck() {
	fmt.Println(Check(500))
	// Output: no hook is 500 mm: they are from 0.4 to 40 mm
}
