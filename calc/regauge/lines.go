package regauge

import (
	"fmt"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/notation"
)

// lines puts rows made anew where the pattern's own stood, between its
// headings and its prose.
func (m *maker) lines(p *plan, rows []made) notation.Part {
	part := *p.part
	part.Lines = nil
	at := 0
	own := map[int]bool{} // lines that rows were read from
	for _, r := range p.strand.rows {
		own[r.line] = true
	}
	var held []made
	flush := func() {
		part.Lines = append(part.Lines, written(held)...)
		held = nil
	}
	for i, l := range p.part.Lines {
		if i == p.part.Preface {
			flush()
			part.Preface = len(part.Lines)
		}
		for at < len(rows) && rows[at].line <= i {
			held = append(held, rows[at])
			at++
		}
		switch l := l.(type) {
		case *notation.Row:
			switch {
			case own[i]:
			case i == p.chain.line:
				flush()
				part.Lines = append(part.Lines, m.foundation(p, l))
			default:
				flush()
				part.Lines = append(part.Lines, m.kept(l))
			}
		case *notation.Again:
		case *notation.Prose:
			flush()
			part.Lines = append(part.Lines, m.prose(l))
		default:
			flush()
			part.Lines = append(part.Lines, l)
		}
	}
	held = append(held, rows[at:]...)
	flush()
	return part
}

// foundation is the chain for the new first row.
func (m *maker) foundation(p *plan, l *notation.Row) notation.Line {
	r := *l
	r.Steps = stepsIn(l.Steps, 0)
	if b := p.begun(); b != nil {
		*chainIn(r.Steps) = notation.N(p.chain.length(b.now.Start))
	}
	return &r
}

// kept is a line that works no stitches: a ring, yarn joined anew.
func (m *maker) kept(l *notation.Row) notation.Line {
	r := *l
	r.Steps = stepsIn(l.Steps, 0)
	scaleEdges(r.Steps, m.joint)
	return &r
}

// prose is a sentence of the pattern; one that states its gauge states the new
// one.
func (m *maker) prose(l *notation.Prose) notation.Line {
	if _, ok := Stated(l.Text); !ok {
		return l
	}
	word := "Gauge"
	if strings.Contains(strings.ToLower(l.Text), "tension") {
		word = "Tension"
	}
	rows := "rows"
	if low := strings.ToLower(l.Text); strings.Contains(low, "rnd") || strings.Contains(low, "round") {
		rows = "rnds"
	}
	return &notation.Prose{Text: word + ": " + gaugeText(m.To, rows)}
}

func gaugeText(g gauge.Gauge, rows string) string {
	n := func(v float64) string { return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".") }
	return fmt.Sprintf("%s sts and %s %s = 10 cm", n(g.Stitches), n(g.Rows), rows)
}

// written writes rows as lines: rows worked alike one after another in one
// line, rows that take turns as a repeat.
func written(rows []made) []notation.Line {
	var lines []notation.Line
	for i := 0; i < len(rows); {
		if back, n := repeats(rows, i); n > 0 {
			lines = append(lines, again(rows, i, back, n))
			i += n
		} else {
			n := alike(rows, i)
			lines = append(lines, rowLine(rows[i:i+n]))
			i += n
		}
	}
	return lines
}

// alike counts the rows from i on that one line can hold.
func alike(rows []made, i int) int {
	n := 1
	for i+n < len(rows) && rows[i].n > 0 && rows[i+n].n == rows[i+n-1].n+1 &&
		rows[i+n].form == rows[i].form && rows[i+n].kind == rows[i].kind {
		n++
	}
	return n
}

// most is the most rows that a repeat of rows goes back.
const most = 8

// repeats finds how many rows from i on only repeat, whole times, the rows
// just before: the longest such stretch, and how far back its repeat begins.
func repeats(rows []made, i int) (back, n int) {
	for k := 1; k <= most && k <= i; k++ {
		if rows[i].n == 0 || rows[i-k].n == 0 {
			break
		}
		run := 0
		for i+run < len(rows) && rows[i+run].form == rows[i+run-k].form && rows[i+run].kind == rows[i].kind &&
			rows[i+run].n == rows[i].n+run {
			run++
		}
		if rows[i-k].n != rows[i].n-k {
			continue
		}
		if run -= run % k; run > n && (run > k || k == 1 || run >= k) {
			back, n = k, run
		}
	}
	return back, n
}

func again(rows []made, i, back, n int) *notation.Again {
	a := &notation.Again{Label: label(rows[i], rows[i+n-1]), Claim: claim(rows[i+n-1])}
	for k := i - back; k < i; k++ {
		a.Like = append(a.Like, rows[k].n)
	}
	return a
}

func rowLine(rows []made) *notation.Row {
	first, last := rows[0], rows[len(rows)-1]
	return &notation.Row{Label: label(first, last), Steps: first.steps, Claim: claim(last)}
}

func label(first, last made) notation.Label {
	l := notation.Label{Kind: first.kind, Side: first.side}
	if first.n > 0 {
		l.From, l.To = notation.N(first.n), notation.N(last.n)
	}
	return l
}

func claim(r made) *notation.Claim {
	if r.claim == "-" {
		return nil
	}
	return &notation.Claim{Entries: []notation.ClaimEntry{{Count: notation.N(r.count), What: r.claim}}}
}
