package spacing

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestGrouped(t *testing.T) {
	for _, c := range []struct {
		slope Slope
		want  []Every
		rest  int
		src   string
	}{
		{Slope{Stitches: 10, Rows: 24}, []Every{{2, 1, 6}, {3, 1, 4}}, 0, "by hand: 6·2 + 4·3 = 24"},
		{Slope{Stitches: 40, Rows: 40, Edges: Both, On: RightSide, WrongFirst: true}, []Every{{2, 1, 20}}, 0,
			"Handbook 1918, sweater sleeve: 34 to 74, one at each end every other row"},
		{Slope{Stitches: 18, Rows: 108, Edges: Both}, []Every{{12, 1, 9}}, 0,
			"Handbook 1918, sweater sleeve: 74 to 56, one at each end every 12th row"},
		{Slope{Stitches: 9, Rows: 100}, []Every{{11, 1, 8}, {12, 1, 1}}, 0,
			"largest remainder: 9 decreases in 100 rows are 1 × 12 + 8 × 11"},
		{Slope{Stitches: 5, Rows: 12, PlainFirst: 1, PlainLast: 1}, []Every{{3, 1, 1}, {2, 1, 4}}, 1, "by hand: rows 3, 5, 7, 9, 11"},
		{Slope{Stitches: 3, Rows: 12, On: RightSide}, []Every{{3, 1, 1}, {4, 1, 2}}, 1, "by hand: rows 3, 7, 11"},
		{Slope{Stitches: 10, Rows: 4}, []Every{{1, 2, 1}, {1, 3, 2}, {1, 2, 1}}, 0, "by hand: 2 + 3 + 3 + 2"},
		{Slope{Rows: 7}, nil, 7, "by hand: straight"},
	} {
		s, err := c.slope.Grouped()
		if err != nil || !slices.Equal(s.Groups(), c.want) || s.Rest() != c.rest {
			t.Errorf("%+v: %v rest %d, %v; want %v rest %d (%s)", c.slope, s.Groups(), s.Rest(), err, c.want, c.rest, c.src)
		}
	}
}

func TestSlopeSpread(t *testing.T) {
	for _, c := range []struct {
		slope Slope
		want  []int
		src   string
	}{
		{Slope{Stitches: 10, Rows: 24}, []int{2, 4, 7, 9, 11, 14, 16, 18, 21, 23}, "by hand: nearest to 1.7, 4.1, 6.5, 8.9 and so on, mirrored"},
		{Slope{Stitches: 4, Rows: 20, Edges: Both}, []int{6, 15}, "by hand: nearest to 5.5 and 15.5, the ties towards the middle"},
		{Slope{Stitches: 3, Rows: 12, On: RightSide}, []int{3, 7, 11}, "by hand: 2nd, 4th and 6th of 1, 3, 5, 7, 9, 11"},
		{Slope{Stitches: 3, Rows: 12, On: RightSide, WrongFirst: true}, []int{4, 8, 12}, "by hand: 2nd, 4th and 6th of 2, 4, … 12"},
		{Slope{Stitches: 2, Rows: 6, PlainFirst: 1, PlainLast: 1}, []int{3, 4}, "by hand: of rows 2 to 5 nearest to 2.5 and 4.5"},
		{Slope{Stitches: 1, Rows: 1}, []int{1}, "by hand"},
	} {
		s, err := c.slope.Spread()
		if err != nil || !slices.Equal(s.ShapingRows(), c.want) {
			t.Errorf("%+v: rows %v, %v; want %v (%s)", c.slope, s.ShapingRows(), err, c.want, c.src)
		}
	}
}

func TestSlopeLimits(t *testing.T) {
	for _, c := range []struct {
		slope Slope
		want  string
	}{
		{Slope{Stitches: 3, Rows: 0}, "0 rows: allowed are 1 to 1000000"},
		{Slope{Stitches: -1, Rows: 5}, "-1 stitches to shape: allowed are 0 to 1000000"},
		{Slope{Stitches: 3, Rows: 5, PlainFirst: 5}, "5 plain rows at the start: allowed are 0 to 4, for a row must be left to shape"},
		{Slope{Stitches: 3, Rows: 5, PlainFirst: 4, PlainLast: 1}, "1 plain rows at the end: only 0 is possible, for a row must be left to shape"},
		{Slope{Stitches: 2, Rows: 1, On: RightSide, WrongFirst: true}, "0 right-side rows to shape: none are possible, for the only rows left are wrong-side rows"},
		{Slope{Stitches: 13, Rows: 20, Edges: Both}, "13 stitches can't be shared by two edges: take 12 or 14, or shape one edge"},
	} {
		_, spread := c.slope.Spread()
		_, grouped := c.slope.Grouped()
		for _, err := range []error{spread, grouped} {
			var limit *LimitError
			var odd *OddError
			if !errors.As(err, &limit) && !errors.As(err, &odd) || err.Error() != c.want {
				t.Errorf("%+v: %v, want %s", c.slope, err, c.want)
			}
		}
	}
}

