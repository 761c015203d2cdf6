package grade

import (
	"fmt"

	"countwright/calc/notation"
)

// lines writes rows as a maker would: rows that are worked alike in one line,
// rows that repeat by their numbers.
func lines(rows []made, flat bool) []notation.Line {
	l := &liner{seen: map[string]int{}, flat: flat}
	l.write(rows)
	return l.lines
}

type liner struct {
	lines []notation.Line
	seen  map[string]int // by form: the number of a row written out
	flat  bool
}

func (l *liner) write(rows []made) {
	forms := make([]string, len(rows))
	for i, r := range rows {
		forms[i] = r.form
	}
	at := 0
	for _, c := range cycles(forms) {
		n := len(c.once)
		if c.times == 1 {
			for range n {
				l.run(rows[at : at+1])
				at++
			}
			continue
		}
		if n == 1 {
			l.run(rows[at : at+c.times])
		} else {
			l.write(rows[at : at+n])
			l.again(rows[at+n:at+n*c.times], rows[at:at+n])
		}
		at += n * c.times
	}
}

// run writes rows of one form that follow each other.
func (l *liner) run(rows []made) {
	first, last := rows[0], rows[len(rows)-1]
	if number, ok := l.seen[first.form]; ok {
		l.again(rows, []made{{number: number}})
		return
	}
	l.seen[first.form] = first.number
	if len(rows) > 1 && first.count != last.count { // the count stated at the end would mislead about the first
		l.row(rows[:1])
		l.again(rows[1:], rows[:1])
		return
	}
	l.row(rows)
}

func (l *liner) row(rows []made) {
	first, last := rows[0], rows[len(rows)-1]
	label := labelOf(rows)
	if l.flat && len(l.lines) == 0 && len(rows) == 1 {
		label.Side = notation.WrongSide
		if rightSide(first.number) {
			label.Side = notation.RightSide
		}
	}
	l.lines = append(l.lines, &notation.Row{Label: label, Steps: first.steps, Claim: claim(last)})
}

func (l *liner) again(rows, like []made) {
	a := &notation.Again{Label: labelOf(rows), Claim: claim(rows[len(rows)-1])}
	for _, r := range like {
		a.Like = append(a.Like, r.number)
	}
	l.lines = append(l.lines, a)
}

func labelOf(rows []made) notation.Label {
	kind := notation.FlatRow
	if rows[0].round {
		kind = notation.Round
	}
	return notation.Label{Kind: kind, From: notation.N(rows[0].number), To: notation.N(rows[len(rows)-1].number)}
}

func claim(r made) *notation.Claim {
	c := &notation.Claim{Entries: []notation.ClaimEntry{{Count: notation.N(r.count), What: "st"}}}
	if r.holes > 0 {
		c.Entries = append(c.Entries, notation.ClaimEntry{Count: notation.N(r.holes), What: fmt.Sprintf("ch-%d sp", r.hole)})
	}
	return c
}

// fastenOff ends the yarn after the last row.
func fastenOff(lines []notation.Line) []notation.Line {
	last, ok := lines[len(lines)-1].(*notation.Row)
	if !ok { // a line that repeats others has no steps of its own
		return append(lines, &notation.Row{Steps: []notation.Step{&notation.FastenOff{}}})
	}
	end := *last
	end.Steps = append(append([]notation.Step(nil), last.Steps...), &notation.FastenOff{})
	if turn := len(end.Steps) - 2; turn >= 0 {
		if _, ok := end.Steps[turn].(*notation.Turn); ok {
			end.Steps = append(end.Steps[:turn], end.Steps[turn+1])
		}
	}
	if from, to := last.Label.From.At(0), last.Label.To.At(0); from < to { // the rows before it go on
		rest := *last
		rest.Label.To = notation.N(to - 1)
		end.Label.From, end.Label.Side = notation.N(to), notation.SideUnsaid
		return append(lines[:len(lines)-1], &rest, &end)
	}
	return append(lines[:len(lines)-1], &end)
}
