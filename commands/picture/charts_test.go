package picture

import (
	"fmt"

	"countwright/calc/stitch"
)

// of is a cell with a stitch of the dictionary, worked into cells of the row
// below.
func of(id stitch.ID, from, to int) Cell {
	s, ok := stitch.Lookup(id)
	if !ok {
		panic("no stitch " + id)
	}
	return Cell{Symbol: s.Symbol, Name: s.US.Short() + ": " + s.US.Name, Height: s.Height, From: from, To: to}
}

// chains is a run of chains; turned ones stand at the start of a row.
func chains(n int, turning bool) Cell {
	c := of("ch", -1, -1)
	c.Chains, c.Turning = n, turning
	return c
}

// foundation is n single chains in a row.
func foundation(n int) ChartRow {
	r := ChartRow{Label: "ch"}
	for range n {
		r.Cells = append(r.Cells, of("ch", -1, -1))
	}
	r.FromLeft = true
	return r
}

// plainRow works one stitch into each of n cells of the row below, met from
// its end, after a turning chain; skip cells of the turning chain below.
func plainRow(i, n, skip int, id stitch.ID, turning int) ChartRow {
	r := ChartRow{Label: fmt.Sprint(i), FromLeft: i%2 == 0, Cells: []Cell{chains(turning, true)}}
	for j := range n {
		r.Cells = append(r.Cells, of(id, skip+n-1-j, skip+n-1-j))
	}
	return r
}

func plainChart(n, rows int, id stitch.ID) Chart {
	c := Chart{Title: fmt.Sprintf("%d stitches, %d rows", n, rows), Rows: []ChartRow{foundation(n)}}
	for i := 1; i <= rows; i++ {
		skip := 1
		if i == 1 {
			skip = 0
		}
		c.Rows = append(c.Rows, plainRow(i, n, skip, id, 1))
	}
	return c
}

// laceChart is shells and V stitches over a plain row, then a decrease row.
func laceChart() Chart {
	c := plainChart(13, 1, "sc")
	c.Title = "Shells, crossed stitches and decreases"
	top := func(i int) int { return 13 - i } // the stitches of row 1 from its end
	c.Rows = append(c.Rows, ChartRow{Label: "2", FromLeft: true, Cells: []Cell{
		chains(3, true), of("shell", top(3), top(3)), of("sc", top(6), top(6)), of("shell", top(9), top(9)), of("dc", top(12), top(12)),
	}})
	c.Rows = append(c.Rows, ChartRow{Label: "3", Cells: []Cell{
		chains(3, true), of("v-st", 4, 4), chains(2, false), of("bobble", 3, 3), chains(2, false), of("puff", 2, 2), chains(3, false), of("fpdc", 1, 1), of("bptr", 0, 0),
	}})
	c.Rows = append(c.Rows, ChartRow{Label: "4", FromLeft: true, Cells: []Cell{
		chains(1, true), of("dc2tog", 7, 8), of("rsc", 6, 6), of("picot", 5, 5), of("sc2tog", 3, 5), of("sc", 2, 2), of("sl st", 1, 1), of("esc", 1, 1), of("sc ribbing", 0, 0),
	}})
	return c
}

// shaped is a triangle: one stitch in row 1, one more at both edges in each.
func shapedChart(rows int) Chart {
	c := Chart{Title: "Increases at both edges", Rows: []ChartRow{{Label: "1", Cells: []Cell{of("sc", -1, -1), of("sc", -1, -1)}}}}
	n := 2
	for i := 2; i <= rows; i++ {
		r := ChartRow{Label: fmt.Sprint(i), FromLeft: i%2 == 0}
		for j := range n {
			at := n - 1 - j
			r.Cells = append(r.Cells, of("sc", at, at))
			if j == 0 || j == n-1 {
				r.Cells = append(r.Cells, of("sc", at, at))
			}
		}
		n += 2
		c.Rows = append(c.Rows, r)
	}
	return c
}

// circle is rounds that add per stitches each.
func circleChart(rounds, per int, id stitch.ID) Chart {
	c := Chart{Title: fmt.Sprintf("A flat circle of %d rounds", rounds), Round: true}
	for i := range rounds {
		r := ChartRow{Label: fmt.Sprint(i + 1)}
		if i == 0 {
			for range per {
				r.Cells = append(r.Cells, of(id, -1, -1))
			}
		}
		for j := range per * i { // the last stitch of each i is worked twice
			r.Cells = append(r.Cells, of(id, j, j))
			if j%i == i-1 {
				r.Cells = append(r.Cells, of(id, j, j))
			}
		}
		c.Rows = append(c.Rows, r)
	}
	return c
}

// granny is a square of groups of three with corners.
func granny(rounds int) Chart {
	c := Chart{Title: "A square of groups of three", Round: true}
	for i := range rounds {
		r := ChartRow{Label: fmt.Sprint(i + 1)}
		add := func(from int) {
			for range 3 {
				r.Cells = append(r.Cells, of("dc", from, from))
			}
		}
		if i == 0 {
			for range 4 {
				add(-1)
				r.Cells = append(r.Cells, chains(2, false))
			}
		} else {
			at := 3
			for range 4 {
				for range i - 1 {
					add(at)
					r.Cells = append(r.Cells, chains(1, false))
					at += 4
				}
				add(at)
				r.Cells = append(r.Cells, chains(2, false))
				add(at)
				r.Cells = append(r.Cells, chains(1, false))
				at += 4
			}
		}
		c.Rows = append(c.Rows, r)
	}
	return c
}