// TestSlopeLaws holds for both ways of laying out: the stitches come out, on
// allowed rows only, and the groups add up to the rows.
func TestSlopeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Slope{
			Rows:       rapid.IntRange(1, 300).Draw(t, "rows"),
			Edges:      rapid.SampledFrom([]Edges{One, Both}).Draw(t, "edges"),
			On:         rapid.SampledFrom([]Rows{EveryRow, RightSide}).Draw(t, "on"),
			WrongFirst: rapid.Bool().Draw(t, "wrong side first"),
		}
		s.PlainFirst = rapid.IntRange(0, s.Rows-1).Draw(t, "plain first")
		s.PlainLast = rapid.IntRange(0, s.Rows-1-s.PlainFirst).Draw(t, "plain last")
		s.Stitches = rapid.IntRange(0, 400).Draw(t, "stitches")
		if s.Edges == Both {
			s.Stitches &^= 1
		}
		edges := 1 + int(s.Edges)
		spread, err := s.Spread()
		if err != nil {
			var limit *LimitError
			if !errors.As(err, &limit) || s.On != RightSide {
				t.Fatal(err)
			}
			return
		}
		grouped, err := s.Grouped()
		if err != nil {
			t.Fatal(err)
		}
		for _, laid := range []Sloped{spread, grouped} {
			total, before := 0, 0
			for _, shaped := range laid.Shaping {
				total += edges * shaped.Each
				if shaped.Row <= max(before, s.PlainFirst) || shaped.Row > s.Rows-s.PlainLast {
					t.Fatalf("row %d of %+v", shaped.Row, s)
				}
				if right := shaped.Row%2 == 1; s.On == RightSide && right == s.WrongFirst {
					t.Fatalf("row %d is a wrong-side row", shaped.Row)
				}
				before = shaped.Row
			}
			rows := laid.Rest()
			for _, g := range laid.Groups() {
				rows += g.Rows * g.Times
			}
			if total != s.Stitches || rows != s.Rows {
				t.Fatalf("%d stitches over %d rows, want %d over %d", total, rows, s.Stitches, s.Rows)
			}
			if laid.Drift() < 0 {
				t.Fatalf("drift %v", laid.Drift())
			}
		}
		if s.On == EveryRow && s.PlainFirst+s.PlainLast == 0 && s.Stitches <= edges*s.Rows && spread.Drift() > 1.5 {
			t.Fatalf("a line of %d over %d rows strays %v", s.Stitches, s.Rows, spread.Drift())
		}
	})
}

// TestNoSlopeIsStraighter tries every choice of rows up to 14: none strays
// less from the straight line in all.
func TestNoSlopeIsStraighter(t *testing.T) {
	for rows := 1; rows <= 14; rows++ {
		for k := 1; k <= rows; k++ {
			s, err := Slope{Stitches: k, Rows: rows}.Spread()
			if err != nil {
				t.Fatal(err)
			}
			ours := astray(rows, s.ShapingRows())
			placements(rows, k, func(places []int) {
				if astray(rows, places) < ours {
					t.Fatalf("%d over %d rows: %v is straighter than %v", k, rows, places, s.ShapingRows())
				}
			})
		}
	}
}

func ExampleSlope_Grouped() {
	s, _ := Slope{Stitches: 10, Rows: 24}.Grouped()
	for _, g := range s.Groups() {
		fmt.Printf("every %d rows %d times\n", g.Rows, g.Times)
	}
	// Output:
	// every 2 rows 6 times
	// every 3 rows 4 times
}

func ExampleSlope_Spread() {
	s, _ := Slope{Stitches: 8, Rows: 30, Edges: Both, On: RightSide}.Spread()
	fmt.Println(s.ShapingRows(), "then", s.Rest(), "plain rows")
	// Output: [3 11 19 27] then 3 plain rows
}

func ExampleSloped_Repeats() {
	s, _ := Slope{Stitches: 6, Rows: 15}.Spread()
	for _, r := range s.Repeats() {
		fmt.Println(r.Once, r.Times)
	}
	// Output:
	// [{2 1 2}] 1
	// [{3 1 1} {2 1 1}] 2
}

func ExampleSloped_Drift() {
	straight, _ := Slope{Stitches: 20, Rows: 50}.Spread()
	easy, _ := Slope{Stitches: 20, Rows: 50}.Grouped()
	fmt.Printf("%.1f against %.1f stitches\n", straight.Drift(), easy.Drift())
	// Output: 0.6 against 2.2 stitches
}

func BenchmarkSlope(b *testing.B) {
	for b.Loop() {
		s, _ := Slope{Stitches: 28, Rows: 120, Edges: Both, On: RightSide}.Spread()
		s.Repeats()
	}
}
